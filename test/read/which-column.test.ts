import { describe, expect, test } from "vitest";
import type { LogSettings } from "../../src/read/log.ts";
import { recogniseColumns } from "../../src/read/recognise-columns.ts";
import type { Recognition } from "../../src/read/recognition.ts";
import { headOf, repeat } from "../support/head-of.ts";

const rows = 60;
/** Frame times in milliseconds, two decimals, 14.00 to 19.99, and when each frame began and ended. */
const times = Array.from({ length: rows }, (_, i) => (1400 + ((i * 7919) % 600)) / 100);
const starts = times.map((_, i) => times.slice(0, i).reduce((sum, ms) => sum + ms, 0));
const ends = times.map((ms, i) => (starts[i] as number) + ms);
const at = (list: readonly number[], i: number): number => list[i] as number;

type Column = readonly [name: string | null, cell: (i: number) => string];
const ms = (name: string | null, factor = 1, digits = 2): Column => [
  name,
  (i) => (at(times, i) * factor).toFixed(digits),
];
const endAt = (name: string | null, perMs: number, digits: number): Column => [
  name,
  (i) => (at(ends, i) * perMs).toFixed(digits),
];
const startAt = (name: string | null, perMs: number, digits: number): Column => [
  name,
  (i) => (at(starts, i) * perMs).toFixed(digits),
];
/** Numbers that have nothing to do with the frames. */
const noise = (name: string | null, low: number, spread: number, digits = 2): Column => [
  name,
  (i) => (low + (spread * ((i * 4447 + 1234) % 997)) / 997).toFixed(digits),
];
const constant = (name: string | null, cell: string): Column => [name, () => cell];
const scene = constant("scene", "quay");

function recognise(columns: readonly Column[], settings: LogSettings = {}, count = rows): Recognition {
  const header = columns.some(([name]) => name === null) ? [] : [columns.map(([name]) => name).join(";")];
  return recogniseColumns(
    headOf(
      header,
      repeat(count, (i) => columns.map(([, cell]) => cell(i)).join(";")),
    ),
    settings,
  );
}

/** What was decided, in a line. */
function tell(recognition: Recognition): string {
  const { frameTime, clock, fault, columns } = recognition;
  const nameOf = (index: number): string => columns[index]?.name ?? `#${index + 1}`;
  if (fault?.code === "log-frame-time-unclear")
    return `${fault.why}: ${fault.candidates.map(({ column, unit, isClock }) => `${column} in ${unit}${isClock ? " (steps)" : ""}`).join(" | ")}`;
  if (frameTime === null) return fault?.code ?? "?";
  const by =
    clock === null
      ? ""
      : `, ${clock.lag === 0 ? "ends" : "starts"} by ${nameOf(clock.index)} in ${clock.unit}`;
  return `${frameTime.how} ${nameOf(frameTime.index)} in ${frameTime.unit}${by}`;
}

interface Case {
  readonly what: string;
  readonly columns: readonly Column[];
  readonly settings?: LogSettings;
  readonly count?: number;
  readonly is: string;
}
const check = ({ columns, settings, count, is }: Case): void =>
  expect(tell(recognise(columns, settings, count))).toBe(is);

/** Mostly as large as said, one in ten `factor` times that. */
const sometimes = (name: string | null, usual: number, factor: number): Column => [
  name,
  (i) => (usual * (1 + (i % 7) / 100) * (i % 10 === 4 ? factor : 1)).toFixed(2),
];
/** Frame times of which one in `each` is out by a third. */
const oftenWrong = (name: string, each: number): Column => [
  name,
  (i) => (at(times, i) * (i % each === 3 ? 1.33 : 1)).toFixed(2),
];
/** Neighbours share their time, so that single rows differ and the sum is the same. */
const evenedOut = (name: string): Column => [name, (i) => (at(times, i) + (i % 2 === 0 ? 3 : -3)).toFixed(2)];

describe("a column that equals a clock's steps is the frame time", () => {
  test.for<Case>([
    {
      what: "at the frames' ends",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms")],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "at their starts",
      columns: [startAt("elapsed s", 1e-3, 5), ms("frame ms")],
      is: "duration frame ms in ms, starts by elapsed s in s",
    },
    {
      what: "whatever its name",
      columns: [endAt("elapsed s", 1e-3, 5), ms("depth"), noise("height", 10, 9)],
      is: "duration depth in ms, ends by elapsed s in s",
    },
    {
      what: "in the clock's own unit",
      columns: [endAt("elapsed us", 1000, 0), ms("depth", 1e-3, 5)],
      is: "duration depth in s, ends by elapsed us in us",
    },
    {
      what: "of a clock without a unit, by its values",
      columns: [endAt("elapsed", 1000, 0), ms("depth")],
      is: "duration depth in ms, ends by elapsed in us",
    },
    {
      what: "of a clock in ticks of its own",
      columns: [endAt("ticks", 10.24, 2), ms("frame ms")],
      is: "duration frame ms in ms, ends by ticks in ticks",
    },
    {
      what: "of dates",
      columns: [
        ["at", (i) => new Date(Date.UTC(2026, 2, 14) + Math.round(at(ends, i))).toISOString()],
        ms("depth"),
      ],
      is: "duration depth in ms, ends by at in s",
    },
    {
      what: "of seconds since 1970",
      columns: [["at", (i) => (1_773_519_300 + at(ends, i) / 1000).toFixed(5)], ms("depth", 1000, 0)],
      is: "duration depth in us, ends by at in s",
    },
    {
      what: "though one row in ten differs",
      columns: [endAt("elapsed s", 1e-3, 5), oftenWrong("frame ms", 10)],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "though one row in four differs",
      columns: [endAt("elapsed s", 1e-3, 5), oftenWrong("frame ms", 4)],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "though single rows differ, where the sum agrees",
      columns: [endAt("elapsed s", 1e-3, 5), evenedOut("frame ms")],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "not where the sum agrees and no name says time",
      columns: [endAt("elapsed s", 1e-3, 5), evenedOut("depth")],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "by its sum, where its name is a unit of time",
      columns: [endAt("elapsed s", 1e-3, 5), evenedOut("ms")],
      is: "duration ms in ms, ends by elapsed s in s",
    },
    {
      what: "though no game is as fast as name and clock say",
      columns: [endAt("elapsed s", 1e-6, 8), ms("frame ms", 1e-3, 5)],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "before another that does not",
      columns: [endAt("elapsed s", 1e-3, 5), noise("frame time ms", 9, 8), ms("ms")],
      is: "duration ms in ms, ends by elapsed s in s",
    },
    {
      what: "also one in another unit that says the same",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms"), ms("frame s", 1e-3, 5)],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "also an average that follows every frame",
      columns: [endAt("elapsed s", 1e-3, 5), ms("avg frame ms")],
      is: "duration avg frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "not an average of frames that are all alike",
      columns: [["elapsed s", (i) => (i * 0.02).toFixed(3)], constant("avg frame ms", "20.0")],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "by the clock it fits, not the other",
      columns: [
        noise("depth", 3, 5),
        endAt("elapsed s", 1e-3, 5),
        ["uptime ms", (i) => `${i * 40 + (i % 7)}`],
        ms("frame ms"),
      ],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "by the finer clock",
      columns: [endAt("elapsed s", 1e-3, 2), endAt("stamp s", 1e-3, 5), ms("frame ms")],
      is: "duration frame ms in ms, ends by stamp s in s",
    },
    {
      what: "without any names",
      columns: [endAt(null, 1e-3, 5), ms(null)],
      is: "duration #2 in ms, ends by #1 in s",
    },
  ])("$what", check);

  test.for<Case>([
    {
      what: "two that differ",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms"), oftenWrong("frame time ms", 20)],
      is: "columns-fit-alike: frame ms in ms | frame time ms in ms",
    },
    {
      what: "a name that says ms over microseconds",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms", 1000, 0)],
      is: "unit-against-clock: frame ms in ms | frame ms in us",
    },
    {
      what: "a frame's time that no clock knows",
      columns: [endAt("elapsed s", 1e-3, 5), noise("frame ms", 9, 8)],
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two such",
      columns: [endAt("elapsed s", 1e-3, 5), noise("frame ms", 9, 8), noise("frame delta ms", 29, 8)],
      is: "clock-disagrees: frame ms in ms | frame delta ms in ms | elapsed s in s (steps)",
    },
    {
      what: "one such, beside a time of a part",
      columns: [endAt("elapsed s", 1e-3, 5), noise("cpu time ms", 3, 2), noise("frame ms", 9, 8)],
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "one such, beside an interval",
      columns: [endAt("elapsed s", 1e-3, 5), noise("interval", 9, 8), noise("frame ms", 19, 8)],
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "such a time without a unit",
      columns: [endAt("elapsed s", 1e-3, 5), noise("frame time", 9000, 8000, 0)],
      is: "clock-disagrees: frame time in us | elapsed s in s (steps)",
    },
  ])("is a question: $what", check);

  test.for<Case>([
    {
      what: "a weaker name",
      columns: [endAt("elapsed s", 1e-3, 5), oftenWrong("ms", 20), ms("frame ms")],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "no part of the frame",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms"), oftenWrong("gpu ms", 20)],
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
  ])("a name settles it: $what", check);

  test("a frame time a third of the clock's steps is sampled, not logged frame by frame", () => {
    const { fault } = recognise([["elapsed s", (i) => (i / 2).toFixed(1)], noise("frame ms", 9, 8)]);
    expect(fault).toMatchObject({
      code: "log-not-per-frame",
      column: "frame ms",
      clock: "elapsed s",
      stepMs: 500,
    });
    expect(fault?.code === "log-not-per-frame" && fault.frameTimeMs).toBeCloseTo(13, 0);
  });

  test.for<Case>([
    {
      what: "2.5 times as long: perhaps a part",
      columns: [["elapsed s", (i) => (i / 40).toFixed(3)], constant("frame ms", "10.0")],
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "3.5 times as long: sampled",
      columns: [["elapsed s", (i) => (i / 40).toFixed(3)], constant("frame ms", "7.1")],
      is: "log-not-per-frame",
    },
    {
      what: "in no unit at all: a question",
      columns: [["elapsed s", (i) => (i / 40).toFixed(3)], noise("frame s", 9e-6, 8e-6, 9)],
      is: "clock-disagrees: frame s in s | elapsed s in s (steps)",
    },
  ])("steps $what", check);

  const tenths: Column = ["elapsed s", (i) => (i * 0.0167).toFixed(1)];
  const ownSteps = (name: string): Column => [name, (i) => (i * 0.05 + (i % 5) * 0.001).toFixed(5)];
  // Steps of 16.7 ms under tenths of a second are compared by 24 rows.
  test.for<Case>([
    {
      what: "nine of them contradict no name",
      columns: [tenths, noise("frame ms", 9, 8)],
      count: 240,
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "ten do",
      columns: [tenths, noise("frame ms", 9, 8)],
      count: 241,
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "ten do not where the frames are compared with a finer clock under another name",
      columns: [ownSteps("depth"), tenths, noise("frame ms", 9, 8)],
      count: 241,
      is: "duration frame ms in ms",
    },
    {
      what: "also where another time has too few rows to compare",
      columns: [["depth ms", (i) => (i % 5 === 0 ? "3.5" : "")], tenths, noise("frame ms", 9, 8)],
      count: 241,
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
  ])("a coarse clock is compared over groups of rows: $what", check);

  const every20Ms: Column = ["elapsed s", (i) => (i / 50).toFixed(3)];
  test.for<Case>([
    {
      what: "two steps do not",
      columns: [every20Ms, constant("frame ms", "25.0")],
      count: 3,
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "three do",
      columns: [every20Ms, constant("frame ms", "25.0")],
      count: 4,
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two do where the name is of a time alone",
      columns: [every20Ms, constant("time ms", "25.0")],
      count: 3,
      is: "clock-disagrees: time ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two do not where the name is of an interval",
      columns: [every20Ms, constant("interval", "25.0")],
      count: 3,
      is: "duration interval in ms, ends by elapsed s in s",
    },
    {
      what: "two do that are half as long",
      columns: [every20Ms, constant("frame ms", "40.0")],
      count: 3,
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two do that are twice as long",
      columns: [every20Ms, constant("frame ms", "10.0")],
      count: 3,
      is: "clock-disagrees: frame ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two do where another name says as much",
      columns: [every20Ms, constant("frame ms", "25.0"), constant("frame delta ms", "22.0")],
      count: 3,
      is: "clock-disagrees: frame ms in ms | frame delta ms in ms | elapsed s in s (steps)",
    },
    {
      what: "two do not where another name says less",
      columns: [every20Ms, constant("interval", "22.0"), constant("frame ms", "25.0")],
      count: 3,
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
  ])("steps that differ from a name's times contradict it where they are enough: $what", check);
});

describe("without a column of durations, a clock's steps are the frame times", () => {
  const going = (name: string, step: number, digits = 0): Column => [
    name,
    (i) => (i * step + (i % 5) * step * 0.02).toFixed(digits),
  ];
  test.for<Case>([
    {
      what: "in its unit",
      columns: [endAt("elapsed s", 1e-3, 5), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "in the only unit that makes sense",
      columns: [going("elapsed", 16.7, 2), scene],
      is: "steps elapsed in ms, ends by elapsed in ms",
    },
    {
      what: "beside a load that is no time",
      columns: [endAt("elapsed s", 1e-3, 5), noise("CPU load %", 30, 30)],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "beside an average rate",
      columns: [endAt("elapsed s", 1e-3, 5), noise("avg fps", 59, 2)],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "beside a rate that agrees",
      columns: [endAt("elapsed s", 1e-3, 5), ["fps", (i) => (1000 / at(times, i)).toFixed(2)]],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "of whole microseconds above 30 FPS",
      columns: [going("elapsed", 16_700), scene],
      is: "steps elapsed in us, ends by elapsed in us",
    },
    {
      what: "of whole milliseconds below 30 FPS",
      columns: [going("elapsed", 50), scene],
      is: "steps elapsed in ms, ends by elapsed in ms",
    },
    {
      what: "of the start and the end of the same frames",
      columns: [startAt("start s", 1e-3, 5), endAt("end s", 1e-3, 5), scene],
      is: "steps start s in s, ends by start s in s",
    },
    {
      what: "of the better named of two",
      columns: [endAt("depth", 3e-3, 5), endAt("elapsed s", 1e-3, 5), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "of the finer of two",
      columns: [endAt("elapsed s", 1e-3, 1), endAt("stamp s", 1e-3, 5), scene],
      is: "steps stamp s in s, ends by stamp s in s",
    },
    {
      what: "standing still in one row of six",
      columns: [["elapsed s", (i) => ((i - (i % 6 === 5 ? 1 : 0)) * 0.0167).toFixed(4)], scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
  ])("$what", check);

  test.for<Case>([
    {
      what: "steps of 500 of anything",
      columns: [going("elapsed", 500), scene],
      is: "unit-unknown: elapsed in ms (steps) | elapsed in us (steps)",
    },
    {
      what: "whole microseconds or ticks below 30 FPS",
      columns: [going("elapsed", 40_000), scene],
      is: "unit-unknown: elapsed in us (steps)",
    },
    { what: "ticks", columns: [going("tick", 16_700), scene], is: "unit-unknown: tick in us (steps)" },
    {
      what: "steps that are too long for their unit",
      columns: [going("elapsed s", 16.7, 2), scene],
      is: "unit-against-values: elapsed s in s (steps) | elapsed s in ms (steps)",
    },
    {
      what: "steps that make sense in no unit",
      columns: [going("elapsed", 5e-5, 8), scene],
      is: "log-no-frame-time",
    },
    {
      what: "two clocks that have nothing in common",
      columns: [endAt("elapsed s", 1e-3, 5), ["time s", (i) => ((i * i) / 5000 + i / 100).toFixed(5)], scene],
      is: "columns-fit-alike: elapsed s in s (steps) | time s in s (steps)",
    },
    {
      what: "a clock that stands still in two rows of three",
      columns: [["elapsed s", (i) => (Math.floor(i / 3) * 0.05).toFixed(2)], scene],
      is: "log-clock-too-coarse",
    },
    {
      what: "a rate that disagrees",
      columns: [endAt("elapsed s", 1e-3, 5), noise("fps", 110, 20)],
      is: "clock-disagrees: fps in fps | elapsed s in s (steps)",
    },
    {
      what: "a rate between rows of half a second",
      columns: [["elapsed s", (i) => (i / 2).toFixed(1)], noise("fps", 59, 3)],
      is: "log-not-per-frame",
    },
    {
      what: "an average rate between rows of half a second",
      columns: [["elapsed s", (i) => (i / 2).toFixed(1)], noise("avg fps", 59, 3)],
      is: "log-not-per-frame",
    },
    {
      what: "a name of a frame's time over words",
      columns: [endAt("elapsed s", 1e-3, 5), constant("frame time ms", "fast")],
      is: "log-words-for-numbers",
    },
  ])("is a question: $what", check);

  /** A clock of steps around 500 of an unknown unit, and the rate of frames that last as long as those steps. */
  const halves = (i: number): number => i * 500 + (i % 5) * 12;
  const open: Column = ["elapsed", (i) => `${halves(i)}`];
  const rateOf = (perStep: number): Column => [
    "fps",
    (i) => (perStep / (halves(i + 1) - halves(i))).toFixed(3),
  ];
  test.for<Case>([
    {
      what: "in milliseconds",
      columns: [open, rateOf(1000)],
      is: "steps elapsed in ms, ends by elapsed in ms",
    },
    {
      what: "in microseconds",
      columns: [open, rateOf(1e6)],
      is: "steps elapsed in us, ends by elapsed in us",
    },
    { what: "4% off", columns: [open, rateOf(1040)], is: "steps elapsed in ms, ends by elapsed in ms" },
    { what: "10% off, but in step", columns: [open, rateOf(1100)], is: "rate fps in fps" },
    {
      what: "ticks that are in step",
      columns: [endAt("ticks", 10_240, 0), ["fps", (i) => (1000 / at(times, i)).toFixed(2)]],
      is: "rate fps in fps",
    },
    {
      what: "ticks in step over twenty frames",
      columns: [endAt("ticks", 10_240, 0), ["fps", (i) => (1000 / at(times, i)).toFixed(2)]],
      count: 21,
      is: "rate fps in fps",
    },
    {
      what: "ticks in step over nineteen, which may be chance",
      columns: [endAt("ticks", 10_240, 0), ["fps", (i) => (1000 / at(times, i)).toFixed(2)]],
      count: 20,
      is: "unit-unknown: ticks in us (steps)",
    },
    {
      what: "ticks of one length beside a rate of one height, which any unit would fit",
      columns: [["ticks", (i) => `${i * 170_000}`], constant("fps", "60.0")],
      is: "unit-unknown: ticks in us (steps)",
    },
    {
      what: "ticks that are not",
      columns: [endAt("ticks", 10_240, 0), constant("fps", "60.0")],
      is: "unit-unknown: ticks in us (steps)",
    },
    { what: "samples of many frames", columns: [open, noise("fps", 59, 3)], is: "log-not-per-frame" },
    {
      what: "rows twice as far apart as the frames",
      columns: [open, noise("fps", 4, 0.3)],
      is: "unit-unknown: elapsed in ms (steps) | elapsed in us (steps)",
    },
    {
      what: "an average of such samples, which says no unit",
      columns: [open, noise("avg fps", 59, 3)],
      is: "unit-unknown: elapsed in ms (steps) | elapsed in us (steps)",
    },
  ])("a rate beside a clock of no unit: $what", check);

  test.for<Case>([
    {
      what: "hundredths of a second under frames of 17 ms",
      columns: [endAt("elapsed s", 1e-3, 2), scene],
      is: "log-clock-too-coarse",
    },
    {
      what: "milliseconds under frames of 17 ms",
      columns: [endAt("elapsed s", 1e-3, 3), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
  ])("digits of $what", check);

  const standing = (count: number, of: number): Column => [
    "elapsed s",
    (i) => ((Math.floor(i / of) * of + Math.min(i % of, of - 1 - count)) * 0.0167).toFixed(5),
  ];
  /** Another clock of as many seconds, whose rows differ from the frames'. */
  const unlike = (name: string): Column => [
    name,
    (i) => ((at(ends, i) + (i % 2 === 0 ? 3 : -3)) / 1000).toFixed(5),
  ];
  const quadratic = (name: string): Column => [name, (i) => ((i * i) / 5000 + i / 100).toFixed(5)];
  test.for<Case>([
    {
      what: "a clock that stands still in two rows of ten is fine enough",
      columns: [standing(2, 10), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "one that does in three of ten is not",
      columns: [standing(3, 10), scene],
      is: "log-clock-too-coarse",
    },
    {
      what: "seven rows are too few to say so",
      columns: [standing(3, 7), scene],
      count: 7,
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    { what: "eight are not", columns: [standing(3, 8), scene], count: 8, is: "log-clock-too-coarse" },
    {
      what: "two clocks in milliseconds that differ",
      columns: [endAt("elapsed ms", 1, 2), ["time ms", (i) => ((i * i) / 5 + i * 10).toFixed(2)], scene],
      is: "columns-fit-alike: elapsed ms in ms (steps) | time ms in ms (steps)",
    },
    {
      what: "two clocks as fast whose rows differ",
      columns: [endAt("elapsed s", 1e-3, 5), unlike("time s"), scene],
      is: "columns-fit-alike: elapsed s in s (steps) | time s in s (steps)",
    },
    {
      what: "a clock by name beside one by its unit",
      columns: [quadratic("depth s"), endAt("elapsed s", 1e-3, 5), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "the frames' start beside that of a part",
      columns: [quadratic("render start s"), startAt("frame start s", 1e-3, 5), scene],
      is: "steps frame start s in s, ends by frame start s in s",
    },
    {
      what: "a finer clock beside a better named one",
      columns: [endAt("elapsed s", 1e-3, 1), endAt("stamp", 1e-3, 5), scene],
      is: "steps stamp in s, ends by stamp in s",
    },
    {
      what: "the better named of two that are as fine",
      columns: [endAt("stamp", 1e-3, 5), endAt("elapsed s", 1e-3, 5), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a rate beside its average, against the clock",
      columns: [endAt("elapsed s", 1e-3, 5), noise("avg fps", 59, 3), noise("fps", 110, 20)],
      is: "clock-disagrees: fps in fps | elapsed s in s (steps)",
    },
    {
      what: "an average above what the rows show",
      columns: [endAt("elapsed s", 1e-3, 5), noise("avg fps", 220, 5)],
      is: "clock-disagrees: elapsed s in s (steps)",
    },
    {
      what: "a rate whose rows agree while its sum does not",
      columns: [
        endAt("elapsed s", 1e-3, 5),
        ["fps", (i) => ((i % 4 === 1 ? 500 : 1000) / at(times, i)).toFixed(3)],
      ],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a rate whose sum agrees while its rows do not",
      columns: [
        endAt("elapsed s", 1e-3, 5),
        ["fps", (i) => (1000 / (at(times, i) + (i % 2 === 0 ? 3 : -3))).toFixed(3)],
      ],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "the same beside milliseconds",
      columns: [
        endAt("elapsed ms", 1, 2),
        ["fps", (i) => (1000 / (at(times, i) + (i % 2 === 0 ? 3 : -3))).toFixed(3)],
      ],
      is: "steps elapsed ms in ms, ends by elapsed ms in ms",
    },
    {
      what: "a frame's time of no stated unit, sampled",
      columns: [["elapsed s", (i) => (i / 2).toFixed(1)], noise("frame time", 9000, 8000, 0)],
      is: "log-not-per-frame",
    },
    {
      what: "a frame's time in seconds, sampled",
      columns: [["elapsed s", (i) => (i / 2).toFixed(1)], noise("frame s", 0.009, 0.008, 5)],
      is: "log-not-per-frame",
    },
    { what: "one reading", columns: [["elapsed s", () => "5.5"], scene], count: 1, is: "log-without-frames" },
    {
      what: "one reading beside a rate",
      columns: [["elapsed s", () => "5.5"], constant("fps", "60")],
      count: 1,
      is: "log-without-frames",
    },
    {
      what: "a clock that stands still in 14 of 59 steps is fine enough where it goes back once, too",
      columns: [
        ["elapsed s", (i) => ((i === 58 ? i - 1.5 : i % 4 === 3 && i < 56 ? i - 1 : i) * 0.0167).toFixed(5)],
        scene,
      ],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a rate that disagrees and is nothing at first",
      columns: [endAt("elapsed s", 1e-3, 5), ["fps", (i) => (i === 1 ? "0" : noise("", 110, 20)[1](i))]],
      is: "clock-disagrees: fps in fps | elapsed s in s (steps)",
    },
    {
      what: "a clock that is printed in every other row contradicts none",
      columns: [
        endAt("elapsed s", 1e-3, 5),
        ["time s", (i) => (i % 2 === 0 ? "" : ((i * i) / 5000 + i / 100).toFixed(5))],
        scene,
      ],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a clock by its name before a finer one without",
      columns: [endAt("depth", 1e-3, 6), endAt("elapsed", 1e-3, 3), scene],
      is: "steps elapsed in s, ends by elapsed in s",
    },
    {
      what: "dates under any name before a finer number of seconds",
      columns: [
        quadratic("depth s"),
        ["quay", (i) => new Date(Date.UTC(2026, 2, 14) + Math.round(at(ends, i))).toISOString()],
        scene,
      ],
      is: "steps quay in s, ends by quay in s",
    },
    {
      what: "times that jump to and fro are neither a clock nor durations",
      columns: [["time", (i) => `20:15:0${(i * 7) % 10}.0`], scene],
      is: "log-no-frame-time",
    },
  ])("$what", check);

  test("how fast the frames are that a clock samples is said, by their rate", () => {
    const { fault } = recognise([["elapsed s", (i) => (i / 2).toFixed(1)], constant("fps", "80")]);
    expect(fault).toMatchObject({ code: "log-not-per-frame", column: "fps", frameTimeMs: 12.5, stepMs: 500 });
  });

  test.for<Case>([
    {
      what: "a time of day in whole seconds contradicts no fine clock",
      columns: [
        endAt("elapsed s", 1e-3, 5),
        ["at", (i) => `20:15:0${Math.floor(at(ends, i) / 1000)}`],
        scene,
      ],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a clock in a unit of its own contradicts none either",
      columns: [endAt("elapsed s", 1e-3, 5), endAt("time", 3e-3, 4), scene],
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "without names there is no telling which of two is right",
      columns: [endAt(null, 1e-3, 5), endAt(null, 3e-3, 4)],
      is: "columns-fit-alike: #1 in s (steps) | #2 in s (steps)",
    },
  ])("$what", check);

  const few = [22.3, 31.5, 41.4];
  test.for<Case>([
    {
      what: "of two that agree in part, the one that agrees more is offered first",
      columns: [endAt("elapsed s", 1e-3, 5), oftenWrong("interval a", 20), ms("interval b")],
      is: "columns-fit-alike: interval b in ms | interval a in ms",
    },
    {
      what: "ticks under a name of two words are ticks",
      columns: [endAt("machine ticks", 1000, 0), scene],
      is: "unit-unknown: machine ticks in us (steps)",
    },
    {
      what: "three durations that happen to rise are the steps of the clock beside them",
      columns: [
        ["elapsed s", (i) => (few.slice(0, i + 1).reduce((sum, time) => sum + time, 0) / 1000).toFixed(4)],
        ["ms", (i) => at(few, i).toFixed(1)],
      ],
      count: 3,
      is: "duration ms in ms, ends by elapsed s in s",
    },
  ])("$what", check);

  test("what is left is named", () => {
    expect(recognise([["elapsed", (i) => (i * 5e-5).toFixed(8)], scene]).fault).toEqual({
      code: "log-no-frame-time",
      columns: ["elapsed", "scene"],
    });
    expect(recognise([["elapsed s", () => "5.5"], scene], {}, 1).fault).toEqual({
      code: "log-without-frames",
      rows: 1,
    });
  });

  test("how often a coarse clock stands still is said", () => {
    const { fault } = recognise([["elapsed s", (i) => (Math.floor(i / 3) * 0.05).toFixed(2)], scene]);
    expect(fault).toMatchObject({ code: "log-clock-too-coarse", column: "elapsed s" });
    // 40 of the 59 steps are none.
    expect(fault?.code === "log-clock-too-coarse" && fault.standingPct).toBeCloseTo((100 * 40) / 59, 9);
  });

  test("a rate beside a clock that cannot tell frames apart counts by itself", () => {
    const coarse: Column = ["elapsed s", (i) => (Math.floor(at(ends, i) / 50) / 20).toFixed(2)];
    const fps: Column = ["fps", (i) => (1000 / at(times, i)).toFixed(2)];
    expect(tell(recognise([coarse, fps]))).toBe("rate fps in fps");
  });
});

describe("without a clock, names and plausible values decide", () => {
  const fps: Column = ["fps", (i) => (1000 / at(times, i)).toFixed(2)];
  test.for<Case>([
    { what: "a name", columns: [ms("frame time ms"), scene], is: "duration frame time ms in ms" },
    {
      what: "a name without a unit",
      columns: [ms("frame time", 1000, 0), scene],
      is: "duration frame time in us",
    },
    { what: "one column of plausible values", columns: [ms(null)], is: "duration #1 in ms" },
    {
      what: "the stronger name",
      columns: [noise("render ms", 9, 5), ms("frame time ms"), noise("cpu ms", 7, 4)],
      is: "duration frame time ms in ms",
    },
    {
      what: "the same twice",
      columns: [ms("frame ms"), ms("frame time us", 1000, 0)],
      is: "duration frame ms in ms",
    },
    {
      what: "the one whose inverse is the rate",
      columns: [noise("interval a", 9, 5), ms("interval b"), fps],
      is: "duration interval b in ms",
    },
    {
      what: "a rate before numbers under a name that says nothing of time",
      columns: [ms("depth"), noise("fps", 100, 5)],
      is: "rate fps in fps",
    },
    {
      what: "a rate before a part of the frame",
      columns: [noise("gpu ms", 5, 5), fps],
      is: "rate fps in fps",
    },
    { what: "a rate alone", columns: [fps, scene], is: "rate fps in fps" },
    {
      what: "a rate beside a load of no stated unit, whose size a frame time could have",
      columns: [fps, noise("cpu_load", 60, 20)],
      is: "rate fps in fps",
    },
    {
      what: "two rates that are the same",
      columns: [fps, ["frame rate", fps[1]], scene],
      is: "rate fps in fps",
    },
    {
      what: "a frame time beside an average that follows a coarse clock as well",
      columns: [endAt("time s", 0.001, 3), ms("interval ms", 1, 2), ms("average frame time ms", 1.01, 2)],
      is: "duration interval ms in ms, ends by time s in s",
    },
    {
      what: "one column, in which frames are lost to what is no time",
      columns: [["frame time ms", (i) => (i % 9 === 4 ? "-1" : at(times, i).toFixed(2))], scene],
      is: "duration frame time ms in ms",
    },
    { what: "a rate beside its average", columns: [fps, noise("avg fps", 59, 1)], is: "rate fps in fps" },
    {
      what: "numbers without a name that now and then are twice as large, as slow frames are",
      columns: [sometimes(null, 28, 2), [null, () => "quay"]],
      is: "duration #1 in ms",
    },
    {
      what: "of two columns without names, each 1000 by the other, the one whose slow frames are long",
      columns: [
        sometimes(null, 28, 2),
        [null, (i) => (1000 / (28 * (1 + (i % 7) / 100) * (i % 10 === 4 ? 2 : 1))).toFixed(3)],
      ],
      is: "duration #1 in ms",
    },
    {
      what: "the same the other way round",
      columns: [
        sometimes(null, 28, 0.5),
        [null, (i) => (1000 / (28 * (1 + (i % 7) / 100) * (i % 10 === 4 ? 0.5 : 1))).toFixed(3)],
      ],
      is: "duration #2 in ms",
    },
    {
      what: "numbers below 20 without a name",
      columns: [noise(null, 10, 9, 0), [null, () => "quay"]],
      is: "duration #1 in ms",
    },
    {
      what: "numbers around 30 under a name of frames' times",
      columns: [noise("ft", 28, 8), scene],
      is: "duration ft in ms",
    },
    {
      what: "numbers around 30 under a German name",
      columns: [noise("Bildzeit", 28, 8), scene],
      is: "duration Bildzeit in ms",
    },
    {
      what: "frame rates under a French name",
      columns: [noise("images par seconde", 28, 8), scene],
      is: "rate images par seconde in fps",
    },
    {
      what: "numbers under a name of a time",
      columns: [noise("elapsed", 11, 8), scene],
      is: "duration elapsed in ms",
    },
    {
      what: "a column that is the inverse of a rate beside it, whatever its name",
      columns: [ms("depth"), ["fps", (i) => (1000 / at(times, i)).toFixed(3)]],
      is: "duration depth in ms",
    },
    {
      what: "the same in another unit that no name states",
      columns: [ms("frame ms"), ms("frame time", 1000, 0)],
      is: "duration frame ms in ms",
    },
    {
      what: "the same in a unit that is stated for the other",
      columns: [ms("frame time", 1000, 0), ms("frame ms")],
      is: "duration frame time in us",
    },
    {
      what: "numbers around 60 under a name of time",
      columns: [noise("interval", 55, 8), scene],
      is: "duration interval in ms",
    },
  ])("$what", check);

  /** Numbers without a name around a usual one, so many of them twice, half or none as large. */
  const around = (usual: number, twice: number, half: number, none = 0): readonly Column[] => [
    [
      null,
      (i) => {
        const factor =
          i < twice ? 2 : i < twice + half ? 0.5 : i < twice + half + none ? 0 : 1 + (i % 7) / 100;
        return (usual * factor).toFixed(2);
      },
    ],
    [null, () => "quay"],
  ];
  // Slow frames are long, or low in frames a second; which bounds tell them is this project's own rule.
  test.for<Case>([
    { what: "12, three of them half", columns: around(12, 0, 3), is: "unit-unknown: #1 in ms | #1 in fps" },
    { what: "12, two of them half", columns: around(12, 0, 2), is: "duration #1 in ms" },
    {
      what: "12, seven half and two twice",
      columns: around(12, 2, 7),
      is: "unit-unknown: #1 in ms | #1 in fps",
    },
    { what: "12, six half and two twice", columns: around(12, 2, 6), is: "duration #1 in ms" },
    { what: "12, six of them nothing", columns: around(12, 0, 0, 6), is: "duration #1 in ms" },
    { what: "28, three of them twice", columns: around(28, 3, 0), is: "duration #1 in ms" },
    { what: "28, two of them twice", columns: around(28, 2, 0), is: "unit-unknown: #1 in ms | #1 in fps" },
    { what: "28, seven twice and two half", columns: around(28, 7, 2), is: "duration #1 in ms" },
    {
      what: "28, six twice and two half",
      columns: around(28, 6, 2),
      is: "unit-unknown: #1 in ms | #1 in fps",
    },
    { what: "48, many of them twice", columns: around(48, 9, 0), is: "duration #1 in ms" },
    { what: "52, many of them twice", columns: around(52, 9, 0), is: "unit-unknown: #1 in ms | #1 in fps" },
    { what: "4.8, many of them half", columns: around(4.8, 0, 9), is: "duration #1 in ms" },
    { what: "5.2, many of them half", columns: around(5.2, 0, 9), is: "unit-unknown: #1 in ms | #1 in fps" },
    { what: "950", columns: around(950, 0, 0), is: "unit-unknown: #1 in ms | #1 in us | #1 in fps" },
    { what: "1,050", columns: around(1050, 0, 0), is: "duration #1 in us" },
    {
      what: "28, beside an average rate, which is named",
      columns: [noise("", 25, 9), noise("avg fps", 59, 1)],
      is: "duration  in ms",
    },
  ])("numbers without a name are frame times or rates by what slow frames are in them: $what", check);

  /** Frame times around a usual one, the first so many of them twice as long, and their frame rates. */
  const pair = (
    usualMs: number,
    slow: number,
    names: readonly [string | null, string | null] = [null, null],
  ) => {
    const time = (i: number): number => usualMs * (i < slow ? 2 : 1 + (i % 7) / 100);
    const asMs: Column = [names[0], (i) => time(i).toFixed(3)];
    const asFps: Column = [names[1], (i) => (1000 / time(i)).toFixed(3)];
    return { asMs, asFps };
  };
  test("of two such columns, neither may be guessed where what would be FPS has more decimals", () => {
    const ms = (i: number): number => 66 * (1 + (i % 7) / 100);
    const asFps: Column = [null, (i) => (1000 / ms(i)).toFixed(1)];
    expect(tell(recognise([[null, (i) => ms(i).toFixed(2)], asFps]))).toBe(
      "columns-fit-alike: #1 in ms | #2 in ms",
    );
    expect(tell(recognise([[null, (i) => ms(i).toFixed(1)], asFps]))).toBe("duration #2 in ms");
  });

  test.for<{ usualMs: number; slow: number; names?: [string, string]; is: string }>([
    { usualMs: 16, slow: 0, is: "duration #1 in ms" },
    { usualMs: 25, slow: 0, is: "columns-fit-alike: #1 in ms | #2 in ms" },
    { usualMs: 25, slow: 2, is: "columns-fit-alike: #1 in ms | #2 in ms" },
    { usualMs: 25, slow: 3, is: "duration #1 in ms" },
    { usualMs: 40, slow: 3, is: "duration #1 in ms" },
    {
      usualMs: 16,
      slow: 0,
      names: ["depth", "breadth"],
      is: "columns-fit-alike: depth in ms | breadth in ms",
    },
  ])("of two columns that are 1000 by each other, $usualMs ms with $slow slow frames: $is", (of) => {
    const { asMs, asFps } = pair(of.usualMs, of.slow, of.names);
    expect(tell(recognise([asMs, asFps]))).toBe(of.is);
    if (of.is === "duration #1 in ms") expect(tell(recognise([asFps, asMs]))).toBe("duration #2 in ms");
  });

  const first = noise("one ms", 9, 5);
  const second = noise("two ms", 4, 3);
  const sum: Column = ["three ms", (i) => (Number(first[1](i)) + Number(second[1](i))).toFixed(2)];
  test.for<Case>([
    { what: "whatever their names", columns: [first, sum, second], is: "duration three ms in ms" },
    {
      what: "of three",
      columns: [
        first,
        second,
        ms("four ms"),
        ["five ms", (i) => (Number(sum[1](i)) + at(times, i)).toFixed(2)],
      ],
      is: "duration five ms in ms",
    },
    {
      what: "even an average by its name",
      columns: [first, second, ["total ms", sum[1]]],
      is: "duration total ms in ms",
    },
    {
      what: "an average that the frame's time is a part of, before that time",
      columns: [first, second, sum, ["total ms", (i) => (2 * Number(sum[1](i))).toFixed(2)]],
      is: "duration total ms in ms",
    },
    {
      what: "not of one other, which is the same again",
      columns: [first, ["six ms", first[1]]],
      is: "duration one ms in ms",
    },
    {
      what: "not where a unit is left out",
      columns: [first, ["two", second[1]], sum],
      is: "columns-fit-alike: one ms in ms | three ms in ms",
    },
  ])("a time that the others add up to is the frame's: $what", check);

  test.for<Case>([
    {
      what: "two names that say as much",
      columns: [ms("interval a"), noise("interval b", 12, 9)],
      is: "columns-fit-alike: interval a in ms | interval b in ms",
    },
    {
      what: "two whose inverse no rate is",
      columns: [ms("interval a"), noise("interval b", 12, 9), noise("fps", 100, 5)],
      is: "columns-fit-alike: interval a in ms | interval b in ms",
    },
    {
      what: "two whose inverse a rate of few digits is",
      columns: [
        ms("interval a"),
        ["interval b", (i) => (at(times, i) + 0.1).toFixed(2)],
        ["fps", (i) => (1000 / at(times, i)).toFixed(0)],
      ],
      is: "columns-fit-alike: interval a in ms | interval b in ms",
    },
    {
      what: "numbers like frame times under another name, beside an average rate",
      columns: [ms("depth"), noise("avg fps", 59, 1)],
      is: "words-too-weak: depth in ms",
    },
    {
      what: "a part of the frame alone",
      columns: [noise("gpu ms", 5, 5), scene],
      is: "words-too-weak: gpu ms in ms",
    },
    {
      what: "an average alone",
      columns: [noise("avg frame ms", 15, 1), scene],
      is: "words-too-weak: avg frame ms in ms",
    },
    {
      what: "an average rate alone",
      columns: [noise("avg fps", 59, 1), scene],
      is: "words-too-weak: avg fps in fps",
    },
    {
      what: "numbers around 60 without a name",
      columns: [noise(null, 55, 8), [null, () => "quay"]],
      is: "unit-unknown: #1 in ms | #1 in fps",
    },
    {
      what: "numbers around 30 without a name",
      columns: [noise(null, 25, 9), [null, () => "quay"]],
      is: "unit-unknown: #1 in ms | #1 in fps",
    },
    {
      what: "numbers without a name that now and then are half as large, as slow frames' rates are",
      columns: [sometimes(null, 12, 0.5), [null, () => "quay"]],
      is: "unit-unknown: #1 in ms | #1 in fps",
    },
    {
      what: "numbers around 60 under a name of frames",
      columns: [noise("frames", 55, 8), scene],
      is: "unit-unknown: frames in ms | frames in fps",
    },
    {
      what: "numbers like frame times under a name that says something else",
      columns: [ms("depth"), scene],
      is: "words-too-weak: depth in ms | depth in fps",
    },
    {
      what: "the same beside a running number",
      columns: [["row", (i) => String(i)], ms("depth")],
      is: "words-too-weak: depth in ms | depth in fps",
    },
    {
      what: "numbers like frame times in microseconds under a name that says something else",
      columns: [ms("depth", 1000, 0), scene],
      is: "words-too-weak: depth in us",
    },
    {
      what: "values that fit two units",
      columns: [noise("interval", 400, 90), scene],
      is: "unit-unknown: interval in ms | interval in us",
    },
    {
      what: "a name against the values",
      columns: [ms("frame time s"), scene],
      is: "unit-against-values: frame time s in s | frame time s in ms",
    },
    {
      what: "two rates",
      columns: [fps, noise("frame rate", 100, 5)],
      is: "columns-fit-alike: fps in fps | frame rate in fps",
    },
    {
      what: "a frame's time in words",
      columns: [constant("frame time ms", "fast"), noise("CPU load %", 30, 30)],
      is: "log-words-for-numbers",
    },
    {
      what: "a frame's time of blanks",
      columns: [constant("frame time ms", ""), noise("CPU load %", 30, 30)],
      is: "log-words-for-numbers",
    },
    {
      what: "an interval in words",
      columns: [constant("interval", "fast"), noise("CPU load %", 30, 30)],
      is: "log-words-for-numbers",
    },
    {
      what: "a time in words",
      columns: [constant("depth ms", "fast"), noise("CPU load %", 30, 30)],
      is: "log-no-frame-time",
    },
    {
      what: "an interval that makes sense in no unit",
      columns: [noise("interval", 5e12, 1e12, 0), scene],
      is: "log-no-frame-time",
    },
    { what: "nothing of the kind", columns: [noise("CPU load %", 30, 30), scene], is: "log-no-frame-time" },
  ])("is a question: $what", check);

  test("words where numbers should be are shown, with their place", () => {
    expect(recognise([scene, constant("frame time ms", "fast"), noise("load %", 30, 9)]).fault).toEqual({
      code: "log-words-for-numbers",
      name: "frame time ms",
      position: 2,
      found: "fast",
      unit: "ms",
    });
  });

  test("no more than eight candidates are offered", () => {
    const many = "abcdefghijkl".split("").map((letter, i) => noise(`interval ${letter}`, 9 + i, 7));
    const { fault } = recognise(many);
    expect(fault?.code === "log-frame-time-unclear" && fault.candidates.length).toBe(8);
  });
});

describe("what the session says settles it", () => {
  const clock = endAt("elapsed s", 1e-3, 5);
  const fps: Column = ["fps", (i) => (1000 / at(times, i)).toFixed(2)];
  test.for<Case>([
    {
      what: "a column",
      columns: [ms("a ms"), noise("b ms", 12, 9)],
      settings: { frameTime: { column: "b ms" } },
      is: "duration b ms in ms",
    },
    {
      what: "a column and its unit",
      columns: [noise("depth", 400, 90), scene],
      settings: { frameTime: { column: "depth", unit: "us" } },
      is: "duration depth in us",
    },
    {
      what: "a unit against the name",
      columns: [ms("frame s"), scene],
      settings: { frameTime: { column: "frame s", unit: "ms" } },
      is: "duration frame s in ms",
    },
    {
      what: "a column that the clock bears out",
      columns: [clock, ms("frame ms"), noise("depth", 12, 9)],
      settings: { frameTime: { column: "frame ms", unit: "ms" } },
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "a unit beside a clock of no unit that does not agree",
      columns: [["elapsed", (i) => `${i * 500}`], noise("frame ms", 9, 8)],
      settings: { frameTime: { column: "frame ms", unit: "ms" } },
      is: "duration frame ms in ms",
    },
    {
      what: "a unit that the clock's own follows from",
      columns: [endAt("elapsed", 1000, 0), ms("depth")],
      settings: { frameTime: { column: "depth", unit: "ms" } },
      is: "duration depth in ms, ends by elapsed in us",
    },
    {
      what: "a column of two plausible units, of which every other row is the clock's step",
      columns: [
        endAt("elapsed s", 2.5e-5, 7),
        ["interval", (i) => (at(times, i) * (i % 2 === 0 ? 25 : 37.5)).toFixed(1)],
      ],
      settings: { frameTime: { column: "interval" } },
      is: "unit-unknown: interval in ms | interval in us",
    },
    {
      what: "times that jump to and fro",
      columns: [["time", (i) => `20:15:0${(i * 7) % 10}.0`], scene],
      settings: { frameTime: { column: "time" } },
      is: "steps time in s, ends by time in s",
    },
    {
      what: "a unit against the clock",
      columns: [clock, ms("frame ms", 1000, 0)],
      settings: { frameTime: { column: "frame ms", unit: "ms" } },
      is: "duration frame ms in ms, ends by elapsed s in s",
    },
    {
      what: "another quantity",
      columns: [noise("memory", 12, 9), clock],
      settings: { frameTime: { column: "memory", unit: "ms" } },
      is: "duration memory in ms, ends by elapsed s in s",
    },
    {
      what: "another quantity without a unit",
      columns: [ms("memory"), scene],
      settings: { frameTime: { column: "memory" } },
      is: "duration memory in ms",
    },
    {
      what: "a rate",
      columns: [fps, ms("frame ms")],
      settings: { frameTime: { column: "fps" } },
      is: "rate fps in fps",
    },
    {
      what: "a rate by its unit",
      columns: [noise("depth", 55, 8), scene],
      settings: { frameTime: { column: "depth", unit: "fps" } },
      is: "rate depth in fps",
    },
    {
      what: "a rate that is milliseconds",
      columns: [noise("fps", 12, 8), scene],
      settings: { frameTime: { column: "fps", unit: "ms" } },
      is: "duration fps in ms",
    },
    {
      what: "a clock's steps",
      columns: [clock, ms("frame ms")],
      settings: { frameTime: { column: "elapsed s" } },
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a clock's steps and unit",
      columns: [["elapsed", (i) => `${i * 500}`], scene],
      settings: { frameTime: { column: "elapsed", unit: "us" } },
      is: "steps elapsed in us, ends by elapsed in us",
    },
    {
      what: "a clock's steps in a unit still open",
      columns: [["elapsed", (i) => `${i * 500}`], scene],
      settings: { frameTime: { column: "elapsed" } },
      is: "unit-unknown: elapsed in ms (steps) | elapsed in us (steps)",
    },
    {
      what: "dates, which have a unit of their own",
      columns: [["at", (i) => `20:15:${(i * 0.5).toFixed(1).padStart(4, "0")}`], scene],
      settings: { frameTime: { column: "at", unit: "ms" } },
      is: "steps at in s, ends by at in ms",
    },
    {
      what: "a clock",
      columns: [["uptime s", (i) => (i / 70).toFixed(4)], clock, scene],
      settings: { clock: { column: "elapsed s" } },
      is: "steps elapsed s in s, ends by elapsed s in s",
    },
    {
      what: "a clock's unit",
      columns: [["elapsed", (i) => `${i * 500}`], scene],
      settings: { clock: { column: "elapsed", unit: "us" } },
      is: "steps elapsed in us, ends by elapsed in us",
    },
    {
      what: "a clock's unit against its name",
      columns: [endAt("elapsed s", 1, 2), ms("depth")],
      settings: { clock: { column: "elapsed s", unit: "ms" } },
      is: "duration depth in ms, ends by elapsed s in ms",
    },
    {
      what: "a clock that has nothing of one",
      columns: [noise("depth", 12, 9), ms("frame ms")],
      settings: { clock: { column: "depth" } },
      is: "clock-disagrees: frame ms in ms | depth in ms (steps)",
    },
    {
      what: "words",
      columns: [scene, ms("frame ms")],
      settings: { frameTime: { column: "scene" } },
      is: "log-words-for-numbers",
    },
    {
      what: "a column that is not there",
      columns: [scene, ms("frame ms")],
      settings: { frameTime: { column: "depth" } },
      is: "log-column-missing",
    },
    {
      what: "a clock that is not there",
      columns: [scene, ms("frame ms")],
      settings: { clock: { column: "depth" } },
      is: "log-column-missing",
    },
  ])("$what", check);

  test("a column against the clock, which is checked all the same", () => {
    const { frameTime, clock: checked } = recognise([clock, noise("frame ms", 9, 8)], {
      frameTime: { column: "frame ms", unit: "ms" },
    });
    expect([frameTime?.index, frameTime?.how, frameTime?.unit]).toEqual([1, "duration", "ms"]);
    expect([checked?.index, checked?.unit]).toEqual([0, "s"]);
  });

  test("a fault names the setting", () => {
    const columns = [scene, ms("frame ms")];
    expect(recognise(columns, { frameTime: { column: "depth" } }).fault).toMatchObject({ key: "frame-time" });
    expect(recognise(columns, { clock: { column: "depth" } }).fault).toMatchObject({ key: "clock" });
    expect(recognise(columns, { frameTime: { column: "scene", unit: "ms" } }).fault).toEqual({
      code: "log-words-for-numbers",
      name: "scene",
      position: 1,
      found: "quay",
      unit: "ms",
    });
  });
});

describe("what goes with the frame time", () => {
  const counter: Column = ["frame", (i) => `${i + 1}`];
  const date: Column = ["at", (i) => new Date(Date.UTC(2026, 2, 14) + Math.round(at(ends, i))).toISOString()];
  const epoch: Column = ["stamp ms", (i) => (1_773_519_300_000 + at(ends, i)).toFixed(0)];
  const clock = endAt("elapsed s", 1e-3, 5);

  test("a running number, and what carries the date", () => {
    const { counter: index, wallClock } = recognise([counter, date, ms("frame ms")]);
    expect([index, wallClock]).toEqual([0, { index: 1, unitS: 1 }]);
    expect(recognise([clock, ms("frame ms")])).toMatchObject({ counter: null, wallClock: null });
    expect(recognise([clock, ms("frame ms"), epoch]).wallClock).toEqual({ index: 2, unitS: 1e-3 });
    expect(recognise([epoch, ms("frame ms"), date]).wallClock).toEqual({ index: 2, unitS: 1 });
  });

  test("the clock's precision is what its digits show", () => {
    const found = recognise([clock, ms("frame ms")]).clock;
    expect(found).toMatchObject({ index: 0, unit: "s", unitS: 1, lag: 0 });
    expect(found?.precisionS).toBeCloseTo(1e-5, 12);
    expect(recognise([endAt("elapsed us", 1000, 0), scene]).clock).toMatchObject({
      unitS: 1e-6,
      precisionS: 1e-6,
    });
    const beside = recognise([endAt("elapsed us", 1000, 0), ms("frame ms")]).clock;
    expect([beside?.unitS, beside?.precisionS]).toEqual([expect.closeTo(1e-6, 12), expect.closeTo(1e-6, 12)]);
    const stated = { frameTime: { column: "elapsed", unit: "us" } } as const;
    expect(recognise([["elapsed", (i) => `${i * 500}`], scene], stated).clock?.precisionS).toBeCloseTo(
      1e-6,
      12,
    );
    const ticks = recognise([endAt("ticks", 10.24, 2), ms("frame ms")]).clock;
    expect(ticks?.unit).toBe("ticks");
    expect((ticks?.unitS ?? 0) * 10_240).toBeCloseTo(1, 3);
  });
});

describe("counts of a time are worth what their name says", () => {
  const counts = ms("frame time (100 ns)", 10_000, 0);
  const unitOf = (columns: readonly Column[], settings: LogSettings = {}) => {
    const { frameTime, clock } = recognise(columns, settings);
    return [
      frameTime?.index,
      frameTime?.unit,
      Number(frameTime?.unitS.toPrecision(6)),
      Number(clock?.unitS.toPrecision(6)),
    ];
  };

  test("a column of durations", () => {
    expect(unitOf([endAt("elapsed s", 1e-3, 5), counts])).toEqual([1, "ns", 1e-7, 1]);
    expect(unitOf([counts, scene])).toEqual([0, "ns", 1e-7, Number.NaN]);
    expect(recognise([counts, scene]).columns[0]?.evidence[0]).toEqual({
      favours: true,
      text: "the name says that one count is 100 ns",
    });
  });

  test("a clock, alone and beside durations", () => {
    const clock = endAt("elapsed (10 us)", 100, 0);
    expect(unitOf([clock, scene])).toEqual([0, "us", 1e-5, 1e-5]);
    expect(unitOf([clock, ms("frame ms")])).toEqual([1, "ms", 1e-3, 1e-5]);
  });

  test("but a unit that the session states is that already", () => {
    expect(unitOf([counts, scene], { frameTime: { column: "frame time (100 ns)", unit: "us" } })[2]).toBe(
      1e-6,
    );
    const beside = [endAt("elapsed (10 us)", 100, 0), ms("frame ms")];
    expect(unitOf(beside, { frameTime: { column: "frame ms", unit: "ms" } })).toEqual([1, "ms", 1e-3, 1e-5]);
    const clock = endAt("elapsed (10 us)", 1, 0);
    expect(unitOf([clock, scene], { frameTime: { column: "elapsed (10 us)", unit: "ms" } })).toEqual([
      0,
      "ms",
      1e-3,
      1e-3,
    ]);
  });
});

describe("every column says on what grounds it is what it is", () => {
  const told = (recognition: Recognition) =>
    recognition.columns.map(({ name, role, unit, evidence }) => ({
      column: `${name}: ${role} in ${unit}`,
      grounds: evidence.map(({ favours, text }) => `${favours ? "+" : "-"} ${text}`),
    }));

  test("where a clock bears out the frame time", () => {
    const counter: Column = ["frame", (i) => `${i + 1}`];
    const date: Column = ["at", (i) => `20:15:${String(i).padStart(2, "0")}`];
    const columns = [
      counter,
      endAt("elapsed s", 1e-3, 5),
      date,
      ms("frame ms"),
      noise("gpu ms", 5, 5),
      noise("avg fps", 60, 2),
      scene,
    ];
    expect(told(recognise(columns))).toEqual([
      { column: "frame: counter in null", grounds: ["+ whole numbers that go up by one from row to row"] },
      {
        column: "elapsed s: clock in s",
        grounds: ["+ numbers that never go back", "+ the name says s"],
      },
      { column: "at: clock in s", grounds: ["+ dates or times that never go back"] },
      {
        column: "frame ms: frame-time in ms",
        grounds: [
          "+ the name speaks of a frame's time",
          "+ equals the steps of elapsed s in 100% of 59 rows",
          "+ the name says ms, and so does the clock",
        ],
      },
      {
        column: "gpu ms: not-used in ms",
        grounds: [
          "- the name states a time, but of a part of the frame",
          "- differs from the steps of elapsed s, whatever unit either is in",
        ],
      },
      {
        column: "avg fps: frame-rate in FPS",
        grounds: ["+ the name speaks of a frame rate", "- an average or a limit, not one frame's rate"],
      },
      { column: "scene: not-used in null", grounds: [] },
    ]);
  });

  test.for<{ what: string; columns: readonly Column[]; of: number; grounds: readonly string[] }>([
    {
      what: "the name alone",
      columns: [ms("frame ms"), scene],
      of: 0,
      grounds: [
        "+ the name speaks of a frame's time",
        "+ no clock to compare with: the name and plausible values decide",
        "+ the name says ms",
      ],
    },
    {
      what: "its values alone",
      columns: [ms("interval"), scene],
      of: 0,
      grounds: [
        "+ the name speaks of a duration",
        "+ no clock to compare with: the name and plausible values decide",
        "+ ms, the only unit in which a usual value of 17.2 is a frame time",
      ],
    },
    {
      what: "the clock's unit",
      columns: [startAt("elapsed s", 1e-3, 5), ms("depth")],
      of: 1,
      grounds: [
        "- the name says nothing of a frame time",
        "+ equals the steps of elapsed s in 100% of 59 rows, one row later",
        "+ ms, as elapsed s counts in s",
      ],
    },
    {
      what: "a coarse clock",
      columns: [endAt("elapsed s", 1e-3, 1), ms("frame ms")],
      of: 1,
      grounds: [
        "+ the name speaks of a frame's time",
        "+ equals the steps of elapsed s in 100% of 2 groups of 24 rows",
        "+ the name says ms, and so does the clock",
      ],
    },
    {
      what: "the sum",
      columns: [endAt("elapsed s", 1e-3, 5), evenedOut("frame ms")],
      of: 1,
      grounds: [
        "+ the name speaks of a frame's time",
        "+ adds up to the span of elapsed s, though single rows differ",
        "+ the name says ms, and so does the clock",
      ],
    },
    {
      what: "the inverse of a rate",
      columns: [
        noise("interval a", 9, 5),
        ms("interval b"),
        ["fps", (i) => (1000 / at(times, i)).toFixed(2)],
      ],
      of: 1,
      grounds: [
        "+ the name speaks of a duration",
        "+ its inverse is fps row by row",
        "+ ms, the only unit in which a usual value of 17.2 is a frame time",
      ],
    },
    {
      what: "a clock's steps, in the unit that a rate leaves",
      columns: [
        ["elapsed", (i) => `${i * 500 + (i % 5) * 12}`],
        ["fps", (i) => (1000 / (500 + (i % 5 === 4 ? -48 : 12))).toFixed(3)],
      ],
      of: 0,
      grounds: [
        "+ numbers that never go back",
        "+ ms, as its steps are then the frames that fps says",
        "+ no column of durations: frame times are its steps, in ms",
      ],
    },
    {
      what: "a name beside so few readings of a clock that they contradict none",
      columns: [
        ["elapsed s", (i) => (i < 3 ? (i / 50).toFixed(3) : "")],
        ["frame ms", (i) => (i < 3 ? "25.0" : "")],
      ],
      of: 1,
      grounds: [
        "+ the name speaks of a frame's time",
        "- differs from the steps of elapsed s, whatever unit either is in",
        "+ so few readings of the clock contradict no name",
        "+ the name says ms",
      ],
    },
    {
      what: "a clock's steps",
      columns: [endAt("elapsed s", 1e-3, 5), scene],
      of: 0,
      grounds: [
        "+ numbers that never go back",
        "+ the name says s",
        "+ no column of durations: frame times are its steps, in s",
      ],
    },
    {
      what: "a rate",
      columns: [["fps", (i) => (1000 / at(times, i)).toFixed(2)], scene],
      of: 0,
      grounds: [
        "+ the name speaks of a frame rate",
        "+ no column of durations and no clock: frame times are 1000 / FPS",
      ],
    },
    {
      what: "a name against the clock",
      columns: [endAt("elapsed s", 1e-3, 5), ms("frame ms", 1000, 0)],
      of: 1,
      grounds: [
        "+ the name speaks of a frame's time",
        "+ equals the steps of elapsed s in 100% of 59 rows",
        "- the name says ms, the clock says us",
      ],
    },
    {
      what: "a name against the values",
      columns: [ms("frame s"), scene],
      of: 0,
      grounds: [
        "+ the name speaks of a frame's time",
        "+ no clock to compare with: the name and plausible values decide",
        "- the name says s, the values make no sense in it",
      ],
    },
  ])("$what", ({ columns, of, grounds }) => {
    expect(told(recognise(columns))[of]?.grounds).toEqual(grounds);
  });

  test("where the others add up to it", () => {
    const columns: Column[] = [
      constant("one ms", "5"),
      ["two ms", (i) => (at(times, i) - 5).toFixed(2)],
      ["three ms", (i) => at(times, i).toFixed(2)],
    ];
    expect(told(recognise(columns))[2]?.grounds).toContain("+ the other times of the row add up to it");
  });

  test("candidates without a unit have the one that the clock says", () => {
    // 2,000 to 2,900 FPS: as milliseconds, the values would make sense too.
    const fast = (name: string, each: number): Column => [
      name,
      (i) => (at(times, i) * 25 * (i % each === 3 ? 1.33 : 1)).toFixed(1),
    ];
    const columns = [endAt("elapsed s", 2.5e-5, 7), fast("interval a", 1000), fast("interval b", 20)];
    expect(tell(recognise(columns))).toBe("columns-fit-alike: interval a in us | interval b in us");
  });

  test("roles and units are what was decided", () => {
    const rolesOf = (columns: readonly Column[], settings: LogSettings = {}) =>
      recognise(columns, settings).columns.map(({ role, unit }) => `${role} in ${unit}`);
    expect(rolesOf([endAt("elapsed", 1000, 0), ms("depth")])).toEqual(["clock in us", "frame-time in ms"]);
    expect(
      recognise([endAt("elapsed s", 1e-3, 5), ms("depth")]).columns.map(({ position }) => position),
    ).toEqual([1, 2]);
    expect(rolesOf([endAt("elapsed s", 1e-3, 5), scene])).toEqual(["frame-time in s", "not-used in null"]);
    expect(rolesOf([["at", (i) => `20:15:${(i * 0.02).toFixed(2).padStart(5, "0")}`], scene])[0]).toBe(
      "frame-time in s",
    );
    const chosen = recognise([["at", (i) => `20:15:${(i * 0.5).toFixed(1).padStart(4, "0")}`], scene], {
      frameTime: { column: "at", unit: "ms" },
    });
    expect([chosen.frameTime?.unit, chosen.frameTime?.unitS, chosen.columns[0]?.unit]).toEqual(["s", 1, "s"]);
    expect(
      recognise([ms("a ms"), noise("b ms", 12, 9)], { frameTime: { column: "b ms" } }).columns[1]?.evidence,
    ).toContainEqual({
      favours: true,
      text: "the session says so",
    });
  });

  test("candidates say where they stand", () => {
    const { fault } = recognise([scene, ms("interval a"), noise("interval b", 12, 9)]);
    expect(fault).toMatchObject({
      candidates: [
        { position: 2, isClock: false },
        { position: 3, isClock: false },
      ],
    });
  });

  test("candidates carry theirs", () => {
    const grounds = (columns: readonly Column[]) => {
      const { fault } = recognise(columns);
      return fault?.code === "log-frame-time-unclear" ? fault.candidates.map((c) => c.grounds) : [];
    };
    expect(grounds([endAt("elapsed s", 1e-3, 5), ms("frame ms", 1000, 0)])).toEqual([
      ["its name says ms"],
      ["elapsed s counts in s and its steps say us"],
    ]);
    expect(grounds([ms("frame s"), scene])).toEqual([["its name says s"], ["its values make sense in ms"]]);
    expect(grounds([noise("interval", 400, 90), scene])).toEqual([
      ["no unit is stated", "its values make sense in ms"],
      ["no unit is stated", "its values make sense in us"],
    ]);
    expect(grounds([["elapsed s", (i) => `${i * 16}`], scene])).toEqual([
      ["its name says s"],
      ["its steps make sense in ms"],
    ]);
    expect(grounds([noise(null, 55, 8), [null, () => "quay"]])).toEqual([
      ["nothing names it", "its values make sense in ms"],
      ["nothing names it", "its values make sense as FPS"],
    ]);
    expect(grounds([ms("depth"), scene])).toEqual([
      ["its name says nothing of a frame time", "its values make sense in ms"],
      ["its name says nothing of a frame time", "its values make sense as FPS"],
    ]);
    expect(grounds([noise("gpu ms", 5, 5), scene])).toEqual([
      ["the name states a time, but of a part of the frame"],
    ]);
    expect(grounds([noise("fps", 59, 5), noise("frame rate", 100, 5)])).toEqual([
      ["its name speaks of a frame rate"],
      ["its name speaks of a frame rate"],
    ]);
    expect(grounds([noise("avg fps", 59, 1), scene])).toEqual([
      ["its name speaks of an average or a limit, not of single frames"],
    ]);
    expect(grounds([endAt("elapsed s", 1e-3, 5), noise("fps", 110, 20)])).toEqual([
      ["its name speaks of a frame rate"],
      ["its steps are times between rows"],
    ]);
    expect(
      grounds([endAt("elapsed s", 1e-3, 5), ["time s", (i) => ((i * i) / 5000 + i / 100).toFixed(5)], scene]),
    ).toEqual([["its steps are times between rows"], ["its steps are times between rows"]]);
    expect(grounds([ms("interval a"), noise("interval b", 12, 9)])).toEqual([
      ["the name speaks of a duration"],
      ["the name speaks of a duration"],
    ]);
  });
});
