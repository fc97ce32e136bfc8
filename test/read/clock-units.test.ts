import { describe, expect, test } from "vitest";
import { readText, rowsOf } from "../support/read-text.ts";

/** Clocks that stand far from zero, so that what they count from matters; by the unit that they are printed in. */
const units = [
  { unit: "s", perS: 1, decimals: 3, fromS: 100 },
  { unit: "ms", perS: 1e3, decimals: 0, fromS: 100 },
  { unit: "us", perS: 1e6, decimals: 0, fromS: 7 },
  { unit: "ns", perS: 1e9, decimals: 0, fromS: 3 },
];

describe.for(units)("a clock in $unit that stands far from zero", ({ unit, perS, decimals, fromS }) => {
  const print = (s: number) => ((fromS + s) * perS).toFixed(decimals);
  /** Frames of 20 and 30 ms by turns; the clock stands at the end of each. */
  const endS = (i: number) => Math.floor(i / 2) * 0.05 + (i % 2) * 0.02 + 0.03;
  const ms = (i: number) => (i % 2 === 0 ? 30 : 20);

  test("has steps that are the frame times", async () => {
    const { log } = await readText(`elapsed [${unit}]\n${rowsOf(200, (i) => print(endS(i)))}`);
    expect(log?.rows.frames).toBe(199);
    for (const [i, found] of (log?.frameTimesMs ?? []).entries()) expect(found).toBeCloseTo(ms(i + 1), 6);
  });

  test("tells when each frame ended where frames were lost", async () => {
    const row = (i: number) => `${print(endS(i))},${i % 50 === 49 ? "" : ms(i).toFixed(2)}`;
    const { log } = await readText(`elapsed [${unit}],frame_time_ms\n${rowsOf(200, row)}`);
    expect(log?.rows).toEqual({ read: 200, frames: 196, notUsed: { "frame time empty": 4 } });
    const ends = Array.from({ length: 200 }, (_, i) => endS(i)).filter((_, i) => i % 50 !== 49);
    for (const [i, found] of (log?.frameEndsS ?? []).entries()) expect(found).toBeCloseTo(ends[i] ?? 0, 6);
    expect(log?.frameEndsS?.length).toBe(196);
  });

  test("tells how much time is missing", async () => {
    const pause = (i: number) => endS(i) + (i < 100 ? 0 : 5);
    const { log } = await readText(
      `elapsed [${unit}],frame_time_ms\n${rowsOf(200, (i) => `${print(pause(i))},${ms(i).toFixed(2)}`)}`,
    );
    expect(log?.flags).toMatchObject([{ code: "time-missing" }]);
    const [flag] = log?.flags ?? [];
    if (flag?.code === "time-missing") {
      expect(flag.frameSumS).toBeCloseTo(5, 6);
      expect(flag.clockSpanS).toBeCloseTo(10, 6);
    }
  });

  test("that goes back a little is no new beginning, further back it is one", async () => {
    const back = (byS: number) =>
      `elapsed [${unit}],frame_time_ms\n${rowsOf(200, (i) => `${print(endS(i) - (i < 150 ? 0 : byS))},${ms(i).toFixed(2)}`)}`;
    expect((await readText(back(0.06))).problems).toEqual([]);
    expect((await readText(back(0.2))).problems).toMatchObject([
      { code: "log-restarted", segments: [{ frames: 150 }, { frames: 50 }] },
    ]);
  });
});
