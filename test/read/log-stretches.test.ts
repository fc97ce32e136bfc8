import { describe, expect, test } from "vitest";
import { readText, rowsOf } from "../support/read-text.ts";

const header = "elapsed_s,frame_time_ms\n";
/** Frames of some length, the clock at the end of each, from a moment on. */
const stretch = (frames: number, ms: number, fromS = 0) =>
  rowsOf(frames, (i) => `${(fromS + (i * ms) / 1000).toFixed(3)},${ms.toFixed(2)}`);

describe("a log that began again is not counted until the session picks a stretch", () => {
  const text = header + stretch(100, 20) + stretch(50, 10) + stretch(30, 40);

  test("its stretches are listed, each with its frames and rate", async () => {
    const { log, problems } = await readText(text);
    expect(log?.flags).toEqual([{ code: "restarted", segments: 3, picked: null }]);
    expect(problems).toEqual([
      {
        code: "log-restarted",
        severity: "warning",
        at: { file: "pass-1.csv" },
        segments: [
          { name: "1", frames: 100, avgFps: 50 },
          { name: "2", frames: 50, avgFps: 100 },
          { name: "3", frames: 30, avgFps: 25 },
        ],
      },
    ]);
    expect(log?.rows).toEqual({ read: 180, frames: 180, notUsed: {} });
  });

  test.for([
    { segment: 1, frames: 100, ms: 20 },
    { segment: 2, frames: 50, ms: 10 },
    { segment: 3, frames: 30, ms: 40 },
  ])("stretch $segment alone is read where the session picks it", async ({ segment, frames, ms }) => {
    const { log, problems } = await readText(text, { segment });
    expect(problems).toEqual([]);
    expect(log?.flags).toEqual([{ code: "restarted", segments: 3, picked: segment }]);
    expect([...new Set(log?.frameTimesMs)]).toEqual([ms]);
    expect(log?.rows).toEqual({ read: 180, frames, notUsed: { "other stretch": 180 - frames } });
  });

  test.for([
    { segment: 1, frames: 48, lost: 2 },
    { segment: 2, frames: 30, lost: 0 },
    { segment: 3, frames: 39, lost: 1 },
    { segment: undefined, frames: 117, lost: 3 },
  ])("of stretch $segment $lost frames were lost: what others lost does not damage it", async (row) => {
    const lossy = stretch(50, 20).replace("0.400,20.00", "0.400,").replace("0.600,20.00", "0.600,n/a");
    const last = stretch(40, 20).replace("0.400,20.00", "0.400,-1");
    const settings = row.segment === undefined ? {} : { segment: row.segment };
    const { log } = await readText(header + lossy + stretch(30, 20) + last, settings);
    const damaged = log?.flags.filter(({ code }) => code === "damaged");
    const { frames, lost: lostFrames } = row;
    expect(damaged).toEqual(lostFrames === 0 ? [] : [{ code: "damaged", lostFrames, frames }]);
    // Where frames follow one another without a gap, no clock is needed to place them.
    if (row.segment !== undefined) expect(log?.frameEndsS === null).toBe(lostFrames === 0);
  });

  test("a log that was not restarted is whole, whatever stretch the session picks of those that were", async () => {
    const { log, problems } = await readText(header + stretch(50, 20), { segment: 2 });
    expect(problems).toEqual([]);
    expect(log?.flags).toEqual([]);
    expect(log?.frameTimesMs).toHaveLength(50);
  });

  test("a stretch that is not there is an error that says how many are", async () => {
    const reading = await readText(text, { segment: 4 });
    expect(reading).toMatchObject({
      log: null,
      problems: [{ code: "log-segment-missing", severity: "error", wanted: 4, segments: 3 }],
    });
    expect(reading.text).not.toBeNull();
    expect(reading.columns).toHaveLength(2);
  });

  test("where frames were lost, its own clock tells when each ended; stretches together have no clock", async () => {
    const lossy = (frames: number) => stretch(frames, 20).replace("0.400,20.00", "0.400,");
    const two = header + lossy(60) + lossy(50);
    const { log } = await readText(two, { segment: 2 });
    // Each stretch has lost a frame of its own.
    expect(log?.flags).toContainEqual({ code: "damaged", lostFrames: 1, frames: 49 });
    const ends = Array.from({ length: 50 }, (_, i) => (i + 1) * 0.02).filter((_, i) => i !== 20);
    expect(log?.frameEndsS?.length).toBe(49);
    for (const [i, end] of (log?.frameEndsS ?? []).entries()) expect(end).toBeCloseTo(ends[i] ?? 0, 9);
    expect((await readText(two)).log?.frameEndsS).toBeNull();
  });

  test("a log without a frame has a first stretch as well, and that is what it lacks", async () => {
    const text = `ms\n${rowsOf(100, (i) => (i < 10 ? "0" : "20000.00"))}`;
    for (const picked of [{}, { segment: 1 }]) {
      const settings = { frameTime: { column: "ms", unit: "ms" }, ...picked } as const;
      expect(await readText(text, settings)).toMatchObject({
        log: null,
        problems: [{ code: "log-without-frames", rows: 100 }],
      });
    }
  });

  test("a log of one stretch has a first one", async () => {
    const { log, problems } = await readText(header + stretch(50, 20), { segment: 1 });
    expect([log?.flags, problems, log?.rows.frames]).toEqual([[], [], 50]);
  });
});

describe("a log begins again", () => {
  const columns = "frame,frame_time_ms\n";
  const numbered = (frames: number, from: number) => rowsOf(frames, (i) => `${from + i},20.0`);

  test.for<{ it: string; text: string; frames: number[] }>([
    {
      it: "where the clock falls by more than 0.05 s",
      text: header + stretch(50, 20) + stretch(50, 20, 0.929),
      frames: [50, 50],
    },
    {
      it: "where the clock falls after a row in which it was not read",
      text: `${header}${stretch(50, 20)},20.00\n${stretch(50, 20)}`,
      frames: [51, 50],
    },
    {
      it: "where a header stands again",
      text: header + stretch(50, 20) + header + stretch(40, 20),
      frames: [50, 40],
    },
    {
      it: "in few rows of a clock alone",
      text: `time [s]\n${rowsOf(16, (i) => (i * 0.02).toFixed(2))}time [s]\n${rowsOf(13, (i) => (i * 0.02).toFixed(2))}`,
      frames: [15, 12],
    },
    {
      it: "where a name with a comma stands again",
      text: `frame time, ms\n${rowsOf(50, () => "20.0")}frame time, ms\n${rowsOf(40, () => "20.0")}`,
      frames: [50, 40],
    },
    {
      it: "where names of several words stand again between blanks",
      text: `Frames per second   CPU power\n${rowsOf(50, () => "50.0   40")}Frames per second   CPU power\n${rowsOf(40, () => "50.0   41")}`,
      frames: [50, 40],
    },
    {
      it: "where names stand again between blanks, with blanks before the first",
      text: `  Frames per second   CPU power\n${rowsOf(50, () => "  50.0   40")}  Frames per second   CPU power\n${rowsOf(40, () => "  50.0   41")}`,
      frames: [50, 40],
    },
    {
      it: "once where a header stands twice",
      text: header + stretch(50, 20) + header + header + stretch(40, 20),
      frames: [50, 40],
    },
    {
      it: "twice, whatever stands at its end",
      text: header + stretch(50, 20) + stretch(40, 20) + stretch(30, 20) + header,
      frames: [50, 40, 30],
    },
    {
      it: "where a name of letters stands again",
      text: `fps\n${rowsOf(50, () => "50.0")}fps\n${rowsOf(40, () => "50.0")}`,
      frames: [50, 40],
    },
    {
      it: "where a header stands again and the clock goes on",
      text: header + stretch(50, 20) + header + stretch(40, 20, 1),
      frames: [50, 40],
    },
    {
      it: "where the numbers of the frames start over, without a clock",
      text: columns + numbered(60, 1) + numbered(40, 1),
      frames: [60, 40],
    },
    {
      it: "where the numbers of the frames start over after one that was not read",
      text: `${columns}${numbered(60, 1)},20.0\n${numbered(40, 1)}`,
      frames: [61, 40],
    },
  ])("$it", async ({ text, frames }) => {
    const { problems } = await readText(text);
    expect(problems).toMatchObject([
      { code: "log-restarted", segments: frames.map((count) => ({ frames: count })) },
    ]);
  });

  test.for([
    {
      it: "where the clock falls by less",
      text: header + stretch(50, 20) + stretch(50, 20, 0.94),
      frames: 100,
    },
    { it: "where a header stands twice at once", text: header + header + stretch(50, 20), frames: 50 },
    { it: "where a header stands at its end", text: header + stretch(50, 20) + header, frames: 50 },
    {
      it: "where a frame's number comes twice",
      text: columns + numbered(60, 1) + numbered(40, 60),
      frames: 100,
    },
    {
      it: "where a frame's number is that of the frame before the last",
      text: columns + numbered(60, 1) + numbered(40, 59),
      frames: 100,
    },
    { it: "where numbers are left out", text: columns + numbered(60, 1) + numbered(40, 100), frames: 100 },
  ])("not $it", async ({ text, frames }) => {
    const { log, problems } = await readText(text);
    expect(problems.filter(({ code }) => code === "log-restarted")).toEqual([]);
    expect(log?.rows.frames).toBe(frames);
  });

  test("a line of signs that stands again is no header: it has no letter", async () => {
    const text = `%,$\n${stretch(50, 20)}%,$\n${stretch(40, 20, 1)}`;
    const { log } = await readText(text, { frameTime: { column: "$", unit: "ms" } });
    expect(log?.rows).toEqual({ read: 91, frames: 90, notUsed: { "frame time not a number": 1 } });
    expect(log?.flags.filter(({ code }) => code === "restarted")).toEqual([]);
  });

  test("the numbers of the frames say nothing beside a clock", async () => {
    const text = `frame,${header}${rowsOf(100, (i) => `${i % 50},${(i * 0.02).toFixed(2)},20.00`)}`;
    expect((await readText(text)).log?.flags).toEqual([]);
  });

  test("one reading of the clock far ahead is a damaged reading, and the frame stays", async () => {
    const text = `${header}${stretch(50, 20)}999.000,20.00\n${stretch(50, 20, 1.02)}`;
    const { log, problems } = await readText(text);
    expect(problems).toEqual([]);
    expect(log?.flags).toEqual([]);
    expect(log?.rows).toEqual({ read: 101, frames: 101, notUsed: {} });
    expect(log?.frameEndsS?.at(-1) ?? 2.02).toBeCloseTo(2.02, 9);
  });

  // 2,000 rows are read many at a time.
  test.for([50, 2000])("one reading far behind is a damaged one too, after %i frames", async (frames) => {
    const text = `${header}${stretch(frames, 20, 5)}0.000,20.00\n${stretch(frames, 20, 5.02 + frames * 0.02)}`;
    const { log, problems } = await readText(text);
    expect(problems).toEqual([]);
    expect(log?.flags).toEqual([]);
    expect(log?.rows).toEqual({ read: 2 * frames + 1, frames: 2 * frames + 1, notUsed: {} });
  });

  test.for([
    {
      it: "goes on from the very reading it fell from",
      text: `${header}${stretch(50, 20, 5)}0.000,20.00\n${stretch(50, 20, 5.98)}`,
    },
    { it: "fell before there was a frame", text: `${header}5.000,\n0.000,20.00\n${stretch(99, 20, 5.04)}` },
  ])("a clock that $it does not begin anew", async ({ text }) => {
    const { log } = await readText(text);
    expect(log?.flags.filter(({ code }) => code === "restarted")).toEqual([]);
    expect(log?.rows.frames).toBeGreaterThanOrEqual(100);
  });

  test("a clock alone that falls far behind begins anew, wherever it goes on", async () => {
    const at = (fromS: number) => rowsOf(50, (i) => (fromS + i * 0.02).toFixed(3));
    expect((await readText(`time [s]\n${at(5)}0.000\n${at(6)}`)).problems).toMatchObject([
      { code: "log-restarted", segments: [{ frames: 49 }, { frames: 50 }] },
    ]);
  });

  test.for([
    {
      it: "with two readings that follow each other",
      behind: stretch(2, 20),
      goesOnS: 6.04,
      segments: [50, 52],
    },
    { it: "and goes on just before where it was", behind: stretch(1, 20), goesOnS: 5.96, segments: [50, 51] },
    {
      it: "and again where a header stands before it goes on",
      behind: stretch(1, 20) + header,
      goesOnS: 6.02,
      segments: [50, 1, 50],
    },
    { it: "from which the clock goes far ahead", behind: stretch(1, 20), goesOnS: 17, segments: [50, 51] },
  ])("a clock that falls far behind begins anew, $it", async ({ behind, goesOnS, segments }) => {
    const text = `${header}${stretch(50, 20, 5)}${behind}${stretch(50, 20, goesOnS)}`;
    expect((await readText(text)).problems).toMatchObject([
      { code: "log-restarted", segments: segments.map((frames) => ({ frames })) },
    ]);
  });

  test.for([
    { it: "behind a row that is read with care", before: '"0.980",20.00\n', from: 1 },
    { it: "of a clock that prints the same twice", before: "1.000,20.00\n", from: 1 },
  ])("one reading of the clock far ahead is a damaged one, $it", async ({ before, from }) => {
    const text = `${header}${stretch(49, 20)}${before}999.000,20.00\n${stretch(50, 20, from)}`;
    const { log, problems } = await readText(text);
    expect(problems).toEqual([]);
    expect(log?.rows.frames).toBe(101);
  });

  // The clock stands at each frame's end, 20 ms after the first one's start, and one row has lost its frame.
  test.for([
    { it: "far ahead", odd: "999.000,20.00\n", at: [1.02, 1.04] },
    { it: "far behind", odd: "0.000,20.00\n", at: [1.02, 1.04] },
    { it: "far ahead and a row without one", odd: "999.000,20.00\n,20.00\n", at: [1.02, 1.04, 1.06] },
    { it: "far behind and a row without one", odd: "0.000,20.00\n,20.00\n", at: [1.02, 1.04, 1.06] },
    { it: "far ahead in a row whose frame is lost", odd: "999.000,\n", at: [1, 1.04] },
    { it: "far behind in a row whose frame is lost", odd: "0.000,\n", at: [1, 1.04] },
  ])("beside a reading $it frames end where the others say", async ({ odd, at }) => {
    const goesOnS = 1 + 0.02 * (odd.split("\n").length - 1);
    const lost = "0.400,\n";
    const text = `${header}${stretch(20, 20)}${lost}${stretch(29, 20, 0.42)}${odd}${stretch(50, 20, goesOnS)}`;
    const { log } = await readText(text);
    expect(log?.flags.filter(({ code }) => code === "restarted")).toEqual([]);
    const [firstS = 0] = at;
    const from = log?.frameEndsS?.findIndex((endS) => endS > firstS - 1e-9) ?? -1;
    for (const [i, endS] of at.entries()) expect(log?.frameEndsS?.[from + i]).toBeCloseTo(endS, 9);
    expect(log?.frameEndsS?.at(-1)).toBeCloseTo(goesOnS + 1, 9);
  });

  test.for([100, 103, 110, 117, 125])(
    "a reading far ahead from which the clock falls just below where it was begins anew, after %i frames",
    async (frames) => {
      const wasS = (frames - 1) * 0.02;
      const text = `${header}${stretch(frames, 20)}999.000,20.00\n${stretch(50, 20, wasS - 0.04)}`;
      expect((await readText(text)).problems).toMatchObject([
        { code: "log-restarted", segments: [{ frames: frames + 1 }, { frames: 50 }] },
      ]);
    },
  );

  test("steps of a clock that jumps far ahead and back begin anew", async () => {
    const steps = (fromS: number) => rowsOf(50, (i) => (fromS + i * 0.02).toFixed(2));
    const { problems } = await readText(`elapsed_s\n${steps(0)}999.00\n${steps(1.02)}`);
    expect(problems).toMatchObject([
      { code: "log-restarted", segments: [{ frames: 49 }, { frames: 49 }] },
      { code: "log-rows-lost", reason: "frame time over 10 s" },
    ]);
  });

  test("a reading far ahead from which the clock falls below where it was is a new beginning", async () => {
    const text = `${header}${stretch(50, 20)}999.000,20.00\n${stretch(50, 20)}`;
    expect((await readText(text)).problems).toMatchObject([
      { code: "log-restarted", segments: [{ frames: 51 }, { frames: 50 }] },
    ]);
  });
});

describe("frame times that are the steps of a clock", () => {
  const clock = (readings: readonly string[]) =>
    `elapsed_s\n${readings.map((reading) => `${reading}\n`).join("")}`;
  const steady = Array.from({ length: 60 }, (_, i) => (i * 0.02).toFixed(2));

  test("need a reading before the first", async () => {
    const { log } = await readText(clock(steady));
    expect(log?.rows).toEqual({ read: 60, frames: 59, notUsed: { "first reading of the clock": 1 } });
  });

  test.for([
    { it: "goes back a little", reading: "0.55", notUsed: { "clock went back": 1 }, frames: 58, atRow: 1.2 },
    {
      it: "stands still",
      reading: "0.58",
      notUsed: { "frame time zero or negative": 1 },
      frames: 58,
      atRow: 1.2,
    },
    { it: "is not read", reading: "n/a", notUsed: { "frame time empty": 1 }, frames: 58, atRow: 1.2 },
  ])("give none where it $it", async ({ reading, notUsed, frames }) => {
    const readings = steady.map((usual, i) => (i === 30 ? reading : usual));
    const { log } = await readText(clock(readings));
    expect(log?.rows.notUsed).toEqual({ "first reading of the clock": 1, ...notUsed });
    expect(log?.rows.frames).toBe(frames);
    // No time is lost with it: the next step counts from the last good reading.
    const totalS = log?.frameTimesMs.reduce((sum, ms) => sum + ms, 0);
    expect(totalS).toBeCloseTo(1180, 6);
  });

  test("begin anew with a new stretch", async () => {
    const { log, problems } = await readText(clock([...steady, ...steady.slice(0, 40)]));
    expect(problems).toMatchObject([{ segments: [{ frames: 59 }, { frames: 39 }] }]);
    expect(log?.rows.notUsed).toEqual({ "first reading of the clock": 2 });
    expect(log?.frameTimesMs.every((ms) => Math.abs(ms - 20) < 1e-6)).toBe(true);
  });

  test("over ten seconds are none", async () => {
    const { log } = await readText(
      clock(steady.map((usual, i) => (i < 50 ? usual : (20 + i * 0.02).toFixed(2)))),
    );
    expect(log?.rows.notUsed).toEqual({ "first reading of the clock": 1, "frame time over 10 s": 1 });
  });
});

describe("frame times from a frame rate", () => {
  test("are 1000 by the rate, and none where it is not above zero", async () => {
    const text = `fps\n${rowsOf(80, (i) => (i === 40 ? "0.0" : i === 50 ? "-5.0" : i % 2 === 0 ? "50.0" : "40.0"))}`;
    const { log } = await readText(text);
    expect([...new Set(log?.frameTimesMs)].sort()).toEqual([20, 25]);
    expect(log?.rows.notUsed).toEqual({ "frame time zero or negative": 2 });
  });

  test("are none where a rate would mean more than ten seconds", async () => {
    const text = `fps\n${rowsOf(80, (i) => (i === 40 ? "0.05" : i % 2 === 0 ? "50.0" : "40.0"))}`;
    expect((await readText(text)).log?.rows.notUsed).toEqual({ "frame time over 10 s": 1 });
  });
});

describe("when a stretch began", () => {
  const at = (s: number) => new Date(Date.UTC(2026, 2, 14, 20, 15, 0) + s * 1000).toISOString();
  /** 60 frames whose clock stands at the end of each; beside another clock the date has whole seconds. */
  const dated = (fromS: number, hasOther: boolean) =>
    rowsOf(60, (i) => {
      const s = fromS + i * 0.02;
      return hasOther ? `${(i * 0.02).toFixed(2)},${at(Math.floor(s))},20.00` : `${at(s)},20.00`;
    });
  const byDate = "time,frame_time_ms\n";
  const beside = "elapsed_s,time,frame_time_ms\n";

  // The clocks stand at each frame's end: the first frame began 20 ms before its row.
  test.for([
    { it: "of one", text: byDate + dated(0, false), segment: 1, startedAt: at(-0.02) },
    {
      it: "of one, by a date beside the clock",
      text: beside + dated(0, true),
      segment: 1,
      startedAt: at(-0.02),
    },
    {
      it: "of the first of two",
      text: beside + dated(0, true) + dated(30, true),
      segment: 1,
      startedAt: at(-0.02),
    },
    {
      it: "of the second of two, by a clock that starts over",
      text: beside + dated(0, true) + dated(30, true),
      segment: 2,
      startedAt: at(29.98),
    },
    {
      it: "of the second of two, by a header that stands again",
      text: byDate + dated(0, false) + byDate + dated(30, false),
      segment: 2,
      startedAt: at(29.98),
    },
    {
      it: "of the third of three",
      text: beside + dated(0, true) + dated(30, true) + dated(60, true),
      segment: 3,
      startedAt: at(59.98),
    },
  ])("$it", async ({ text, segment, startedAt }) => {
    const { log } = await readText(text, { segment });
    expect(log?.startedAt).toBe(startedAt);
  });

  test("is told by its first frame, not by a row that gave none", async () => {
    const text = `${beside}-0.02,${at(0)},\n${dated(5, true)}`;
    const { log } = await readText(text);
    expect(log?.rows.notUsed).toEqual({ "frame time empty": 1 });
    expect(log?.startedAt).toBe(at(4.98));
  });

  test("is not known where the date is missing in its first row", async () => {
    const text = beside + dated(0, true).replace(/^[^,]+,[^,]+,/, "0.00,,");
    const { log } = await readText(text);
    expect(log?.rows.frames).toBe(60);
    expect(log?.startedAt).toBeNull();
  });
});
