import { describe, expect, test } from "vitest";
import { detectDialect } from "../../src/read/detect-dialect.ts";
import type { Dialect, DialectFault } from "../../src/read/dialect.ts";
import { isMissing } from "../../src/read/tell-cells.ts";
import { repeat } from "../support/head-of.ts";

interface Seen extends Partial<Omit<Dialect, "rows">> {
  /** Cells of the first row of values. */
  readonly first?: readonly string[];
  readonly count?: number;
}

function look(lines: readonly string[]): Seen | DialectFault {
  const found = detectDialect(lines);
  if ("why" in found) return found;
  const { rows, ...rest } = found;
  return { ...rest, first: rows[0]?.cells ?? [], count: rows.length };
}

interface Case {
  readonly what: string;
  readonly lines: readonly string[];
  readonly seen: Seen;
}

const expectSeen = ({ lines, seen }: Case): void => expect(look(lines)).toMatchObject(seen);
const numbered = (count: number, cells: string): string[] => repeat(count, (i) => `${i + 1}${cells}`);

describe("the delimiter is the one that cuts the lines evenly into numbers", () => {
  test.for<Case>([
    { what: "commas", lines: ["frame,ms", ...numbered(5, ",16.7")], seen: { delimiter: ",", width: 2 } },
    { what: "semicolons", lines: ["frame;ms", ...numbered(5, ";16.7")], seen: { delimiter: ";", width: 2 } },
    { what: "tabs", lines: ["frame\tms", ...numbered(5, "\t16.7")], seen: { delimiter: "\t", width: 2 } },
    { what: "bars", lines: ["frame|ms", ...numbered(5, "|16.7")], seen: { delimiter: "|", width: 2 } },
    {
      what: "semicolons between decimal commas",
      lines: ["frame;ms;W", ...numbered(5, ";16,7;45,25")],
      seen: { delimiter: ";", width: 3, decimalSign: ",", isSignInDoubt: false },
    },
    {
      what: "tabs between texts with commas and semicolons",
      lines: ["frame\tms\tscene", ...numbered(5, "\t16.7\tharbour, quay; dusk")],
      seen: { delimiter: "\t", width: 3, first: ["1", "16.7", "harbour, quay; dusk"] },
    },
    {
      what: "tabs between decimal commas and a text",
      lines: ["frame time [ms]\tscene", ...repeat(5, () => "7,43\tharbour")],
      seen: { delimiter: "\t", width: 2, decimalSign: "," },
    },
    {
      what: "blanks between decimal commas and a text",
      lines: ["frametime [ms]   camera", ...repeat(9, (i) => `6,33${i}0   harbour`)],
      seen: { delimiter: " ", width: 2, decimalSign: "," },
    },
    {
      what: "bars between decimal commas and a text, under a name with a comma",
      lines: ["elapsed, sec|scene", ...repeat(5, () => "63738,2448210|harbour")],
      seen: { delimiter: "|", width: 2, names: ["elapsed, sec", "scene"] },
    },
    {
      what: "commas between moments with dates",
      lines: ["at,ms", ...repeat(5, (i) => `2026-03-14 20:15:0${i},16.7`)],
      seen: { delimiter: ",", width: 2 },
    },
    {
      what: "commas where half the cells are empty or say that there is no number",
      lines: ["frame,ms,W,C", ...numbered(5, ",16.7,,N/A")],
      seen: { delimiter: ",", width: 4 },
    },
    {
      what: "commas, although a quote is never closed",
      lines: ["frame,ms", ...numbered(3, ",16.7"), '4,"16.7', ...numbered(9, ",16.7")],
      seen: { delimiter: ",", width: 2, headerLine: 1 },
    },
    {
      what: "semicolons between lists of numbers of many lengths",
      lines: ["1;7,8", "2;7,8,9,10,11,12", "3;7,8,9,10"],
      seen: { delimiter: ";", width: 2 },
    },
    {
      what: "moments alone",
      lines: ["at;scene", ...repeat(5, (i) => `20:15:0${i};quay`)],
      seen: { headerLine: 1 },
    },
    {
      what: "none, in one column",
      lines: ["ms", ...repeat(5, (i) => `16.${i}`)],
      seen: { width: 1, first: ["16.0"] },
    },
    {
      what: "commas, although one line in three has notes behind it",
      lines: repeat(30, (i) => (i % 3 === 0 ? `${i},16.7,late` : `${i},16.7`)),
      seen: { delimiter: ",", width: 2 },
    },
  ])("$what", expectSeen);

  const aligned = (cells: (i: number) => readonly string[]) =>
    repeat(9, (i) =>
      cells(i)
        .map((cell) => cell.padStart(8))
        .join("  "),
    );
  test.for<Case>([
    {
      what: "one each",
      lines: ["frame frame_time_ms", ...numbered(9, " 16.7")],
      seen: { delimiter: " ", width: 2, names: ["frame", "frame_time_ms"], first: ["1", "16.7"] },
    },
    {
      what: "before times of day with decimal commas",
      lines: ["frame number   t", ...repeat(9, (i) => `${i + 1}   20:15:00,${700_000_000 + i * 16_700_001}`)],
      seen: { delimiter: " ", width: 2, names: ["frame number", "t"], first: ["1", "20:15:00,700000000"] },
    },
    {
      what: "two or more, under names with single ones inside",
      lines: ["   frame  frame time", ...aligned((i) => [`${i}`, "16.7"])],
      seen: { delimiter: " ", names: ["frame", "frame time"], headerLine: 1, width: 2 },
    },
    {
      what: "two or more, under names that a tab parts",
      lines: ["frame\tframe time", ...aligned((i) => [`${i}`, "16.7"])],
      seen: { names: ["frame", "frame time"], headerLine: 1 },
    },
    {
      what: "two or more, under such names in a comment",
      lines: ["# frame  frame time", ...aligned((i) => [`${i}`, "16.7"])],
      seen: { delimiter: " ", names: ["frame", "frame time"], headerLine: 1 },
    },
    {
      what: "one each, under names in a comment",
      lines: ["# frame time_ms", ...numbered(9, " 16.7")],
      seen: { delimiter: " ", names: ["frame", "time_ms"], headerLine: 1 },
    },
    {
      what: "under a line of other words than names",
      lines: ["three harbour dogs", ...numbered(9, " 16.7 40 55")],
      seen: { delimiter: " ", width: 4, headerLine: null, notes: ["three harbour dogs"] },
    },
    {
      what: "between numbers and a word, under a header",
      lines: ["frame frame_time_ms scene", ...numbered(9, " 16.7 quay")],
      seen: { delimiter: " ", width: 3, headerLine: 1 },
    },
  ])("where no sign parts cells, blanks do: $what", expectSeen);

  test.for<{ what: string; lines: readonly string[]; fault: DialectFault }>([
    {
      what: "numbers in sentences",
      lines: numbered(9, " frames took 16.7 ms each"),
      fault: { why: "no-table" },
    },
    {
      what: "numbers behind a word, without a header",
      lines: repeat(9, (i) => `quay ${i} 16.7`),
      fault: { why: "no-table" },
    },
    {
      what: "rows of which half are as long as each other",
      lines: repeat(12, (i) => repeat(2 + (i % 2) * (i % 5), () => "16.7").join(" ")),
      fault: { why: "no-table" },
    },
    {
      what: "a header that lost a name of time",
      lines: ["frame ms", ...numbered(9, " 16.7 40")],
      fault: { why: "header-width", line: 1, names: 2, cells: 3 },
    },
  ])("but not $what", ({ lines, fault }) => {
    expect(look(lines)).toEqual(fault);
  });

  test("lines as often short as long are taken for the longer kind", () => {
    expect(look(["frame,ms,W", "1,16.7,40", "end", "of it"])).toMatchObject({
      width: 3,
      headerLine: 1,
      firstLine: 2,
    });
    expect(look(["a", "b", "frame,ms,W", "1,16.7,40"])).toMatchObject({
      width: 3,
      headerLine: 3,
      firstLine: 4,
    });
  });
});

describe("one column of decimal commas is not cut in two", () => {
  test.for<{ what: string; lines: readonly string[] }>([
    { what: "under a name without a comma", lines: ["frame time", "16,67", "17,01", "18,1"] },
    { what: "with fractions that begin with a zero", lines: ["16,07", "17,45", "18,99"] },
    { what: "with a fraction of zero among them", lines: ["16,00", "17,07", "18,99"] },
    {
      what: "with two stray lines in twenty",
      lines: ["frame time", ...repeat(18, () => "16,67"), "end", "end"],
    },
    { what: "with signs and blanks", lines: ["+16,07 ", " 17,45", "18,99"] },
    {
      what: "that goes up by one in three of four steps",
      lines: ["Saltworks", "0,16", "1,17", "2,16", "4,18", "5,17"],
    },
    { what: "that goes up by one in four rows", lines: ["frame time", "16,67", "17,1", "18,9", "19,31"] },
    { what: "that falls as running numbers do not", lines: ["16,67", "17,4", "16,991"] },
    { what: "under a name and its unit", lines: ["Delta, ms", "10,7", "9,2", "10,7", "9,9"] },
    { what: "with one that is missing", lines: ["frame time", "16,67", "17,01", "-", "18,1"] },
    {
      what: "with a unit behind each",
      lines: ["time since start", "0,0078 sec", "0,0156 sec", "0,0233 sec"],
    },
    { what: "that goes up by about one", lines: ["time", "0,991", "1,983", "3,012", "4,001", "4,992"] },
    { what: "with a stray line in ten", lines: ["frame time", ...repeat(19, () => "16,67"), "end"] },
  ])("$what", ({ lines }) => {
    expect(look(lines)).toMatchObject({ delimiter: ";", width: 1, decimalSign: "," });
  });

  test.for<{ what: string; lines: readonly string[] }>([
    { what: "running numbers and whole values", lines: ["1,16", "2,17", "3,16"] },
    { what: "equal whole numbers", lines: ["1,16", "1,17", "1,18"] },
    { what: "fractions of many lengths with a zero", lines: ["1,16", "2,05", "3,7"] },
    { what: "fractions of nothing but zeros", lines: ["1,00", "2,00", "3,00"] },
    { what: "whole numbers with a zero inside", lines: ["1,105", "2,170", "3,161"] },
    { what: "a zero alone, which is a whole number", lines: ["1,0", "2,3", "3,4"] },
    { what: "a header of two names", lines: ["frame,ms", "3,16", "1,17", "2,18"] },
    {
      what: "five running numbers and whole values under one word",
      lines: ["Saltworks", "0,16", "1,17", "2,16", "3,18", "4,17"],
    },
    {
      what: "five running numbers and a clock under a line of notes",
      lines: ["Session of a long evening", ...repeat(5, (i) => `${i},76581430${40 + i * 7}`)],
    },
    {
      what: "running numbers that start over, under a header that begins with the sign of a comment",
      lines: ['#,"FrameTime, ns"', ...repeat(40, (i) => `${i % 25},${28_995_817 + i * 37}`)],
    },
    {
      what: "durations before running numbers",
      lines: repeat(30, (i) => (i === 7 ? "inf,7" : `${508 + ((i * 7) % 13)},${i}`)),
    },
    {
      what: "running numbers and a clock under a line of notes",
      lines: ["Session of a long evening", ...repeat(6, (i) => `${i},7658143009${4000 + i * 37}`)],
    },
    {
      what: "one line in three that is something else",
      lines: ["frame time", ...repeat(20, () => "16,67"), ...repeat(10, () => "16,67,1")],
    },
  ])("but two columns are two: $what", ({ lines }) => {
    expect(look(lines)).toMatchObject({ delimiter: ",", width: 2 });
  });
});

test("comments alone are no table", () => {
  expect(look(["# at night", "# pass 3"])).toEqual({ why: "no-table" });
});

test("moments with a comma before their fraction are one column", () => {
  const lines = ["timestamp", "20:15:00,000000", "20:15:00,031671", "2026-03-14T20:15:00,068460Z"];
  expect(look(lines)).toMatchObject({ delimiter: ";", width: 1, names: ["timestamp"], count: 3 });
});

describe("the header is the line of names over the values", () => {
  test.for<Case>([
    {
      what: "one whose first name is the sign that comments begin with",
      lines: ["#,frame time (ms)", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["#", "frame time (ms)"] },
    },
    {
      what: "one whose first name is that sign, over a line of units",
      lines: ["# at night", "#,frame time", ",[ms]", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["#", "frame time"], units: ["", "[ms]"] },
    },
    {
      what: "one that is a unit by itself, under a comment",
      lines: ["# pass 3", "fps", ...repeat(5, () => "60.1")],
      seen: { headerLine: 2, names: ["fps"] },
    },
    {
      what: "one with a colon in it and a time",
      lines: ["CPU: load,frame time", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["CPU: load", "frame time"] },
    },
    {
      what: "one that parts the name and the unit of one column by a comma",
      lines: ["frame time, ms", ...repeat(5, () => "16.7")],
      seen: { headerLine: 1, names: ["frame time, ms"], width: 1 },
    },
    {
      what: "the first line",
      lines: ["frame,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"], units: null, firstLine: 2, notes: [], count: 5 },
    },
    {
      what: "none",
      lines: numbered(5, ",16.7"),
      seen: { headerLine: null, names: null, firstLine: 1, first: ["1", "16.7"] },
    },
    {
      what: "under notes, with blank lines and comments between",
      lines: ["Saltworks, quay", "# by hand", "", "kept: yes", "frame,ms", "", ...numbered(5, ",16.7")],
      seen: { headerLine: 5, firstLine: 7, notes: ["Saltworks, quay", "kept: yes"] },
    },
    {
      what: "over a line of units",
      lines: ["frame,time,power", ",[ms],[W]", ...numbered(5, ",16.7,40")],
      seen: {
        headerLine: 1,
        names: ["frame", "time", "power"],
        units: ["", "[ms]", "[W]"],
        firstLine: 3,
        notes: [],
      },
    },
    {
      what: "over a line of units with dashes and empty brackets",
      lines: ["frame,time,power", "[-],(ms),[]", ...numbered(5, ",16.7,40")],
      seen: { headerLine: 1, units: ["[-]", "(ms)", "[]"] },
    },
    {
      what: "over a line of brackets without a unit",
      lines: ["frame,time", "[],[-]", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "time"], units: ["[]", "[-]"] },
    },
    {
      what: "of one column, with a delimiter behind it",
      lines: ["frame time,", ...repeat(5, () => "16.7")],
      seen: { headerLine: 1, names: ["frame time"], width: 1 },
    },
    {
      what: "over the unit of its one column",
      lines: ["frame time", "ms", ...repeat(5, (i) => `16.${i}`)],
      seen: { headerLine: 1, names: ["frame time"], units: ["ms"] },
    },
    {
      what: "a name that is a unit, under a note",
      lines: ["Saltworks", "ms", ...repeat(5, (i) => `16.${i}`)],
      seen: { headerLine: 2, names: ["ms"], units: null, notes: ["Saltworks"] },
    },
    {
      what: "names that are units, under a line apart",
      lines: ["frame,time", "", "s,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 3, names: ["s", "ms"], units: null },
    },
    {
      what: "names that are units, straight under one word",
      lines: ["Saltworks", "s,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["s", "ms"], units: null },
    },
    {
      what: "names that are units, under numbers of nothing",
      lines: ["-,-", "s,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["s", "ms"], units: null },
    },
    {
      what: "a line with one unit among names",
      lines: ["run,two", "frame,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["frame", "ms"], units: null },
    },
    {
      what: "over a ruler",
      lines: ["|frame|ms|", "|:---|---:|", ...repeat(5, (i) => `|${i}|16.7|`)],
      seen: { headerLine: 1, names: ["", "frame", "ms", ""], firstLine: 3 },
    },
    {
      what: "over rows that leave out blank cells at their end",
      lines: ["frame,ms,note", ...numbered(8, ",16.7"), "9,16.7,late"],
      seen: { headerLine: 1, names: ["frame", "ms", "note"], width: 3, count: 9 },
    },
    {
      what: "over a row of blank cells",
      lines: ["frame,ms", ",", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"], firstLine: 3 },
    },
    {
      what: "with names beyond the last column that are empty",
      lines: ["frame,ms,,", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"], width: 2 },
    },
    {
      what: "without a name for the blank cell at the end of every row",
      lines: ["frame,ms", ...numbered(5, ",16.7,")],
      seen: { headerLine: 1, names: ["frame", "ms", ""], width: 3 },
    },
    {
      what: "in a comment straight above the values",
      lines: ["Saltworks", "# frame, ms", "", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["frame", "ms"], firstLine: 4, notes: ["Saltworks"] },
    },
    {
      what: "in a comment of two signs",
      lines: ["## frame, ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"] },
    },
    {
      what: "in a comment below a line of as many cells",
      lines: ["Saltworks, quay", "# frame, ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["frame", "ms"], notes: ["Saltworks, quay"] },
    },
    {
      what: "below a comment of as many cells",
      lines: ["# Saltworks, quay", "frame,ms", ...numbered(5, ",16.7")],
      seen: { headerLine: 2, names: ["frame", "ms"], notes: [] },
    },
    {
      what: "none in a comment of another width",
      lines: ["# by hand, in the evening, twice", ...numbered(5, ",16.7")],
      seen: { headerLine: null, names: null },
    },
    {
      what: "none in a comment of nothing",
      lines: ["#", ...numbered(5, ",16.7")],
      seen: { headerLine: null },
    },
    {
      what: "none in a comment of nothing over cells that blanks part",
      lines: ["#", ...numbered(9, " 16.7")],
      seen: { headerLine: null, delimiter: " " },
    },
    {
      what: "none in a comment whose words blanks part",
      lines: ["# frame  ms", ...numbered(5, ",16.7")],
      seen: { headerLine: null, names: null },
    },
    {
      what: "of one column, with its unit behind a comma and a blank before it",
      lines: [" frame time, ms", ...repeat(5, () => "16.7")],
      seen: { headerLine: 1, names: ["frame time, ms"], width: 1 },
    },
    {
      what: "none in a comment of numbers",
      lines: ["# 0, 16.7", ...numbered(5, ",16.7")],
      seen: { headerLine: null, names: null },
    },
    {
      what: "none in the comment above another comment",
      lines: ["# frame, ms", "# by hand", ...numbered(5, ",16.7")],
      seen: { headerLine: null },
    },
    {
      what: "none in a sentence above",
      lines: ["Taken by hand on the quay.", ...numbered(5, ",16.7")],
      seen: { headerLine: null, notes: ["Taken by hand on the quay."], firstLine: 2 },
    },
    {
      what: "over a line of units of other things than time",
      lines: ["depth,height", "[W],[C]", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, units: ["[W]", "[C]"] },
    },
    {
      what: "over a line of units, with a name left out",
      lines: ["frame,,time", ",W,ms", ...numbered(5, ",40,16.7")],
      seen: { headerLine: 1, names: ["frame", "", "time"], units: ["", "W", "ms"] },
    },
    {
      what: "in a comment above a line of blanks",
      lines: ["# frame, ms", "  ", ...numbered(5, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"] },
    },
    {
      what: "none in a comment with a number for a name",
      lines: ["# frame, 16.7", ...numbered(5, ",16.7")],
      seen: { headerLine: null },
    },
    {
      what: "none in a comment with an open quote",
      lines: ['# "by hand, late', ...numbered(5, ",16.7")],
      seen: { headerLine: null },
    },
  ])("$what", expectSeen);

  test("at most fifty notes are kept", () => {
    const notes = repeat(60, (i) => `kept, ${i} times`);
    const seen = look([...notes, "", "frame,ms", ...repeat(100, (i) => `${i},16.7`)]);
    expect(seen).toMatchObject({ headerLine: 62, notes: notes.slice(0, 50) });
  });

  test.for<{ what: string; lines: readonly string[]; fault: DialectFault }>([
    {
      what: "a header that lost a name",
      lines: ["frame,ms", ...numbered(5, ",16.7,40")],
      fault: { why: "header-width", line: 1, names: 2, cells: 3 },
    },
    {
      what: "a header with a name too many over rows of which one is longer still",
      lines: ["frame,ms,W", ...numbered(5, ",16.7"), "6,16.7,40,55"],
      fault: { why: "header-width", line: 1, names: 3, cells: 2 },
    },
    {
      what: "a header that lost a name and has one of three words",
      lines: ["depth below  quay,height", ...numbered(5, ",16.7,40")],
      fault: { why: "header-width", line: 1, names: 2, cells: 3 },
    },
    {
      what: "a header that lost a name and has one of many words, beside one of a time",
      lines: ["depth of the water below,frame time", ...numbered(5, ",16.7,40")],
      fault: { why: "header-width", line: 1, names: 2, cells: 3 },
    },
    {
      what: "a header of one name and two units over one column",
      lines: ["frame time, ms, W", ...repeat(5, () => "16.7")],
      fault: { why: "header-width", line: 1, names: 3, cells: 1 },
    },
    {
      what: "a header with half the names",
      lines: ["Saltworks", "frame,ms", ...numbered(5, ",16.7,40,55")],
      fault: { why: "header-width", line: 2, names: 2, cells: 4 },
    },
    {
      what: "a header with a name too many",
      lines: ["frame,ms,W", ...numbered(5, ",16.7")],
      fault: { why: "header-width", line: 1, names: 3, cells: 2 },
    },
    {
      what: "a header without a name for a column that is blank in some rows only",
      lines: ["frame,ms", ...numbered(5, ",16.7,40"), "6,16.7,"],
      fault: { why: "header-width", line: 1, names: 2, cells: 3 },
    },
    {
      what: "a header with a number for a name, over rows of which one is as long",
      lines: ["frame,7,note", ...numbered(8, ",16.7"), "9,16.7,late"],
      fault: { why: "header-width", line: 1, names: 3, cells: 2 },
    },
    {
      what: "a header with a name behind a blank one too many",
      lines: ["frame,ms,,W", ...numbered(5, ",16.7")],
      fault: { why: "header-width", line: 1, names: 4, cells: 2 },
    },
    {
      what: "a header that lost a name, over rows with a blank end",
      lines: ["frame,ms", ...numbered(5, ",16.7,40,")],
      fault: { why: "header-width", line: 1, names: 2, cells: 4 },
    },
  ])("$what is refused, by its line", ({ lines, fault }) => {
    expect(look(lines)).toEqual(fault);
  });

  test.for<Case>([
    {
      what: "fewer than half the names",
      lines: ["Saltworks, quay", ...numbered(5, ",16.7,40,55,70")],
      seen: { headerLine: null, notes: ["Saltworks, quay"] },
    },
    {
      what: "a page of prose with commas",
      lines: [`${"so it was written ".repeat(5)}, and then`, ...numbered(5, ",16.7,40")],
      seen: { headerLine: null },
    },
    {
      what: "four words and a comma",
      lines: ["taken on the quay, twice", ...numbered(5, ",16.7,40")],
      seen: { headerLine: null },
    },
    {
      what: "a word with a colon before the comma",
      lines: ["Machine:,two", ...numbered(5, ",16.7,40")],
      seen: { headerLine: null },
    },
    { what: "one word", lines: ["Saltworks", ...numbered(5, ",16.7")], seen: { headerLine: null } },
    {
      what: "a spreadsheet's separator",
      lines: ["sep=,", ...numbered(5, ",16.7")],
      seen: { headerLine: null, notes: ["sep=,"] },
    },
    { what: "a name and its value", lines: ["Run,3", ...numbered(5, ",16.7")], seen: { headerLine: null } },
    {
      what: "a note with a comma, nearly as long as the rows",
      lines: ["Notes: third frame time, windows closed", ...numbered(5, ",16.7,40")],
      seen: { headerLine: null, notes: ["Notes: third frame time, windows closed"] },
    },
    {
      what: "a sentence with a comma, nearly as long as the rows",
      lines: ["we went to the quay, then home", ...numbered(5, ",16.7,40")],
      seen: { headerLine: null },
    },
    {
      what: "a note over one column",
      lines: ["Machine: bench 2, 32 GB", ...repeat(5, () => "16.7")],
      seen: { headerLine: null, width: 1 },
    },
    {
      what: "a note with a comma over two columns",
      lines: ["Machine: bench 2, 32 GB", ...numbered(5, ",16.7")],
      seen: { headerLine: null, width: 2 },
    },
    {
      what: "a sentence over one column",
      lines: ["Session of a long evening", ...repeat(5, () => "16.7")],
      seen: { headerLine: null, width: 1 },
    },
  ])("$what above the values is a note, no header that lost names", expectSeen);
});

test("a header and its line of units that come again begin no other table", () => {
  const top = ["frame,time", ",[s]"];
  const rows = numbered(8, ",16.7");
  expect(look([...top, ...rows, ...top, ...rows, ...rows, ...rows])).toMatchObject({
    headerLine: 1,
    count: 34,
  });
});

describe("the values begin at the first row that holds more numbers than words", () => {
  test.for<Case>([
    {
      what: "a row with a word for one of three numbers",
      lines: ["frame,ms,W", "1,16.7,off", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 1, firstLine: 2, count: 10 },
    },
    {
      what: "not a row with words for two of three",
      lines: ["frame,ms,W", "1,late,off", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 2, firstLine: 3, count: 9 },
    },
    {
      what: "a row whose other numbers are missing",
      lines: ["frame,ms,W", "1,NaN,-", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 1, firstLine: 2, count: 10 },
    },
    {
      what: "not a row of missing numbers",
      lines: ["frame,ms,W", "-,NaN,-", ...numbered(9, ",16.7,40")],
      seen: { firstLine: 3 },
    },
    {
      what: "a row with half the cells",
      lines: ["frame,ms,W,C", "1,16.7", ...numbered(9, ",16.7,40,55")],
      seen: { headerLine: 1, firstLine: 2 },
    },
    {
      what: "not a row with fewer",
      lines: ["frame,ms,W,C,MHz", "7,16.7", "frame,ms,W,C,MHz", ...numbered(9, ",16.7,40,55,4100")],
      seen: { headerLine: 3, firstLine: 4 },
    },
    {
      what: "a row of text and one number",
      lines: ["scene,state,ms", ...repeat(9, (i) => `harbour,dusk,16.${i}`)],
      seen: { headerLine: 1, firstLine: 2, count: 9 },
    },
    {
      what: "in three rows under two lines of header",
      lines: ["frame,time", "-,ms", "1,16.7", "2,16.8", "3,16.9"],
      seen: { headerLine: 1, firstLine: 3, count: 3 },
    },
    {
      what: "also where a column of text has a number in it",
      lines: ["title,ms", ...repeat(9, (i) => `${i === 4 ? "17" : "quay"},16.7`)],
      seen: { headerLine: 1, firstLine: 2, count: 9 },
    },
    {
      what: "below a table of another width, where this one's names follow it",
      lines: ["fps,low", "60,40", "frame,ms,W", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 3, firstLine: 4, notes: ["fps,low", "60,40"] },
    },
    {
      what: "below a table of another width, whatever the names that follow it",
      lines: ["fps,low", "60,40", "depth,height,width", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 3, firstLine: 4 },
    },
    {
      what: "below a number alone, whatever the names that follow it",
      lines: ["7", "depth,height", ...numbered(9, ",16.7")],
      seen: { headerLine: 2, firstLine: 3 },
    },
    {
      what: "below a short table as wide, with other names behind it",
      lines: ["average,lowest", "60,40", "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 3, names: ["frame", "ms"], firstLine: 4, count: 9 },
    },
    {
      what: "below a short table with a line of units",
      lines: ["fps,lowest", "[fps],[ms]", "60,40", "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 4, firstLine: 5, count: 9 },
    },
    {
      what: "below a short table of which one name comes again",
      lines: ["frame,average", "7,40", "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 3, firstLine: 4, count: 9 },
    },
    {
      what: "below a table as wide that is one row shorter than the log",
      lines: ["average,lowest", ...numbered(8, ",40"), "frame,ms", ...numbered(8, ",16.7")],
      seen: { headerLine: 10, firstLine: 11, count: 8 },
    },
    {
      what: "not below a table as wide that is as long as what follows",
      lines: ["average,lowest", ...numbered(8, ",40"), "frame,ms", ...numbered(7, ",16.7")],
      seen: { headerLine: 1, firstLine: 2, count: 16 },
    },
    {
      what: "not below the same names again, where the log began anew",
      lines: ["frame,ms", "1,16.7", "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 1, firstLine: 2, count: 11 },
    },
    {
      what: "not below words that name no time",
      lines: ["frame,ms", "1,16.7", "quay,dusk", ...numbered(9, ",16.7")],
      seen: { headerLine: 1, firstLine: 2, count: 11 },
    },
    {
      what: "not below a name of time beside a number",
      lines: ["depth,height", "1,16.7", "7,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 1, firstLine: 2, count: 11 },
    },
    {
      what: "with a quote that is never closed above, which is neither row nor header",
      lines: ["frame,ms", '1,"16.7', ...numbered(9, ",16.7")],
      seen: { headerLine: 1, names: ["frame", "ms"], firstLine: 3 },
    },
    {
      what: "with such a quote above the header",
      lines: ['Saltworks, "late', "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 2, firstLine: 3 },
    },
    {
      what: "with shorter rows that no names follow",
      lines: ["frame,ms,W", "1,16.7", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 1, firstLine: 2, count: 10 },
    },
    {
      what: "a row with blanks for two of three numbers",
      lines: ["frame,ms,W", "1,,", ...numbered(9, ",16.7,40")],
      seen: { headerLine: 1, firstLine: 2 },
    },
    {
      what: "not a number alone above two columns",
      lines: ["7", "frame,ms", ...numbered(9, ",16.7")],
      seen: { headerLine: 2, firstLine: 3, notes: ["7"] },
    },
    {
      what: "in one row beside a text, whose decimal sign is told",
      lines: ["scene;ms", "quay;16,7"],
      seen: { headerLine: 1, firstLine: 2, decimalSign: "," },
    },
    {
      what: "not a number alone above two columns without names",
      lines: ["7", ...numbered(9, ",16.7")],
      seen: { headerLine: null, firstLine: 2, count: 9 },
    },
    {
      what: "a row of numbers with their units",
      lines: ["frame,ms", ...repeat(9, (i) => `${i} ms,16.7 ms`)],
      seen: { headerLine: 1, firstLine: 2, count: 9 },
    },
    {
      what: "in one row beside a text",
      lines: ["scene,ms", "quay,16.7"],
      seen: { headerLine: 1, firstLine: 2 },
    },
  ])("$what", expectSeen);

  test.for([
    "NaN",
    "n/a",
    "NA",
    "null",
    "None",
    "-",
    "--",
    "inf",
    "-inf",
    "Infinity",
    "?",
    "NaN ms",
    "#N/A",
    "#DIV/0!",
    "#NAME?",
    "#A",
  ])("%s is a missing number", (cell) => {
    expect(isMissing(cell)).toBe(true);
  });

  test.for([
    "",
    "0",
    "7-",
    "-7",
    "nano",
    "an",
    "info",
    "??",
    "- -",
    "NaN late",
    "#1",
    "7 #N/A",
    "#N/A late",
    "#N-A",
    "#n/a",
    "#ABCDEFGHIJ",
    "#N/A.",
    "##A",
  ])("%j is not", (cell) => {
    expect(isMissing(cell)).toBe(false);
  });
});

describe("lines without numbers are no log, or say what is missing", () => {
  const story = (count: number) => repeat(count, (i) => `The quay lay still, as it had on evening ${i}`);
  test.for([{ above: 99 }, { above: 100 }, { above: 101 }, { above: 103 }, { above: 149 }, { above: 1017 }])(
    "a table below $above lines of text is found with its header",
    ({ above }) => {
      const seen = look([...story(above), "frame,frame time (ms)", ...numbered(40, ",16.7")]);
      expect(seen).toMatchObject({ headerLine: above + 1, firstLine: above + 2, count: 40, width: 2 });
      expect(seen).toMatchObject({ names: ["frame", "frame time (ms)"], notes: story(50) });
    },
  );

  test("rows below a long text are numbered by their lines, also without a header", () => {
    const found = detectDialect([...story(120), "It was late.", "", ...numbered(60, ",16.7")]);
    expect(found).toMatchObject({ headerLine: null, firstLine: 123, notes: story(50) });
    const lines = "rows" in found ? found.rows.map(({ line }) => line) : [];
    expect(lines).toEqual(Array.from({ length: 60 }, (_, i) => 123 + i));
  });

  test("a long text is no table", () => {
    expect(look(story(500))).toEqual({ why: "no-table" });
  });

  test.for<{ what: string; lines: readonly string[]; fault: DialectFault }>([
    {
      what: "prose",
      lines: ["It was, as ever, late.", "Nobody, so far, had come."],
      fault: { why: "no-table" },
    },
    { what: "a header over nothing", lines: ["frame,frame time (ms)"], fault: { why: "no-rows" } },
    { what: "a header of a rate over nothing", lines: ["scene,fps"], fault: { why: "no-rows" } },
    { what: "a header of a clock over nothing", lines: ["scene,elapsed"], fault: { why: "no-rows" } },
    { what: "a header of a unit over nothing", lines: ["scene,ms"], fault: { why: "no-rows" } },
    {
      what: "a name with a point in it over nothing",
      lines: ["scene,frame.time"],
      fault: { why: "no-rows" },
    },
    { what: "names of other things over nothing", lines: ["scene,altitude"], fault: { why: "no-table" } },
    { what: "a name without letters over nothing", lines: ["fps,_"], fault: { why: "no-table" } },
    { what: "a sentence of a frame time", lines: ["scene,frame time."], fault: { why: "no-table" } },
    { what: "a page for a name", lines: [`frame time,${"a".repeat(61)}`], fault: { why: "no-table" } },
    {
      what: "a name that begins with a number over words",
      lines: ["2nd frame time,scene", "late,quay"],
      fault: { why: "no-table" },
    },
    { what: "nothing but blank lines", lines: ["", "  "], fault: { why: "no-table" } },
    {
      what: "more columns than any log has",
      lines: repeat(3, () => repeat(2001, () => "1").join(",")),
      fault: { why: "too-wide", columns: 2001 },
    },
  ])("$what", ({ lines, fault }) => {
    expect(look(lines)).toEqual(fault);
  });

  test("a wide log with as many columns as are read is read", () => {
    expect(look(repeat(3, () => repeat(2000, () => "1").join(",")))).toMatchObject({ width: 2000 });
  });

  test("a header over words is a table, so that the words can be named", () => {
    expect(look(["Saltworks", "scene,frame time (ms)", "quay,fast", "quay,slow"])).toEqual({
      delimiter: ",",
      decimalSign: ".",
      isSignInDoubt: false,
      width: 2,
      headerLine: 2,
      names: ["scene", "frame time (ms)"],
      units: null,
      notes: ["Saltworks"],
      firstLine: 3,
      mayEndShort: false,
      first: ["quay", "fast"],
      count: 2,
    });
  });

  test("a name of one letter is one", () => {
    expect(look(["t,scene", "soon,quay"])).toMatchObject({ headerLine: 1, names: ["t", "scene"], count: 1 });
  });

  test("a name of sixty characters is still one", () => {
    expect(look([`frame time,${"a".repeat(60)}`])).toEqual({ why: "no-rows" });
  });
});

describe("the decimal sign is what most numbers can only mean", () => {
  const sign = (cells: readonly string[], delimiter = ";") => {
    const seen = look([`frame${delimiter}ms`, ...cells.map((cell, i) => `${i}${delimiter}${cell}`)]);
    return "why" in seen ? seen : { sign: seen.decimalSign, isInDoubt: seen.isSignInDoubt };
  };
  const point = { sign: ".", isInDoubt: false };
  const comma = { sign: ",", isInDoubt: false };
  test.for<{ what: string; cells: readonly string[]; delimiter?: string; is: object }>([
    { what: "points", cells: ["16.7", "17.2"], is: point },
    { what: "whole numbers", cells: ["16", "17"], is: point },
    { what: "commas", cells: ["16,7", "17,2"], is: comma },
    { what: "commas behind points that part thousands", cells: ["1.016,7", "1.017,2"], is: comma },
    { what: "points behind commas that part thousands", cells: ["1,016.7", "1,017.2"], is: point },
    { what: "points behind commas more often than commas", cells: ["1,016.7", "1,017.2", "16,7"], is: point },
    { what: "more commas than points", cells: ["16,7", "17,25", "16.7"], is: comma },
    { what: "more points than commas", cells: ["16,7", "17.25", "16.7"], is: point },
    { what: "as many of both", cells: ["16,7", "16.7"], is: point },
    { what: "a zero before three decimals", cells: ["0,016", "0,017"], is: comma },
    { what: "three decimals between semicolons", cells: ["16,667", "17,250"], is: comma },
    {
      what: "a zero before three decimals in quotes",
      cells: ['"0,016"', '"0,017"'],
      delimiter: ",",
      is: comma,
    },
    { what: "fractions in quotes", cells: ['"16,7"', '"17,2"'], delimiter: ",", is: comma },
    { what: "points beside text with commas", cells: ["16.7", "late, very"], is: point },
    { what: "points in exponents", cells: ["1.67e1", "1.7e1"], is: point },
    { what: "commas with a unit behind", cells: ["16,7 ms", "17,2 ms"], is: comma },
    { what: "points with a unit behind, and one comma", cells: ["16.7 ms", "17.2 ms", "17,2"], is: point },
    // Commas in moments part seconds from fractions whatever the log's sign.
    { what: "moments with commas", cells: ["20:15:00,5", "20:15:01,5"], is: point },
    {
      what: "three digits in quotes: decimals, as none is below 1,000",
      cells: ['"16,667"', '"17,250"'],
      delimiter: ",",
      is: { sign: ",", isInDoubt: true },
    },
    {
      what: "three digits in quotes: thousands, as one is below 1,000",
      cells: ['"16,667"', "950"],
      delimiter: ",",
      is: { sign: ".", isInDoubt: true },
    },
    {
      what: "three digits in quotes: thousands, as one has two groups",
      cells: ['"16,667"', '"1,016,667"'],
      delimiter: ",",
      is: { sign: ".", isInDoubt: true },
    },
    {
      what: "three digits in quotes between semicolons as well",
      cells: ['"16,667"', '"17,250"'],
      is: { sign: ",", isInDoubt: true },
    },
    {
      what: "as many commas as points, and one that could be both",
      cells: ['"16,5"', "17.5", '"16,667"'],
      delimiter: ",",
      is: point,
    },
    {
      what: "three digits in quotes beside points behind commas: thousands",
      cells: ['"16,667"', '"17,250"', '"1,016.7"'],
      delimiter: ",",
      is: point,
    },
    { what: "a negative zero before three decimals", cells: ["-0,016", "-0,017"], is: comma },
    {
      what: "three digits below zero in quotes: thousands, as one is below 1,000",
      cells: ['"-16,667"', "-950"],
      delimiter: ",",
      is: { sign: ".", isInDoubt: true },
    },
    {
      what: "three digits in quotes: thousands, as one has two groups behind two digits",
      cells: ['"16,667"', '"-12,016,667"'],
      delimiter: ",",
      is: { sign: ".", isInDoubt: true },
    },
    {
      what: "three digits in quotes beside points: thousands",
      cells: ['"16,667"', '"17,250"', "950.5"],
      delimiter: ",",
      is: point,
    },
  ])("$what", ({ cells, delimiter, is }) => {
    expect(sign(cells, delimiter)).toEqual(is);
  });

  test("neither do blanks and texts", () => {
    const odd = ["2,,", "3,see 12,", "4,12 late,", '5,"no 1,016,667",', '6,"1,016,667 late",'];
    const seen = look(["frame,ms,scene", '1,"16,667",quay', ...odd, '7,"17,250",dusk', '8,"17,750",dusk']);
    expect(seen).toMatchObject({ decimalSign: ",", isSignInDoubt: true });
  });

  test("one column with a number below 1,000 is enough for thousands", () => {
    const seen = look(["frame,a,b", '1,"16,667","20,500"', '2,950,"21,500"', '3,"17,250","22,500"']);
    expect(seen).toMatchObject({ decimalSign: ".", isSignInDoubt: true });
  });

  test("a column of small whole numbers beside does not make thousands", () => {
    const seen = look(["frame,ms,W", '1,"16,667",40', '2,"17,250",41']);
    expect(seen).toMatchObject({ decimalSign: ",", isSignInDoubt: true });
  });
});
