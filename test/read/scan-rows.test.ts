import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type ClockForm, ClockReader } from "../../src/read/read-clock.ts";
import { readNumber } from "../../src/read/read-number.ts";
import { RowScanner, type ScanPlan } from "../../src/read/scan-rows.ts";

/** What a scanner made of some bytes: plain rows as numbers, other lines as text, in order. */
function scan(
  bytes: Uint8Array,
  plan: ScanPlan,
  pieces: readonly number[] = [],
  { takesRow = () => true, clockForm = null }: Partial<Taking> = {},
): { rows: (number[] | string)[]; rest: string } {
  const rows: (number[] | string)[] = [];
  const scanner = new RowScanner(plan, {
    clockForm,
    takePlain: (columns, count) => {
      for (let i = 0; i < count; i++) {
        const row = columns.map((values) => values[i] as number);
        if (!takesRow(row)) return i;
        rows.push(row);
      }
      return count;
    },
    takeLines: (lines) => {
      rows.push(Buffer.from(lines).toString("latin1"));
    },
    isBusy: () => false,
  });
  try {
    let from = 0;
    for (const piece of pieces) {
      scanner.push(bytes.subarray(from, from + piece));
      from += piece;
    }
    scanner.push(bytes.subarray(from));
    return { rows, rest: Buffer.from(scanner.rest()).toString("latin1") };
  } finally {
    scanner.release();
  }
}

interface Taking {
  readonly takesRow: (row: readonly number[]) => boolean;
  readonly clockForm: ClockForm | null;
}

const oneColumn: ScanPlan = {
  delimiter: ";",
  decimalSign: ".",
  width: 1,
  isCounted: true,
  mayEndShort: true,
  needed: [0],
  encoding: "utf-8",
};
const text = (value: string): Uint8Array => Buffer.from(value, "latin1");

/** As often many as few: patterns of strings give no more than a dozen but once in a million times. */
const digits = (min: number, max: number) =>
  fc.string({ unit: fc.constantFrom(..."0123456789"), minLength: min, maxLength: max, size: "max" });
const decimal = fc
  .tuple(
    fc.constantFrom("", "-", "+"),
    digits(1, 25),
    fc.option(digits(0, 25), { nil: null }),
    fc.option(
      fc.tuple(fc.constantFrom("e", "E"), fc.constantFrom("", "-", "+"), fc.integer({ min: 0, max: 330 })),
      {
        nil: null,
      },
    ),
  )
  .map(
    ([sign, whole, fraction, exponent]) =>
      sign + whole + (fraction === null ? "" : `.${fraction}`) + (exponent === null ? "" : exponent.join("")),
  );

describe("a decimal is the nearest double", () => {
  // Source: ECMAScript's StringToNumber, which rounds correctly (ECMA-262, 7.1.4.1).
  test("for any decimal of 1 to 25 digits on either side, with any sign and exponent", () => {
    fc.assert(
      fc.property(decimal, (cell) => {
        expect(scan(text(`${cell}\n`), oneColumn).rows).toEqual([[Number(cell)]]);
      }),
      { numRuns: 3000 },
    );
  });

  test("with a decimal comma", () => {
    fc.assert(
      fc.property(decimal, (cell) => {
        const plan = { ...oneColumn, decimalSign: "," as const };
        expect(scan(text(`${cell.replace(".", ",")}\n`), plan).rows).toEqual([[Number(cell)]]);
      }),
    );
  });

  test.for([
    "9007199254740993",
    "0.1",
    "1e23",
    "8.98846567431158e307",
    "2.2250738585072011e-308",
    "5e-324",
    "1e400",
    "0.000000000000000000000000001",
    "00000000000000000000000012.50",
    "16.666666666666666666666666",
    "179769313486231570000000000000000000000",
  ])("%s", (cell) => {
    expect(scan(text(`${cell}\n`), oneColumn).rows).toEqual([[Number(cell)]]);
  });

  test("cells of one row do not disturb each other, however many need more care", () => {
    const plan = { ...oneColumn, width: 3, needed: [0, 1, 2] };
    fc.assert(
      fc.property(fc.array(fc.tuple(decimal, decimal, decimal), { minLength: 1, maxLength: 40 }), (lines) => {
        const bytes = text(`${lines.map((cells) => cells.join(";")).join("\n")}\n`);
        expect(scan(bytes, plan).rows).toEqual(lines.map((cells) => cells.map(Number)));
      }),
    );
  });
});

describe("a clock's reading less its base", () => {
  const clock = { ...oneColumn, clock: 0 };
  test.for([
    { cell: "1700000000.123456789", base: 1_700_000_000n, less: 0.123456789 },
    { cell: "1700000000123456789", base: 1_700_000_000_000_000_000n, less: 123_456_789 },
    { cell: "1700000000123456789.25", base: 1_700_000_000_123_456_788n, less: 1.25 },
    { cell: "  +1700000000.5000000  ", base: 1_700_000_000n, less: 0.5 },
    { cell: "12.5", base: 0n, less: 12.5 },
    { cell: "12.5", base: 1_700_000_000n, less: 12.5 - 1_700_000_000 },
    { cell: "0.1234567890123456789", base: 0n, less: 0.12345678901234568 },
    { cell: "-2000000000.25", base: -2_000_000_000n, less: -0.25 },
    { cell: "17e8", base: 1_700_000_000n, less: 0 },
  ])("$cell less $base", ({ cell, base, less }) => {
    expect(scan(text(`${cell}\n`), clock, [], { clockForm: { base } }).rows).toEqual([[less]]);
  });

  // 2^63 - 1 is the most that the machine's integer holds (WebAssembly Core Specification 2.0, 4.3.2: i64.sub is modulo 2^64).
  test.for([
    { cell: "9223372036854775806", base: -1n, row: [2 ** 63] },
    { cell: "9223372036854775807", base: -1n, row: "9223372036854775807" },
    { cell: "+3000000000000000000.5", base: -7_000_000_000_000_000_000n, row: "+3000000000000000000.5" },
  ])("is the careful reader's business where it is more than an integer holds: $cell less $base", (of) => {
    const { cell, base, row } = of;
    expect(scan(text(`${cell}\n`), clock, [], { clockForm: { base } }).rows).toEqual([row]);
  });

  test("is what the careful reader makes of it", () => {
    const longDecimal = fc
      .tuple(fc.constantFrom("", "+", "-"), digits(1, 22), fc.option(digits(0, 17), { nil: null }))
      .map(([sign, whole, fraction]) => sign + whole + (fraction === null ? "" : `.${fraction}`));
    fc.assert(
      fc.property(longDecimal, longDecimal, (first, second) => {
        const reader = new ClockReader(false, ".");
        reader.read(first);
        const clockForm = reader.form;
        const [row] = scan(text(`${second}\n`), clock, [], { clockForm }).rows;
        if (Array.isArray(row)) expect(row).toEqual([reader.read(second)]);
        else expect(clockForm === null || second.replace(/\D/g, "").length > 15).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });

  test.for([
    { cell: "2026-03-14T20:15:07.25Z", reading: 67.25 },
    { cell: "2026-03-14T20:15:59Z", reading: 119 },
    { cell: "2026-03-14T20:15:07,5Z", reading: 67.5 },
    { cell: "2026-03-14T20:15:07.123456789012Z", reading: 67.123456789012 },
    { cell: "2026-03-14T20:16:07.25Z", reading: null },
    { cell: "2026-03-14 20:15:07.25Z", reading: null },
    { cell: "2026-03-14T20:15:07.25", reading: null },
    { cell: "2026-03-14T20:15:60Z", reading: null },
    { cell: "2026-03-14T20:15:7Z", reading: null },
    { cell: "2026-03-14T20:15:07.Z", reading: null },
    { cell: "2026-03-14T20:15:07.1234567890123Z", reading: null },
    { cell: "2026-03-14T20:15:07.2 Z", reading: null },
    { cell: "2026-03-14T20:15:07:2Z", reading: null },
    { cell: "2026-03-14T20:15:", reading: null },
  ])("in the minute of 2026-03-14T20:15: $cell is $reading", ({ cell, reading }) => {
    const clockForm = { prefix: "2026-03-14T20:15:", suffix: "Z", minuteS: 60 };
    expect(scan(text(`${cell}\n`), clock, [], { clockForm }).rows).toEqual([
      reading === null ? cell : [reading],
    ]);
  });

  test("waits for the base, row by row", () => {
    expect(scan(text("1\n2\n"), clock).rows).toEqual(["1", "2"]);
  });
});

describe("only plain rows are taken", () => {
  const plan: ScanPlan = {
    delimiter: ",",
    decimalSign: ".",
    width: 3,
    isCounted: true,
    mayEndShort: true,
    needed: [0, 2],
    encoding: "utf-8",
  };
  test.for([
    { line: "1,a,2.5", row: [1, 2.5] },
    { line: " 1 ,, 2.5 ", row: [1, 2.5] },
    { line: "1,2.5", row: "1,2.5" },
    { line: "1,a,2.5,9", row: "1,a,2.5,9" },
    { line: '1,"a",2.5', row: '1,"a",2.5' },
    { line: "1,a,n/a", row: "1,a,n/a" },
    { line: "1,a,", row: "1,a," },
    { line: "1,a,2.5x", row: "1,a,2.5x" },
    { line: "1,a,2.5e", row: "1,a,2.5e" },
    { line: "1,a,0x10", row: "1,a,0x10" },
    { line: "1,a,1.2.3", row: "1,a,1.2.3" },
    { line: "1,ä,2.5", row: "1,ä,2.5" },
    { line: "# comment", row: "# comment" },
    { line: "", row: "" },
    { line: "1,a\rb,2", row: "1,a\rb,2" },
    { line: "frame,state,ms", row: "frame,state,ms" },
  ])("$line", ({ line, row }) => {
    const { rows } = scan(text(`7,x,8\n${line}\n7,x,8\n`), plan);
    expect(rows).toEqual([[7, 8], row, [7, 8]]);
    const windows = scan(text(`7,x,8\r\n${line}\r\n7,x,8\r\n`), plan).rows;
    expect(windows).toEqual([[7, 8], typeof row === "string" ? `${row}\r` : row, [7, 8]]);
  });

  test.for([
    { it: "a decimal sign alone, under a number that ends in one", cells: ["0.", "."], rows: [[0], "."] },
    { it: "the same after a number with a sign", cells: ["0.", "+5", "."], rows: [[0], [5], "."] },
    { it: "the same after nothing was read", cells: ["."], rows: ["."] },
    { it: "zeros in front", cells: ["07", "7", "007", "0", "00"], rows: [[7], [7], [7], [0], [0]] },
    { it: "no zero in front", cells: ["0.5", ".5", "00.5"], rows: [[0.5], [0.5], [0.5]] },
    { it: "another sign", cells: ["5", "-5", "5"], rows: [[5], [-5], [5]] },
  ])("a cell is read by itself, whatever stood above it: $it", ({ cells, rows }) => {
    expect(scan(text(`${cells.join("\n")}\n`), oneColumn).rows).toEqual(rows);
  });

  test("a last line without its end waits", () => {
    expect(scan(text("1,a,2\n3,b,4"), plan)).toEqual({ rows: [[1, 2]], rest: "3,b,4" });
  });

  test("pieces of any size give the same rows", () => {
    const line = fc.oneof(
      fc
        .tuple(fc.integer(), fc.string({ maxLength: 4 }), fc.double({ noNaN: true, noDefaultInfinity: true }))
        .map((cells) => cells.join(",")),
      fc.string({ maxLength: 12 }),
    );
    fc.assert(
      fc.property(fc.array(line), fc.array(fc.nat(20)), fc.boolean(), (lines, pieces, isWindows) => {
        const bytes = Buffer.from(lines.join(isWindows ? "\r\n" : "\n"), "utf8");
        const join = ({ rows, rest }: ReturnType<typeof scan>) => ({ flat: rows.flatMap(apart), rest });
        expect(join(scan(bytes, plan, pieces))).toEqual(join(scan(bytes, plan)));
      }),
    );
  });

  test("a row that is not taken is handed over as it stands, wherever it is", () => {
    fc.assert(
      fc.property(fc.array(fc.nat(9), { maxLength: 60 }), fc.nat(9), (numbers, refused) => {
        const bytes = text(numbers.map((number) => `${number},x,8\n`).join(""));
        const { rows } = scan(bytes, plan, [], { takesRow: ([number]) => number !== refused });
        const wanted = numbers.map((number) => (number === refused ? `${number},x,8` : [number, 8]));
        expect(rows.flatMap(apart)).toEqual(wanted);
      }),
    );
  });

  test("thousands of rows in one piece are all there", () => {
    const lines = Array.from({ length: 5000 }, (_, i) => `${i},x,${i / 8}`);
    expect(scan(text(`${lines.join("\n")}\n`), plan).rows).toEqual(lines.map((_, i) => [i, i / 8]));
  });

  test("a plain row's numbers are the careful reader's", () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(decimal, fc.string({ maxLength: 6 })), { minLength: 3, maxLength: 3 }),
        (cells) => {
          const line = cells.join(",");
          const [row] = scan(Buffer.from(`${line}\n`, "utf8"), plan).rows;
          if (typeof row === "string" || row === undefined) return;
          const split = line.split(",").map((cell) => cell.trim());
          expect(split).toHaveLength(3);
          expect(row).toEqual([readNumber(split[0] ?? "", "."), readNumber(split[2] ?? "", ".")]);
        },
      ),
    );
  });

  test("a row is as wide as it is cut, whatever follows the cells that matter and wherever it lies", () => {
    const cell = fc.string({
      unit: fc.constantFrom("-", ".", "+", "a", "7", " ", "ä", "\u0001"),
      maxLength: 9,
    });
    fc.assert(
      fc.property(
        fc.array(fc.array(cell, { maxLength: 9 }), { minLength: 1 }),
        fc.nat(3),
        (tails, offset) => {
          const lines = tails.map((tail) => ["7", "x", "8", ...tail].join(","));
          const memory = Buffer.from(`${"\n".repeat(offset)}${lines.join("\n")}\n`, "utf8");
          const bytes = memory.subarray(offset);
          const asRead = (line: string): string => Buffer.from(line, "utf8").toString("latin1");
          const rows = lines.map((line) => (line.split(",").length === 5 ? [7, 8] : asRead(line)));
          expect(scan(bytes, { ...plan, width: 5 }).rows.flatMap(apart)).toEqual(rows);
          expect(scan(bytes, { ...plan, isCounted: false }).rows).toEqual(lines.map(() => [7, 8]));
        },
      ),
    );
  });

  test.for([
    { line: "12,tide,2.5", row: [2.5] },
    { line: "12,tide,2.5,9", row: [2.5] },
    { line: "12,tides,2.5", row: "12,tides,2.5" },
    { line: "12,tid,2.5", row: "12,tid,2.5" },
    { line: "12,,2.5", row: "12,,2.5" },
    { line: "1a,tide,2.5", row: "1a,tide,2.5" },
    { line: ",tide,2.5", row: ",tide,2.5" },
    { line: "12,tide", row: "12,tide" },
    { line: "12,tide,2.5\rx", row: "12,tide,2.5\rx" },
  ])("with digits first and a fixed word second: $line", ({ line, row }) => {
    const fixed = { column: 1, bytes: text("tide") };
    const { rows } = scan(text(`${line}\n`), { ...plan, isCounted: false, needed: [2], digits: [0], fixed });
    expect(rows).toEqual([row]);
  });

  test("what matters may also be last: digits, a fixed word", () => {
    const last = { ...plan, width: 2, needed: [0] };
    const rows = ["1,2", "1,2x", "1,tide", "1,tide2"];
    const bytes = text(`${rows.join("\n")}\n`);
    expect(scan(bytes, { ...last, digits: [1] }).rows.flatMap(apart)).toEqual([[1], ...rows.slice(1)]);
    const fixed = { column: 1, bytes: text("tide") };
    expect(scan(bytes, { ...last, fixed }).rows.flatMap(apart)).toEqual(["1,2", "1,2x", [1], "1,tide2"]);
  });

  test("many columns, moments, digits and a fixed word stand side by side in thousands of rows", () => {
    const wide: ScanPlan = {
      ...plan,
      delimiter: ";",
      width: 9,
      needed: [0, 1, 2, 3, 4, 5, 6],
      clock: 1,
      digits: [7],
      fixed: { column: 8, bytes: text("tide runner, the second of two ".repeat(3)) },
    };
    const clockForm = { prefix: "2026-03-14T20:15:", suffix: "+01:00", minuteS: 60 };
    const values = (i: number) => [i / 4, i / 8, i * 1e9 + 1, -1 - i, 1234567890123.25 + i];
    const word = Buffer.from(wide.fixed?.bytes ?? []).toString("latin1");
    const lines = Array.from({ length: 3000 }, (_, i) =>
      [i % 7, "2026-03-14T20:15:30.5+01:00", ...values(i), i, word].join(";"),
    );
    const { rows } = scan(text(`${lines.join("\n")}\n`), wide, [], { clockForm });
    expect(rows).toEqual(lines.map((_, i) => [i % 7, 90.5, ...values(i)]));
  });

  test("thousands of numbers with more digits than a double holds stand side by side", () => {
    const cells = (i: number) => [1, 2, 3, 4].map((k) => `${i}.${k}2345678901234567890123`);
    const lines = Array.from({ length: 2500 }, (_, i) => cells(i));
    const bytes = text(`${lines.map((line) => line.join(",")).join("\n")}\n`);
    const { rows } = scan(bytes, { ...plan, width: 4, needed: [0, 1, 2, 3] });
    expect(rows).toEqual(lines.map((line) => line.map(Number)));
  });

  test.for([30, 31, 32, 33, 63, 64, 65, 500])("what matters may stand in column %i of words", (column) => {
    const line = (i: number) => `${i},${"word,".repeat(column - 1)}${i / 4},word`;
    const bytes = text(`${Array.from({ length: 20 }, (_, i) => line(i)).join("\n")}\n`);
    const { rows } = scan(bytes, { ...plan, width: column + 2, needed: [0, column] });
    expect(rows).toEqual(Array.from({ length: 20 }, (_, i) => [i, i / 4]));
  });

  test.for([
    { optional: new Set([2]), rows: [[1, Number.NaN], [3, Number.NaN], ",a,5"] },
    { optional: new Set<number>(), rows: ["1,a,", "3,a, ", ",a,5"] },
  ])("a blank cell is a number that is not there where that may be: $optional", ({ optional, rows }) => {
    const { rows: found } = scan(text("1,a,\n3,a, \n,a,5\n"), { ...plan, optional });
    expect(found.flatMap(apart)).toEqual(rows);
  });

  test.for([
    { it: "first of all", before: "" },
    { it: "behind other rows", before: "x,1\n" },
  ])("a delimiter within quotes parts no cells, $it", ({ before }) => {
    const odd = '"a,7,b",8';
    const { rows } = scan(text(`${before}${odd}\nx,2\n`), { ...plan, isCounted: false, needed: [1] });
    expect(rows).toEqual([...(before === "" ? [] : [[1]]), odd, [2]]);
  });

  test("letters beyond ASCII in cells that do not matter are plain where they are text", () => {
    expect(scan(Buffer.from("1,ä,2\n", "utf8"), plan).rows).toEqual([[1, 2]]);
    expect(scan(text("1,ä,2\n"), plan).rows).toEqual(["1,ä,2"]);
    expect(scan(text("1,ä,2\n"), { ...plan, encoding: "latin-1" }).rows).toEqual([[1, 2]]);
  });
});

/** Lines that are no plain rows may come together or apart. */
function apart(row: string | number[]): (string | number[])[] {
  return typeof row === "string" ? row.split("\n") : [row];
}
