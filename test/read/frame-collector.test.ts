import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { FrameCollector, type Reading } from "../../src/read/frame-collector.ts";

/** Frame time, clock, running number and date, in this order. */
const how: Reading = {
  frameTime: { index: 0, how: "duration", unit: "ms", unitS: 1e-3 },
  clock: null,
  isMomentClock: false,
  isSpans: false,
  counter: null,
  wall: null,
  decimalSign: ".",
};
const clock = { index: 1, unit: "s", unitS: 1, lag: 0, precisionS: 0.001 } as const;
const withClock: Reading = { ...how, clock };
const rate: Reading = { ...how, frameTime: { index: 0, how: "rate", unit: "fps", unitS: 1 } };
const steps: Reading = { ...withClock, frameTime: { index: 1, how: "steps", unit: "s", unitS: 1 } };
const numbered: Reading = { ...how, counter: 2 };
const dated: Reading = { ...how, wall: 3 };

type Row = readonly [ms: number, s: number, count: number, date: number];

const stateOf = ({ frameTimesMs, clockS, segments, notUsed, rows }: FrameCollector) => ({
  timesMs: frameTimesMs.view(),
  clockS: clockS.view(),
  segments,
  notUsed,
  rows,
});

/** Rows read one by one, and the same rows together: the first few with care, as is each that is not taken. */
function readBothWays(reading: Reading, rows: readonly Row[], first = 1) {
  const careful = new FrameCollector(reading);
  for (const [i, row] of rows.entries()) careful.addRow(row.map(String), i + 1);
  const quick = new FrameCollector(reading);
  const taken: number[] = [];
  let at = 0;
  while (at < rows.length) {
    if (at >= first) {
      const rest = rows.slice(at);
      const columns = [0, 1, 2, 3].map((column) => Float64Array.from(rest, (row) => row[column] as number));
      taken.push(quick.addParsed(columns, rest.length, Int32Array.of(0, 1, 2, 3)));
      at += taken.at(-1) as number;
    }
    const row = rows[at];
    if (row !== undefined) quick.addRow(row.map(String), at + 1);
    at++;
  }
  careful.end();
  quick.end();
  return { careful: stateOf(careful), quick: stateOf(quick), taken };
}

/** Six rows of 20 ms and the like, some cells of one column others. */
function rowsWith(column: number, others: Readonly<Record<number, number>>): Row[] {
  return Array.from({ length: 6 }, (_, i) => {
    const row: [number, number, number, number] = [20, (i + 1) / 50, i, 1_773_519_300];
    row[column] = others[i] ?? (row[column] as number);
    return row;
  });
}

describe("rows that were parsed are taken together, up to the first that needs a careful look", () => {
  test.for<{ it: string; reading: Reading; rows: Row[]; taken: number[] }>([
    { it: "frame times", reading: how, rows: rowsWith(0, { 2: 30 }), taken: [5] },
    { it: "a frame time of ten seconds", reading: how, rows: rowsWith(0, { 3: 10_000 }), taken: [5] },
    { it: "but not one beyond", reading: how, rows: rowsWith(0, { 3: 10_001 }), taken: [2, 2] },
    { it: "nor one of nothing", reading: how, rows: rowsWith(0, { 3: 0 }), taken: [2, 2] },
    { it: "nor one below it", reading: how, rows: rowsWith(0, { 1: -20, 5: -20 }), taken: [0, 3] },
    { it: "frame rates", reading: rate, rows: rowsWith(0, { 2: 50 }), taken: [5] },
    { it: "but not a rate of nothing", reading: rate, rows: rowsWith(0, { 4: 0 }), taken: [3, 1] },
    { it: "the steps of a clock", reading: steps, rows: rowsWith(0, { 2: 999 }), taken: [5] },
    { it: "but not one that stands still", reading: steps, rows: rowsWith(1, { 4: 0.08 }), taken: [3, 1] },
    { it: "frame times beside a clock", reading: withClock, rows: rowsWith(0, { 2: 30 }), taken: [5] },
    {
      it: "a clock that falls by 0.05 s",
      reading: withClock,
      rows: rowsWith(1, { 2: 0.0625, 3: 0.0125 }),
      taken: [5],
    },
    {
      it: "but not one that falls by more, nor the row behind it",
      reading: withClock,
      rows: rowsWith(1, { 3: -0.02 }),
      taken: [2, 0, 1],
    },
    {
      it: "nor one beyond all numbers",
      reading: withClock,
      rows: rowsWith(1, { 3: Number.POSITIVE_INFINITY }),
      taken: [2, 2],
    },
    {
      it: "running numbers",
      reading: numbered,
      rows: rowsWith(2, { 2: 90, 3: 91, 4: 92, 5: 93 }),
      taken: [5],
    },
    { it: "a running number that falls by one", reading: numbered, rows: rowsWith(2, { 3: 1 }), taken: [5] },
    { it: "but not one that falls by more", reading: numbered, rows: rowsWith(2, { 3: 0 }), taken: [2, 2] },
    {
      it: "whatever runs beside a clock",
      reading: { ...withClock, counter: 2 },
      rows: rowsWith(2, { 3: 0 }),
      taken: [5],
    },
    { it: "behind a row with its date", reading: dated, rows: rowsWith(0, {}), taken: [5] },
    { it: "not before one", reading: dated, rows: rowsWith(0, { 0: 0 }), taken: [0, 4] },
  ])("$it", ({ reading, rows, taken }) => {
    const read = readBothWays(reading, rows);
    expect(read.taken).toEqual(taken);
    expect(read.quick).toEqual(read.careful);
  });

  test("and give what they give one by one", () => {
    const row = fc.tuple(
      fc.constantFrom(20, 16.7, 0, -1, 10_000, 10_001),
      fc.constantFrom(0, 0.02, 0.04, 0.1, 0.15, 5),
      fc.constantFrom(0, 1, 2, 3, 9),
      fc.constantFrom(1_773_519_300, 1_773_519_301),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(how, rate, steps, withClock, numbered, dated, { ...withClock, wall: 3 }),
        fc.array(row, { maxLength: 12 }),
        fc.integer({ min: 1, max: 4 }),
        (reading, rows, first) => {
          const read = readBothWays(reading, rows, first);
          expect(read.quick).toEqual(read.careful);
        },
      ),
    );
  });
});
