import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { readText, rowsOf } from "../support/read-text.ts";

/** 100 frames of 20 ms, the clock at the end of each; the text column could hold a stray delimiter. */
const row = (i: number) => `${i},Tide Runner,${(i * 0.02).toFixed(2)},20.00`;
const header = "frame,scene,elapsed_s,frame_time_ms";
/** With one row in the place of the 50th, which is line 51 of the file. */
const withRow = (odd: string) => `${header}\n${rowsOf(100, (i) => (i === 49 ? odd : row(i)))}`;

describe("a row that gives no frame is counted by its reason, and the first of them shown", () => {
  test.for([
    { it: "no frame time", odd: "49,Tide Runner,0.98,", reason: "frame time empty", found: "" },
    { it: "a word for nothing", odd: "49,Tide Runner,0.98,NaN", reason: "frame time empty", found: "NaN" },
    { it: "another word", odd: "49,Tide Runner,0.98,slow", reason: "frame time not a number", found: "slow" },
    { it: "zero", odd: "49,Tide Runner,0.98,0", reason: "frame time zero or negative", found: "0" },
    {
      it: "less than zero",
      odd: "49,Tide Runner,0.98,-20.00",
      reason: "frame time zero or negative",
      found: "-20.00",
    },
    {
      it: "over ten seconds",
      odd: "49,Tide Runner,0.98,10000.01",
      reason: "frame time over 10 s",
      found: "10000.01",
    },
    { it: "too few cells", odd: "49,Tide Runner", reason: "too few cells", found: "49,Tide Runner" },
    {
      it: "a delimiter inside the text",
      odd: "49,Tide, Runner,0.98,20.00",
      reason: "too many cells",
      found: "49,Tide, Runner,0.98,20.00",
    },
    {
      it: "no more than the cells before the frame time",
      odd: "49,Tide Runner,0.98",
      reason: "too few cells",
      found: "49,Tide Runner,0.98",
    },
    {
      it: "a delimiter inside the text, and one at the end",
      odd: "49,Tide, Runner,0.98,20.00,",
      reason: "too many cells",
      found: "49,Tide, Runner,0.98,20.00,",
    },
    {
      it: "words for the clock",
      odd: "49,Tide Runner,paused,20.00",
      reason: "words among the numbers",
      found: "49,Tide Runner,paused,20.00",
    },
    {
      it: "words for the number of the frame",
      odd: "pause,Tide Runner,0.98,20.00",
      reason: "words among the numbers",
      found: "pause,Tide Runner,0.98,20.00",
    },
    {
      it: "a quote that is never closed",
      odd: '49,"Tide Runner,0.98,20.00',
      reason: "stray quote",
      found: '49,"Tide Runner,0.98,20.00',
    },
  ])("$it", async ({ odd, reason, found }) => {
    const { log, problems } = await readText(withRow(odd));
    expect(log?.rows).toEqual({ read: 100, frames: 99, notUsed: { [reason]: 1 } });
    expect(problems).toEqual([
      {
        code: "log-rows-lost",
        severity: "warning",
        at: { file: "pass-1.csv", line: 51 },
        reason,
        rows: 1,
        column: "frame_time_ms",
        found,
      },
    ]);
    expect(log?.flags).toEqual([{ code: "damaged", lostFrames: 1, frames: 99 }]);
  });

  test.for([
    { it: "a text between the clock and the frame time", name: "scene", usual: "quay" },
    { it: "a column that was blank so far", name: "note", usual: "" },
  ])("a delimiter inside $it pushes the frame time aside", async ({ name, usual }) => {
    const text = `elapsed_s,${name},frame_time_ms\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},${i === 49 ? "a, b" : usual},20.00`)}`;
    expect((await readText(text)).log?.rows).toEqual({
      read: 100,
      frames: 99,
      notUsed: { "too many cells": 1 },
    });
  });

  test("a delimiter inside a text between the frame time and the clock pushes the clock aside", async () => {
    const text = `frame_time_ms,scene,elapsed_s\n${rowsOf(100, (i) => `20.00,${i === 49 ? "a, b" : "quay"},${(i * 0.02).toFixed(2)}`)}`;
    expect((await readText(text)).log?.rows.notUsed).toEqual({ "too many cells": 1 });
  });

  test("a delimiter inside a text behind all numbers that matter costs no frame", async () => {
    const text = `elapsed_s,frame_time_ms,scene\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},20.00,${i === 49 ? "a, b" : "quay"}`)}`;
    expect((await readText(text)).log?.rows).toEqual({ read: 100, frames: 100, notUsed: {} });
  });

  test("a cell that is not there, among blanks, is a cell too few", async () => {
    const text = `elapsed_s  frame_time_ms  cpu_load  gpu_load\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)}  20.00  ${i === 49 ? "" : "50"}  60`)}`;
    const { log } = await readText(text);
    expect(log?.rows).toEqual({ read: 100, frames: 99, notUsed: { "too few cells": 1 } });
  });

  const dated = (i: number) => new Date(Date.UTC(2026, 2, 14, 20, 15) + i * 20).toISOString();
  test.for([
    {
      it: "a word in the place of the clock's number, with a unit, leaves the frame",
      names: "elapsed_s,frame_time_ms",
      cells: (i: number) => `${(i * 0.02).toFixed(2)},20.00`,
      odd: "0.98 seconds,20.00",
      notUsed: {},
    },
    {
      it: "a word in the place of a date leaves the frame",
      names: "time,frame_time_ms",
      cells: (i: number) => `${dated(i)},20.00`,
      odd: "paused,20.00",
      notUsed: {},
    },
    {
      it: "a row that ends before its clock is a frame, where rows may end early",
      names: "frame_time_ms,elapsed_s,scene",
      cells: (i: number) =>
        i % 5 === 3 ? `20.00,${(i * 0.02).toFixed(2)}` : `20.00,${(i * 0.02).toFixed(2)},quay`,
      odd: "20.00",
      notUsed: {},
    },
    {
      it: "a word in the place of a clock alone is no reading",
      names: "time_s",
      cells: (i: number) => (i * 0.02).toFixed(2),
      odd: "paused",
      notUsed: { "first reading of the clock": 1, "frame time empty": 1 },
    },
    {
      it: "nothing in the place of a date alone is no reading, whatever stands beside it",
      names: "time,cpu power [W]",
      cells: (i: number) => (i === 10 || i === 20 ? `,${40 + i}` : `${dated(i)},`),
      odd: ",50",
      notUsed: { "first reading of the clock": 1, "frame time empty": 3 },
    },
  ])("$it", async ({ names, cells, odd, notUsed }) => {
    const { log } = await readText(`${names}\n${rowsOf(100, (i) => (i === 49 ? odd : cells(i)))}`);
    expect(log?.rows.notUsed).toEqual(notUsed);
    expect(log?.flags.filter(({ code }) => code === "restarted")).toEqual([]);
  });

  test.for(["0.020", "2026-03-14 20:15:00.020", "0:00:00.020 slow"])(
    "among frame times in hours, minutes and seconds: %s",
    async (odd) => {
      const text = `frame time,scene\n${rowsOf(100, (i) => `${i === 49 ? odd : `0:00:00.0${20 + (i % 3)}`},quay`)}`;
      const { log } = await readText(text);
      expect(log?.rows).toEqual({ read: 100, frames: 99, notUsed: { "frame time not a number": 1 } });
      expect([...new Set(log?.frameTimesMs)].map(Math.round)).toEqual([20, 21, 22]);
    },
  );

  test("what a sensor says beside a frame that was lost is not kept", async () => {
    const text = `elapsed_s,frame_time_ms,cpu power [W]\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},${i === 49 ? "0,95" : "20.00,40"}`)}`;
    const { log } = await readText(text);
    expect(log?.rows.notUsed).toEqual({ "frame time zero or negative": 1 });
    expect([...new Set(log?.sensors[0]?.values)]).toEqual([40]);
  });

  test("lines that a stray quote runs together are lost one by one", async () => {
    const { log, problems } = await readText(
      withRow('49,"Tide Runner,0.98,20.00\n50,Tide Runner,1.00",20.00'),
    );
    expect(log?.rows).toEqual({ read: 101, frames: 99, notUsed: { "stray quote": 2 } });
    expect(problems).toMatchObject([{ reason: "stray quote", rows: 2, at: { line: 51 } }]);
  });

  test("several of one kind are shown by the first", async () => {
    const text = `${header}\n${rowsOf(100, (i) => (i % 30 === 29 ? `${i},x,${i * 0.02},-${i}` : row(i)))}`;
    const { log, problems } = await readText(text);
    expect(log?.rows.notUsed).toEqual({ "frame time zero or negative": 3 });
    expect(problems).toMatchObject([{ rows: 3, found: "-29", at: { line: 31 } }]);
  });

  test("without a header, the column is named by its place", async () => {
    const text = rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},${i === 49 ? "0" : "20.00"}`);
    const { problems } = await readText(text);
    expect(problems).toMatchObject([{ code: "log-rows-lost", column: "column 2", at: { line: 50 } }]);
  });
});

describe("a row that ends early, in a table whose rows do not", () => {
  const table = (name: string, cell: (i: number) => string, odd: string): string =>
    `${name},scene\n${rowsOf(1000, (i) => (i === 700 ? odd : `${cell(i)},quay`))}`;

  test.for([
    { it: "in its frame time", name: "frame_time_ms", cell: () => "20.00", odd: "2" },
    { it: "in its clock", name: "time_s", cell: (i: number) => (i * 0.02).toFixed(2), odd: "1" },
    {
      it: "in a clock behind its frame time",
      name: "frame_time_ms,time_s",
      cell: (i: number) => `20.00,${(i * 0.02).toFixed(2)}`,
      odd: "20.00,1",
    },
  ])("is none where it ends $it", async ({ name, cell, odd }) => {
    const { log } = await readText(table(name, cell, odd));
    expect(log?.rows.notUsed["too few cells"]).toBe(1);
    expect(log?.flags.filter(({ code }) => code === "restarted")).toEqual([]);
    // A frame as short, or as long, as digits that are missing would make it.
    expect(Math.min(...(log?.frameTimesMs ?? []))).toBeCloseTo(20);
    expect(log?.frameTimesMs.length).toBeGreaterThanOrEqual(998);
  });

  test("is a frame where other rows end so, too", async () => {
    const text = `frame_time_ms,scene\n${rowsOf(1000, (i) => (i % 5 === 3 ? "20.00" : "20.00,quay"))}`;
    expect((await readText(text)).log?.rows).toEqual({ read: 1000, frames: 1000, notUsed: {} });
  });

  test("says nothing of the columns: the unit of a clock is told by the others", async () => {
    const text = `time,fps,scene\n${rowsOf(60, (i) => (i === 30 ? "17" : `${59_321_051_998_984 + i * 20_000_000},50.0,quay`))}`;
    expect((await readText(text)).problems.map(({ code }) => code)).not.toContain("log-not-per-frame");
  });
});

describe("a row is a frame all the same", () => {
  test.for([
    { it: "with a frame time of ten seconds", odd: "49,Tide Runner,0.98,10000.00" },
    { it: "with blank cells behind it", odd: "49,Tide Runner,0.98,20.00,," },
    { it: "with a clock that was not read", odd: "49,Tide Runner,,20.00" },
    { it: "with a clock that says so", odd: "49,Tide Runner,n/a,20.00" },
    { it: "with a single letter for its number", odd: "x,Tide Runner,0.98,20.00" },
    { it: "with words behind the digits of its clock", odd: "49,Tide Runner,0.98 or so,20.00" },
    { it: "with a text over two lines", odd: '49,"Tide\nRunner",0.98,20.00' },
    { it: "with quotes around a text that holds a delimiter", odd: '49,"Tide, Runner",0.98,20.00' },
  ])("$it", async ({ odd }) => {
    const { log } = await readText(withRow(odd));
    expect(log?.rows).toEqual({ read: 100, frames: 100, notUsed: {} });
  });

  test("with more cells than names, where no text could have pushed them aside", async () => {
    const text = `elapsed_s,frame_time_ms\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},20.00${i === 49 ? ",5" : ""}`)}`;
    expect((await readText(text)).log?.rows).toEqual({ read: 100, frames: 100, notUsed: {} });
  });

  test("with a delimiter in a text right of it", async () => {
    const text = `elapsed_s,frame_time_ms,scene\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},20.00,a${i === 49 ? ",b" : ""}`)}`;
    expect((await readText(text)).log?.rows).toEqual({ read: 100, frames: 100, notUsed: {} });
  });
});

describe("a log is damaged where more than one frame in a thousand is lost", () => {
  test.for([
    { rows: 1000, lost: 1, isDamaged: false },
    { rows: 999, lost: 1, isDamaged: true },
    { rows: 2000, lost: 2, isDamaged: false },
    { rows: 1999, lost: 2, isDamaged: true },
  ])("$lost of $rows: $isDamaged", async ({ rows, lost, isDamaged }) => {
    const text = `frame_time_ms\n${rowsOf(rows, (i) => (i > 0 && i <= lost ? "0" : "20.0"))}`;
    const { log } = await readText(text);
    expect(log?.rows.frames).toBe(rows - lost);
    expect(log?.flags).toEqual(isDamaged ? [{ code: "damaged", lostFrames: lost, frames: rows - lost }] : []);
  });
});

describe("what stands under the table is none of its rows", () => {
  test.for([
    { it: "a line of words", under: "end of log\n", rows: 1 },
    { it: "two lines, and a blank one", under: "end of log\n\nthank you\n", rows: 2 },
    { it: "averages with words before them", under: "average,all,of them,20.00\n", rows: 1 },
  ])("$it", async ({ under, rows }) => {
    const { log, problems } = await readText(`${header}\n${rowsOf(100, row)}${under}`);
    expect(log?.rows.frames).toBe(100);
    expect(log?.rows.notUsed).toEqual({ "after the table": rows });
    expect(log?.flags).toEqual([]);
    expect(problems).toEqual([]);
  });

  test("words alone are a line under it, a word beside a number is a frame lost", async () => {
    const scenes = `scene,frame_time_ms\n${rowsOf(100, () => "quay,20.00")}`;
    expect((await readText(`${scenes}the end,of the log\n`)).log?.rows.notUsed).toEqual({
      "after the table": 1,
    });
    const numbered = `frame,frame_time_ms\n${rowsOf(100, (i) => `${i},20.00`)}`;
    const { log, problems } = await readText(`${numbered}100,slow\n`);
    expect(log?.rows.notUsed).toEqual({ "frame time not a number": 1 });
    expect(problems).toMatchObject([{ reason: "frame time not a number", at: { line: 102 } }]);
  });

  test("rows whose cells say that there is no number are frames lost, at the end as well", async () => {
    const text = `elapsed_s,frame_time_ms\n${rowsOf(100, (i) => `${(i * 0.02).toFixed(2)},20.00`)}`;
    expect((await readText(`${text}NaN,NaN\n`)).log?.rows.notUsed).toEqual({ "frame time empty": 1 });
  });

  test("but such a line between frames is a frame lost, and stays one", async () => {
    const { log, problems } = await readText(`${withRow("pause")}end of log\n`);
    expect(log?.rows).toEqual({
      read: 101,
      frames: 99,
      notUsed: { "too few cells": 1, "after the table": 1 },
    });
    expect(problems).toMatchObject([{ reason: "too few cells", rows: 1, at: { line: 51 }, found: "pause" }]);
  });
});

describe("rows of slower sensors between the frames are no frames, and none is lost by them", () => {
  const columns = "elapsed_s,frame_time_ms,cpu power [W]";
  /** 100 frames, and a row of power alone behind every tenth. */
  const table = `${columns}\n${rowsOf(100, (i) => {
    const s = (i * 0.02).toFixed(2);
    return `${s},20.00,${i % 10 === 9 ? `\n${s},,${40 + i}` : ""}`;
  })}`;

  test("ten rows give ten readings, each from the start of the frame that follows it", async () => {
    const { log, problems } = await readText(table);
    expect(problems).toEqual([]);
    expect(log?.flags).toEqual([]);
    expect(log?.rows).toEqual({ read: 110, frames: 100, notUsed: { "readings between frames": 10 } });
    const [power] = log?.sensors ?? [];
    expect([...(power?.values ?? [])].slice(0, 9)).toEqual([49, 59, 69, 79, 89, 99, 109, 119, 129]);
    for (const [i, atS] of [...(power?.atS ?? [])].slice(0, 9).entries()) {
      expect(atS).toBeCloseTo(0.2 * (i + 1), 9);
    }
  });

  test.for([
    { frames: 20, reason: "readings between frames" },
    { frames: 19, reason: "frame time empty" },
  ])("three of them beside $frames frames are: $reason", async ({ frames, reason }) => {
    const text = `${columns}\n${rowsOf(frames, (i) => `${(i * 0.02).toFixed(2)},20.00,${i % 6 === 5 ? "\n,,40" : ""}`)}`;
    expect((await readText(text)).log?.rows).toEqual({ read: frames + 3, frames, notUsed: { [reason]: 3 } });
  });

  test("a row with a frame time beside such a reading is a frame", async () => {
    const { log } = await readText(
      `${table}2.00,20.00,45\n${rowsOf(10, (i) => `${(2.02 + i * 0.02).toFixed(2)},20.00,`)}`,
    );
    expect(log?.rows).toEqual({ read: 121, frames: 111, notUsed: { "readings between frames": 10 } });
  });

  test.for([
    { it: "a single one may be a frame whose time was lost", is: (i: number) => i === 10 },
    { it: "marks in words, a few of them numbers, are no readings", is: (i: number) => i % 3 === 2 },
  ])("$it", async ({ is }) => {
    const mark = (i: number): string => (i === 5 || i === 8 || i === 10 ? "40" : "mark");
    let lost = 0;
    const text = `${columns}\n${rowsOf(100, (i) => {
      const s = (i * 0.02).toFixed(2);
      if (is(i)) lost++;
      return is(i) ? `${s},20.00,\n${s},,${mark(i)}` : `${s},20.00,`;
    })}`;
    const { log } = await readText(text);
    expect(log?.rows.notUsed).toEqual({ "frame time empty": lost });
  });

  test("a row without frame time and without reading is a frame lost", async () => {
    const { log } = await readText(
      `${table}2.00,,\n${rowsOf(10, (i) => `${(2.02 + i * 0.02).toFixed(2)},20.00,`)}`,
    );
    expect(log?.rows.notUsed).toEqual({ "readings between frames": 10, "frame time empty": 1 });
  });
});

describe("a last line without its end may be cut off", () => {
  const cutShort = [{ code: "cut-short" }];
  const note = { code: "log-row-cut-off", severity: "note", at: { file: "pass-1.csv" } };

  test.for([
    { it: "in its digits", last: "100,Tide Runner,2.00,20.0", isCut: true },
    { it: "before its digits", last: "100,Tide Runner,2.00,20.", isCut: true },
    { it: "before its last cell", last: "100,Tide Runner,2.00", isCut: true },
    { it: "in a cell that is empty now", last: "100,Tide Runner,2.00,", isCut: true },
    { it: "with zeros in its place", last: `100,Tide Runner,2.00,20.00${"\0".repeat(8)}`, isCut: true },
    { it: "in a text", last: '100,"Tide Run', isCut: true },
    { it: "nowhere", last: "100,Tide Runner,2.00,20.00", isCut: false },
    {
      it: "nowhere, in a short frame with all its decimals",
      last: "100,Tide Runner,2.00,2.00",
      isCut: false,
    },
    { it: "nowhere, with more digits than the others", last: "100,Tide Runner,2.00,20.001", isCut: false },
  ])("$it", async ({ last, isCut }) => {
    const { log, problems } = await readText(`${header}\n${rowsOf(100, row)}${last}`);
    expect(log?.rows.read).toBe(101);
    expect(log?.rows.notUsed).toEqual(isCut ? { "cut off": 1 } : {});
    expect(log?.flags).toEqual(isCut ? cutShort : []);
    expect(problems).toEqual(isCut ? [note] : []);
  });

  // A clock, and durations or rates that print no decimals.
  test.for([
    { it: "in a duration", name: "frame_time_us", cell: 16_700, last: "1670", isCut: true },
    { it: "in a rate", name: "fps", cell: 60, last: "6", isCut: true },
    { it: "nowhere, in a duration", name: "frame_time_us", cell: 16_700, last: "16700", isCut: false },
    { it: "in a clock", name: "time_us", cell: 16_700, last: "16", isCut: true },
    { it: "nowhere, in a short one", name: "frame_time_us", cell: 16_700, last: "3340", isCut: false },
  ])("among whole numbers: $it", async ({ name, cell, last, isCut }) => {
    const { log } = await readText(
      `scene,${name}\n${rowsOf(100, (i) => `quay,${name === "time_us" ? cell * (i + 1) : cell}`)}quay,${last}`,
    );
    expect(log?.rows.notUsed["cut off"]).toBe(isCut ? 1 : undefined);
  });

  // Less than a fifth of the shortest frame, or of the clock's last reading in the head, has lost digits.
  test.for([
    { it: "in a duration", name: "frame_time_us", cells: [16_700, 60_000], last: "3000", isCut: true },
    {
      it: "nowhere, in a short one",
      name: "frame_time_us",
      cells: [16_700, 60_000],
      last: "6000",
      isCut: false,
    },
    {
      it: "nowhere, among few rows",
      name: "frame_time_us",
      cells: [16_700],
      rows: 19,
      last: "1670",
      isCut: false,
    },
    { it: "among rows enough", name: "frame_time_us", cells: [16_700], rows: 20, last: "1670", isCut: true },
    {
      it: "nowhere, in a sensor",
      name: "frame_time_us,fan_rpm",
      cells: ["16700,1400"],
      last: "16700,140",
      isCut: false,
    },
  ])("among whole numbers that vary: $it", async ({ name, cells, rows = 100, last, isCut }) => {
    const text = `scene,${name}\n${rowsOf(rows, (i) => `quay,${cells[i % cells.length]}`)}quay,${last}`;
    expect((await readText(text)).log?.rows.notUsed).toEqual(isCut ? { "cut off": 1 } : {});
  });

  test("in a clock that has counted far, behind its frame time", async () => {
    const { log } = await readText(
      `frame_time_us,time_us\n${rowsOf(100, (i) => `16700,${16_700 * (i + 1)}`)}16700,16867`,
    );
    expect(log?.rows.notUsed["cut off"]).toBe(1);
  });

  test("in a clock that has counted far, by two digits", async () => {
    const { log } = await readText(
      `scene,time_us\n${rowsOf(100, (i) => `quay,${16_700 * (i + 1)}`)}quay,16867`,
    );
    expect(log?.rows.notUsed["cut off"]).toBe(1);
  });

  test("in a moment with a comma before its fraction: nowhere", async () => {
    const text = rowsOf(
      100,
      (i) => `quay|2026-03-14 20:15:${10 + Math.floor(i / 50)},${100_000 + (i % 50) * 16_700}`,
    );
    expect((await readText(`scene|at\n${text.slice(0, -1)}`)).log?.rows.notUsed).toEqual({
      "first reading of the clock": 1,
    });
  });

  test("a line with its end is never cut off", async () => {
    const { log } = await readText(`${header}\n${rowsOf(100, row)}100,Tide Runner,2.00,20.0\n`);
    expect(log?.rows).toEqual({ read: 101, frames: 101, notUsed: {} });
  });

  test.for(["20.0", "20."])("nor in a log that is all head: %s", async (last) => {
    const { log } = await readText(`${header}\n${rowsOf(10, row)}10,Tide Runner,0.20,${last}\n`);
    expect(log?.rows).toEqual({ read: 11, frames: 11, notUsed: {} });
  });

  test("nor one that a last line without its end follows", async () => {
    const { log } = await readText(
      `${header}\n${rowsOf(10, row)}10,Tide Runner,0.20,20.\n11,Tide Runner,0.22,20.00`,
    );
    expect(log?.rows).toEqual({ read: 12, frames: 12, notUsed: {} });
  });

  test("nor where a packed log ends behind it, though its packing is cut off", async () => {
    const packed = gzipSync(`${header}\n${rowsOf(10, row)}10,Tide Runner,0.20,20.\n`);
    const { log, problems } = await readText(packed.subarray(0, -8));
    expect(log?.rows).toEqual({ read: 11, frames: 11, notUsed: {} });
    expect(log?.flags).toEqual([{ code: "cut-short" }]);
    expect(problems).toMatchObject([{ code: "log-packing-damaged", severity: "warning", isUsed: true }]);
  });

  test("in a log that is all head, too", async () => {
    const { log } = await readText(`${header}\n${rowsOf(10, row)}10,Tide Runner,0.20,20.`);
    expect(log?.rows).toEqual({ read: 11, frames: 10, notUsed: { "cut off": 1 } });
  });
});
