import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { gzipSync } from "node:zlib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { detectDialect } from "../../src/read/detect-dialect.ts";
import { FrameCollector, type Reading } from "../../src/read/frame-collector.ts";
import { readHeadColumns } from "../../src/read/head-columns.ts";
import { SensorCollector } from "../../src/read/join-sensors.ts";
import type { ByteSource } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";
import { scanBody } from "../../src/read/scan-body.ts";
import { StreamCounter } from "../../src/read/stream-counter.ts";
import { RowGate } from "../../src/read/take-row.ts";
import { makeLog } from "../support/run-cli.ts";

const folder = "fixtures/logs";
const files = readdirSync(folder, { recursive: true, encoding: "utf8" })
  .filter((file) => /\.(csv|tsv|txt|log)(\.gz)?$/.test(file))
  .map((file) => path.join(folder, file));

function sourceOf(bytes: Uint8Array, piece: number): ByteSource {
  function* pieces(): Generator<Uint8Array> {
    for (let from = 0; from < bytes.length; from += piece) yield bytes.subarray(from, from + piece);
  }
  return {
    file: "pass.csv",
    open: async function* () {
      yield* pieces();
    },
    blocks: pieces,
  };
}

/** Both ways to read the same bytes, from the same few lines of head. */
async function readBothWays(bytes: Uint8Array, headLines: number, piece = 4096) {
  const source = sourceOf(bytes, piece);
  const fast = await readLog(source, {}, null, { headLines });
  const careful = await readLog(source, {}, null, { headLines, isCareful: true });
  return { fast, careful };
}

/** What stands around a narrow log's cells: nothing, cells that do not matter, a program's name, a second program. */
const widenings: readonly ((line: string, i: number) => string)[] = [
  (line) => line,
  (line, i) =>
    i === 0 ? `${line},gpu load [%],a,b,state` : `${line},${i % 7 === 0 ? 50 : 60}.5,1,-2.5,übung`,
  (line, i) => (i === 0 ? `process,${line},cpu power [W]` : `tide.exe,${line},${i % 5}`),
  (line, i) => (i === 0 ? `process,${line}` : `${i === 90 ? "moss.exe" : "tide.exe"},${line}`),
  (line, i) => (i === 0 ? `${line},process` : `${line},tide.exe`),
];

/** How a narrow log prints its clock, which it has as seconds in the second column. */
const clockPrints: readonly ((s: number) => string)[] = [
  (s) => s.toFixed(6),
  (s) => isoOf("2026-03-14T20:15:58Z", s),
  // The whole minutes change; the fraction is left out where it is 0.
  (s) =>
    isoOf("2026-03-14T23:59:50Z", s)
      .replace("T", " ")
      .replace("Z", s % 1 < 0.5 ? " +01:00" : " -0730"),
  (s) => isoOf("2026-03-14T23:59:57Z", s).slice(11, -1),
  (s) => `${isoOf("2026-03-14T11:59:57Z", s).slice(11, -1)} ${s < 3 ? "AM" : "PM"}`,
  (s) => `${Math.floor(s / 4)}:${(10 + (s % 4)).toFixed(3)}`,
];

function isoOf(from: string, s: number): string {
  const ms = Math.round(1000 * s);
  const text = new Date(Date.parse(from) + ms).toISOString();
  return ms % 1000 === 0 ? text.replace(/\.000/, "") : text;
}

function printClock(line: string, i: number, print: (s: number) => string): string {
  const [frame, clock, ...others] = line.split(",");
  return [frame, i === 0 ? "time" : print(Number(clock)), ...others].join(",");
}

describe("reading bytes gives what reading text gives, frame by frame and problem by problem", () => {
  test.for(files)("%s", async (file) => {
    for (const headLines of [5, 20, 1000]) {
      const { fast, careful } = await readBothWays(readFileSync(file), headLines);
      expect(fast).toEqual(careful);
    }
  });

  test("for mutated logs", async () => {
    const mutation = fc.record({
      at: fc.nat(60_000),
      cut: fc.nat(40),
      put: fc.oneof(
        fc.constantFrom(
          '"',
          "\n",
          "\r",
          "\r\n",
          ",",
          "#",
          "NaN",
          "-1",
          "0",
          "1e3",
          "12345",
          " ",
          "\u0000",
          "ä",
          "frame,elapsed_s,frame_time_ms\n",
          ",moss.exe",
          "\nmoss.exe,",
        ),
        fc.string({ maxLength: 6 }),
      ),
    });
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 500 }),
        fc.array(mutation, { maxLength: 8 }),
        fc.constantFrom("\n", "\r\n"),
        fc.constantFrom(",", ";", "\t"),
        fc.constantFrom(...widenings),
        fc.constantFrom(...clockPrints),
        fc.boolean(),
        fc.integer({ min: 50, max: 9000 }),
        async (seed, mutations, lineEnd, delimiter, widen, print, isPacked, piece) => {
          const narrow = makeLog(seed, 100, 600).trimEnd().split("\n");
          const lines = narrow.map((line, i) => widen(printClock(line, i, print), i));
          let text = `${lines.join("\n")}\n`.replaceAll(",", delimiter).replaceAll("\n", lineEnd);
          for (const { at, cut, put } of mutations) {
            const from = at % text.length;
            text = text.slice(0, from) + put + text.slice(from + cut);
          }
          const bytes = isPacked ? gzipSync(text) : Buffer.from(text, "utf8");
          const { fast, careful } = await readBothWays(bytes, 40, piece);
          expect(fast).toEqual(careful);
        },
      ),
      { numRuns: 300 },
    );
  });

  test.for(clockPrints.map((print) => ({ print, likeThis: print(0.5) })))(
    "where the clock says $likeThis",
    async ({ print }) => {
      const lines = makeLog(5, 100, 900).trimEnd().split("\n");
      const text = `${lines.map((line, i) => printClock(line, i, print)).join("\n")}\n`;
      const { fast, careful } = await readBothWays(Buffer.from(text), 40);
      expect(careful.log?.rows.frames).toBeGreaterThan(890);
      expect(careful.columns[1]?.role).toBe("clock");
      expect(fast).toEqual(careful);
    },
  );

  test("for a sensor that prints more than a double holds", async () => {
    const rows = Array.from(
      { length: 300 },
      (_, i) => `${10 + (i % 7) / 10},${i === 200 ? "1e999" : 40 + (i % 3)}`,
    );
    const { fast, careful } = await readBothWays(
      Buffer.from(`frame_time_ms,cpu power [W]\n${rows.join("\n")}\n`),
      40,
    );
    expect(careful.log?.sensors[0]?.values.every(Number.isFinite)).toBe(true);
    expect(fast).toEqual(careful);
  });

  test("for the one stream that a session picks", async () => {
    const [tide, moss] = [3, 4].map((seed) => makeLog(seed, 100, 400).trimEnd().split("\n"));
    const rows = (tide ?? []).flatMap((line, i) =>
      i === 0 ? [`${line},process`] : [`${line},tide.exe`, `${moss?.[i]},moss.exe`],
    );
    const source = sourceOf(Buffer.from(`${rows.join("\n")}\n`), 4096);
    const settings = { stream: { equals: "tide.exe" } };
    const fast = await readLog(source, settings, null, { headLines: 40 });
    expect(fast.log?.rows).toEqual({ read: 800, frames: 400, notUsed: { "other stream": 400 } });
    expect(fast).toEqual(await readLog(source, settings, null, { headLines: 40, isCareful: true }));
  });

  test("for clocks of every kind, sensors with blanks, and long numbers", async () => {
    const rows = Array.from({ length: 300 }, (_, i) => {
      const us = 16_000 + ((i * 7919) % 997);
      return { i, us };
    });
    let us = 0;
    const styles: ((row: { i: number; us: number }) => string)[] = [
      (row) => `${row.i},${(1_700_000_000 + us / 1e6).toFixed(6)},${row.us}`,
      (row) => `${row.i},${1_700_000_000_000_000_000n + BigInt(us) * 1000n},${row.us}`,
      (row) => `${row.i},${(us / 1e6).toFixed(9)},${(row.us / 1000).toFixed(12)}`,
      (row) => `${row.i},${us / 1000},${row.us / 1000}e0`,
    ];
    const units = [
      ["s", "us"],
      ["ns", "us"],
      ["s", "ms"],
      ["ms", "ms"],
    ] as const;
    for (const [s, style] of styles.entries()) {
      us = 0;
      const [clock, unit] = units[s] ?? ["s", "ms"];
      const lines = rows.map((row) => {
        us += row.us;
        return `${style(row)},${row.i % 6 === 0 ? (40 + (row.i % 5)).toFixed(1) : ""}`;
      });
      const text = `frame,time [${clock}],frame time [${unit}],cpu power [W]\n${lines.join("\n")}\n`;
      const { fast, careful } = await readBothWays(Buffer.from(text), 50);
      expect(careful.log?.frameTimesMs.length).toBe(300);
      expect(careful.log?.sensors).toHaveLength(1);
      expect(fast).toEqual(careful);
    }
  });
});

describe("plain rows are parsed in place, all others are read one by one", () => {
  const count = 2000;
  const s = (i: number): string => (i * 0.02).toFixed(2);
  const clock = { index: 0, unit: "s", unitS: 1, lag: 0, precisionS: 0.01 } as const;
  const at = (i: number): string => new Date(Date.UTC(2026, 2, 14, 20, 15) + 20 * i).toISOString();

  test.for<{
    it: string;
    names: string;
    cells: (i: number) => string;
    reading?: Partial<Reading>;
    byOne: number;
  }>([
    { it: "without a clock", names: "scene,frame_time_ms", cells: () => "1,20.00", byOne: 0 },
    {
      it: "with a clock, whose first reading is taken with care",
      names: "elapsed_s,frame_time_ms",
      cells: (i) => `${s(i)},20.00`,
      reading: { clock },
      byOne: 1,
    },
    {
      it: "with a date for a clock, whose every minute begins with care",
      names: "at,frame_time_ms",
      cells: (i) => `${at(i)},20.00`,
      reading: { clock, isMomentClock: true },
      byOne: 1,
    },
    {
      it: "with numbered frames",
      names: "frame,frame_time_ms",
      cells: (i) => `${i},20.00`,
      reading: { counter: 0 },
      byOne: 0,
    },
    {
      it: "with two odd rows",
      names: "elapsed_s,frame_time_ms",
      cells: (i) => (i === 700 || i === 1400 ? `${s(i)},"20.00"` : `${s(i)},20.00`),
      reading: { clock },
      byOne: 3,
    },
  ])("$it", async ({ names, cells, reading, byOne }) => {
    const lines = [names, ...Array.from({ length: count }, (_, i) => cells(i))];
    const dialect = detectDialect(lines.slice(0, 100));
    if ("why" in dialect) throw new RangeError(dialect.why);
    const how: Reading = {
      frameTime: { index: 1, how: "duration", unit: "ms", unitS: 1e-3 },
      clock: null,
      isMomentClock: false,
      isSpans: false,
      counter: null,
      wall: null,
      decimalSign: ".",
      ...reading,
    };
    const columns = readHeadColumns(dialect, dialect.rows);
    const gate = new RowGate(dialect, columns, how);
    const frames = new FrameCollector(how);
    let oneByOne = 0;
    const target = {
      how,
      gate,
      frames,
      sensors: new SensorCollector(columns, new Set([0, 1]), {}, "."),
      streams: new StreamCounter(how, frames, null),
      stream: null,
      takeRow: (...[row, isLastOpen]: Parameters<Parameters<typeof scanBody>[4]["takeRow"]>) => {
        oneByOne++;
        const found = gate.admit(row, isLastOpen, frames);
        if (found !== null) frames.addRow(found, row.line);
      },
    };
    const text = {
      encoding: "utf-8",
      byteOrderMark: false,
      gzip: false,
      lineEnd: "LF",
      delimiter: dialect.delimiter,
      decimalSign: ".",
      headerLine: 1,
      notes: [],
    } as const;
    const source = sourceOf(Buffer.from(`${lines.join("\n")}\n`), 4096);
    expect(await scanBody(source, null, text, dialect, target)).toBe(true);
    expect([frames.rows, frames.frameTimesMs.length, oneByOne]).toEqual([count, count, byOne]);
  });
});
