import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readNumber } from "../../src/read/read-number.ts";
import { type PlainRow, RowScanner, type ScanPlan } from "../../src/read/scan-rows.ts";

/** What a scanner made of some bytes: plain rows as numbers, other lines as text, in order. */
function scan(
  bytes: Uint8Array,
  plan: ScanPlan,
  pieces: readonly number[] = [],
): { rows: (number[] | string)[]; rest: string } {
  const rows: (number[] | string)[] = [];
  const scanner = new RowScanner(plan, {
    takePlain: ({ values }: PlainRow) => {
      rows.push([...values]);
      return true;
    },
    takeLines: (lines) => {
      rows.push(Buffer.from(lines).toString("latin1"));
    },
    isBusy: () => false,
  });
  let from = 0;
  for (const piece of pieces) {
    scanner.push(bytes.subarray(from, from + piece));
    from += piece;
  }
  scanner.push(bytes.subarray(from));
  return { rows, rest: Buffer.from(scanner.rest()).toString("latin1") };
}

const oneColumn: ScanPlan = { delimiter: ";", decimalSign: ".", width: 1, needed: [0] };
const text = (value: string): Uint8Array => Buffer.from(value, "latin1");

const digits = (min: number, max: number) =>
  fc.stringMatching(new RegExp(`^\\d{${min},${max}}$`)).filter((value) => value.length >= min);
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

  test("whole part and fraction apart keep what a double loses", () => {
    const seen: number[][] = [];
    const scanner = new RowScanner(oneColumn, {
      takePlain: ({ wholes, fractions, lengths }) => {
        seen.push([wholes[0] ?? 0, fractions[0] ?? 0, lengths[0] ?? 0]);
        return true;
      },
      takeLines: () => undefined,
      isBusy: () => false,
    });
    scanner.push(text("1700000000.123456789\n"));
    expect(seen).toEqual([[1_700_000_000, 0.123456789, 20]]);
  });
});

describe("only plain rows are taken", () => {
  const plan: ScanPlan = { delimiter: ",", decimalSign: ".", width: 3, needed: [0, 2] };
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
        const join = ({ rows, rest }: ReturnType<typeof scan>) => {
          // Lines that are no plain rows may come together or apart.
          const flat = rows.flatMap((row): (string | number[])[] =>
            typeof row === "string" ? row.split("\n") : [row],
          );
          return { flat, rest };
        };
        expect(join(scan(bytes, plan, pieces))).toEqual(join(scan(bytes, plan)));
      }),
    );
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
});
