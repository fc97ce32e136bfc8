import { readdirSync, readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { LogReading } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";
import { splitRows } from "../../src/read/split-rows.ts";
import { renderProblems } from "../../src/report/describe-problem.ts";
import { processorMs } from "../support/processor-ms.ts";

const fixtures = readdirSync("fixtures/logs").map((name) => {
  const file = readdirSync(`fixtures/logs/${name}`).find((found) => /^pass-1\.csv(\.gz)?$/.test(found)) ?? "";
  return readFileSync(`fixtures/logs/${name}/${file}`);
});

/** The bytes in pieces of the given length. */
function read(
  bytes: Uint8Array,
  pieceLength = 65_536,
  sensors: Uint8Array | null = null,
): Promise<LogReading> {
  const source = (content: Uint8Array) => ({
    file: "pass-1.csv",
    async *open() {
      for (let at = 0; at < content.length; at += pieceLength) yield content.subarray(at, at + pieceLength);
    },
  });
  return readLog(source(bytes), {}, sensors === null ? null : source(sensors));
}

/** What holds for every reading of whatever bytes. */
function expectAccounted({ log, problems }: LogReading): void {
  expect(renderProblems(problems, { color: false })).not.toMatch(/undefined|\[object/);
  if (log === null) {
    expect(problems.some(({ severity }) => severity === "error")).toBe(true);
    return;
  }
  expect(problems.some(({ severity }) => severity === "error")).toBe(false);
  const { read: rows, frames, notUsed } = log.rows;
  expect(rows).toBe(frames + Object.values(notUsed).reduce((sum, count) => sum + count, 0));
  expect(frames).toBe(log.frameTimesMs.length);
  expect(frames).toBeGreaterThan(0);
  expect(log.frameTimesMs.every((ms) => Number.isFinite(ms) && ms > 0)).toBe(true);
  if (log.frameEndsS !== null) {
    expect(log.frameEndsS.length).toBe(frames);
    expect(log.frameEndsS.every((end, i, ends) => end >= (ends[i - 1] ?? 0))).toBe(true);
  }
  for (const { atS, values } of log.sensors) {
    expect(values.length).toBe(atS.length);
    expect(atS.every((at, i) => i === 0 || at >= (atS[i - 1] ?? 0))).toBe(true);
    expect(values.every((value) => Number.isFinite(value))).toBe(true);
  }
}

/** A stretch of bytes replaced by others: rows doubled, cells lost, quotes opened, files cut. */
const mutation = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  removed: fc.nat({ max: 60 }),
  added: fc.oneof(
    fc.uint8Array({ maxLength: 12 }),
    fc
      .constantFrom(
        '"',
        ",",
        ";",
        "\n",
        "\r",
        "\r\n",
        "NaN",
        "-",
        "1e9",
        "#",
        "\0",
        "frame,elapsed_s,frame_time_ms\n",
        ",,,",
        "x",
      )
      .map((text) => new TextEncoder().encode(text)),
  ),
});

function mutate(
  bytes: Uint8Array,
  mutations: readonly { at: number; removed: number; added: Uint8Array }[],
): Uint8Array {
  let result = bytes;
  for (const { at, removed, added } of mutations) {
    const from = Math.floor(at * result.length);
    result = Buffer.concat([result.subarray(0, from), added, result.subarray(from + removed)]);
  }
  return result;
}

describe("any bytes give a log or a problem", () => {
  test("arbitrary bytes", async () => {
    await fc.assert(
      fc.asyncProperty(fc.uint8Array({ maxLength: 400 }), fc.boolean(), async (bytes, packed) => {
        expectAccounted(await read(packed ? gzipSync(bytes) : bytes));
      }),
      { numRuns: 300 },
    );
  });

  test("arbitrary text made of what logs are made of", async () => {
    const piece = fc.constantFrom(
      ...'0123456789.,;\t|"\n\r#:-+ eETZ'.split(""),
      "frame time",
      "ms",
      "16.7",
      "2026-03-14T20:15:00Z",
      "fps",
      "elapsed_s",
      "NaN",
      "\n1,2,3\n",
    );
    await fc.assert(
      fc.asyncProperty(fc.array(piece, { maxLength: 200 }), async (pieces) => {
        const bytes = new TextEncoder().encode(pieces.join(""));
        expectAccounted(await read(bytes, 65_536, bytes));
      }),
      { numRuns: 400 },
    );
  });

  test("the fixtures with bytes lost, doubled and replaced: every row is accounted for", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...fixtures),
        fc.array(mutation, { minLength: 1, maxLength: 6 }),
        async (fixture, mutations) => {
          expectAccounted(await read(mutate(fixture, mutations)));
        },
      ),
      { numRuns: 600 },
    );
  });

  // Each of these would take minutes if any part of the reader looked at them more than a few times over.
  test.for([
    {
      what: "a cell of 900,000 digits",
      text: `frame,ms\n${"1".repeat(900_000)},16.7\n${"2,16.8\n".repeat(10)}`,
    },
    { what: "a run of blanks", text: `frame,ms\n1,16.7\n${" ".repeat(900_000)}x\n${"2,16.8\n".repeat(10)}` },
    { what: "a name of 450,000 words", text: `frame,${"1 ".repeat(450_000)}ms\n${"1,16.7\n".repeat(100)}` },
    { what: "a name of one long compound", text: `${"no".repeat(300_000)},ms\n${"1,16.7\n".repeat(100)}` },
    { what: "a line of quotes", text: `${'"'.repeat(900_000)}\n${'"a,'.repeat(300_000)}\n` },
    { what: "a stray quote in every row", text: `frame,ms\n${'"1,16.7\n'.repeat(50_000)}` },
    { what: "a line of commas", text: `${",".repeat(990_000)}\n${",".repeat(990_000)}\n` },
    { what: "a line that never ends", text: "1,".repeat(600_000) },
  ])("$what is read without delay", async ({ text }) => {
    const begunMs = processorMs();
    expectAccounted(await read(new TextEncoder().encode(text)));
    expect(processorMs() - begunMs).toBeLessThan(15_000);
  });

  test("the reading does not depend on how the bytes arrive", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...fixtures),
        fc.integer({ min: 1, max: 50 }),
        async (fixture, length) => {
          const whole = await read(fixture);
          const pieces = await read(fixture, length);
          expect(pieces).toEqual(whole);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe("how a log is printed does not change its frame times", () => {
  const times = fc.array(fc.integer({ min: 2_000, max: 90_000 }), { minLength: 25, maxLength: 80 });
  const style = fc.record({
    delimiter: fc.constantFrom(",", ";", "\t", "|"),
    comma: fc.boolean(),
    unit: fc.constantFrom("s", "ms", "us", "ns"),
    clockUnit: fc.constantFrom("s", "ms", "us", "ns", null),
    end: fc.constantFrom("\n", "\r\n", "\r"),
    encoding: fc.constantFrom("utf-8", "utf-8 with mark", "utf-16le", "gzip"),
    name: fc.constantFrom("frame time", "frameTime", "FRAME_TIME", "Frame duration"),
    quoted: fc.boolean(),
    counter: fc.boolean(),
    preamble: fc.constantFrom("", "# by hand", "Capture: Saltworks"),
    lastEnd: fc.boolean(),
  });
  const perUs = { s: 1e-6, ms: 1e-3, us: 1, ns: 1e3 };
  const digits = { s: 6, ms: 3, us: 0, ns: 0 };

  test("delimiter, decimal sign, units, quotes, line ends and encoding", async () => {
    await fc.assert(
      fc.asyncProperty(times, style, async (timesUs, how) => {
        const print = (us: number, unit: keyof typeof perUs): string => {
          const text = (us * perUs[unit]).toFixed(digits[unit]);
          const signed = how.comma ? text.replace(".", ",") : text;
          return how.quoted || (how.comma && how.delimiter === ",") ? `"${signed}"` : signed;
        };
        const { clockUnit } = how;
        const names = [`${how.name} [${how.unit}]`];
        if (clockUnit !== null) names.unshift(`elapsed (${clockUnit})`);
        if (how.counter) names.unshift("frame");
        let clockUs = 0;
        const rows = timesUs.map((us, i) => {
          if (i > 0) clockUs += us;
          const cells = [print(us, how.unit)];
          if (clockUnit !== null) cells.unshift(print(clockUs, clockUnit));
          if (how.counter) cells.unshift(String(i + 1));
          return cells.join(how.delimiter);
        });
        const lines = [...(how.preamble === "" ? [] : [how.preamble]), names.join(how.delimiter), ...rows];
        const text = lines.join(how.end) + (how.lastEnd ? how.end : "");
        const bytes = {
          "utf-8": Buffer.from(text),
          "utf-8 with mark": Buffer.from(`\ufeff${text}`),
          "utf-16le": Buffer.from(`\ufeff${text}`, "utf16le"),
          gzip: gzipSync(text),
        }[how.encoding] as Buffer;
        const { log, problems } = await read(bytes);
        expect(problems.filter(({ severity }) => severity !== "note")).toEqual([]);
        const found = [...(log?.frameTimesMs ?? [])];
        expect(found.length).toBe(timesUs.length);
        for (const [i, us] of timesUs.entries())
          expect(Math.abs((found[i] ?? 0) - us / 1000)).toBeLessThan(1e-9);
        expect(log?.flags).toEqual([]);
      }),
      { numRuns: 500 },
    );
  });
});

describe("cutting rows", () => {
  test("lines without quotes are cut as RFC 4180 asks, by csv-parse's account", () => {
    const cell = fc.stringMatching(/^[A-Za-z0-9 .:;|-]{0,8}$/);
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { minLength: 2, maxLength: 6 }), { minLength: 1, maxLength: 8 }),
        (rows) => {
          const lines = rows.map((cells) => cells.join(","));
          const options = { delimiter: ",", trim: true, relax_column_count: true, skip_empty_lines: false };
          expect(splitRows(lines, 1, ",").map(({ cells }) => cells)).toEqual(
            parse(lines.join("\n"), options),
          );
        },
      ),
    );
  });

  test("quoted cells may hold delimiters, quotes and line ends", () => {
    const lines = ['1,"a, b",x', '2,"say ""hi""",y', '3,"two', 'lines",z', "4,plain,w"];
    expect(splitRows(lines, 5, ",").map(({ line, cells }) => [line, cells])).toEqual([
      [5, ["1", "a, b", "x"]],
      [6, ["2", 'say "hi"', "y"]],
      [7, ["3", "two\nlines", "z"]],
      [9, ["4", "plain", "w"]],
    ]);
  });
});
