import { describe, expect, test } from "vitest";
import { detectDialect } from "../../src/read/detect-dialect.ts";
import { readHeadColumns } from "../../src/read/head-columns.ts";
import type { LogSettings } from "../../src/read/log.ts";
import { tellStreams } from "../../src/read/tell-streams.ts";
import { headOf, repeat } from "../support/head-of.ts";
import { readText } from "../support/read-text.ts";

function tell(lines: readonly string[], settings: LogSettings = {}, notStreams: readonly number[] = []) {
  const dialect = detectDialect(lines);
  if ("why" in dialect) throw new RangeError(dialect.why);
  return tellStreams(readHeadColumns(dialect, dialect.rows), dialect, settings, new Set(notStreams));
}

/** Frame times of 14.00 to 19.99 ms. */
const times = repeat(400, (i) => String((1400 + ((i * 7919) % 600)) / 100)).map(Number);
const ms = (i: number): number => times[i] as number;
const at = (i: number, list = times): number => list.slice(1, i + 1).reduce((sum, time) => sum + time, 0);

/** One source after another, each with its own frames on one clock: what two programs leave in a log. */
function interleaved(order: (i: number) => string, count: number, digits = 5): string[] {
  const ends = new Map<string, number>();
  return repeat(count, (i) => {
    const name = order(i);
    const end = (ends.get(name) ?? 0) + ms(i);
    ends.set(name, end);
    return `${name},${(end / 1000).toFixed(digits)},${ms(i).toFixed(2)}`;
  });
}
/** One source whose state changes: the clock runs on. */
const single = (order: (i: number) => string, count: number): string[] =>
  repeat(count, (i) => `${order(i)},${(at(i) / 1000).toFixed(5)},${ms(i).toFixed(2)}`);
const turns = (i: number): string => (i % 3 === 2 ? "overlay.exe" : "tide.exe");
const wanted = (index: number, name: string, isGuess = true) => ({ index, wanted: name, isGuess });

describe("with a clock, the clock says whether a column's values take turns", () => {
  const header = "note,elapsed_s,frame_time_ms";

  test.for<{ what: string; lines: readonly string[]; is: unknown }>([
    {
      what: "sources that have clocks of their own are streams",
      lines: [header, ...interleaved(turns, 60)],
      is: wanted(0, "tide.exe"),
    },
    {
      what: "whatever their names",
      lines: [header, ...interleaved((i) => (i % 3 === 2 ? "low" : "high"), 60)],
      is: wanted(0, "high"),
    },
    {
      what: "frames among rows of other kinds are one, whatever those hold",
      lines: [
        header.replace("note", "kind"),
        ...single(() => "frame", 120).flatMap((row, i) =>
          i % 9 === 4 ? [row, `input,${(at(i) / 1000 + 0.001).toFixed(5)},3.00`] : [row],
        ),
      ],
      is: wanted(0, "frame"),
    },
    { what: "a state that changes is none", lines: [header, ...single(turns, 60)], is: null },
    {
      what: "one program that is called otherwise from some row on is none",
      lines: [header, ...single((i) => (i < 30 ? "tide.exe" : "moss.exe"), 60)],
      is: null,
    },
    {
      what: "a name that streams have is watched, though the clock may run on",
      lines: [header.replace("note", "process"), ...single(turns, 60)],
      is: wanted(0, "tide.exe"),
    },
    {
      what: "one value so far is watched under a name that streams have",
      lines: [header.replace("note", "process"), ...single(() => "tide.exe", 60)],
      is: wanted(0, "tide.exe"),
    },
    { what: "and under no other", lines: [header, ...single(() => "tide.exe", 60)], is: null },
    {
      what: "sixteen sources are streams",
      lines: [header, ...interleaved((i) => `s${"abcdefghijklmnop"[i % 16]}`, 160)],
      is: wanted(0, "sa"),
    },
    {
      what: "seventeen are none",
      lines: [header, ...interleaved((i) => `s${"abcdefghijklmnopq"[i % 17]}`, 160)],
      is: null,
    },
    {
      what: "few changes say nothing: then the name decides",
      lines: [header.replace("note", "process"), ...interleaved((i) => (i < 57 ? "tide" : "moss"), 60)],
      is: wanted(0, "tide"),
    },
    {
      what: "few changes under another name",
      lines: [header, ...interleaved((i) => (i < 57 ? "tide" : "moss"), 60)],
      is: null,
    },
    {
      what: "a clock that cannot tell frames apart says nothing: then the name decides",
      lines: [
        header.replace("note", "process"),
        ...single(turns, 60).map((row) => row.replace(/(\.\d\d)\d+,/, "$1,")),
      ],
      is: wanted(0, "tide.exe"),
    },
  ])("$what", ({ lines, is }) => {
    expect(tell(lines)).toEqual(is);
  });

  /** Ten rows of one name, ten of another, on one clock that leaves a second out at some of the changes. */
  const blocks = (gaps: number, digits = 5): string[] =>
    repeat(120, (i) => {
      const gapMs = 1000 * Math.min(gaps, Math.floor(i / 10));
      const name = Math.floor(i / 10) % 2 === 0 ? "a" : "b";
      return `${name},${((at(i) + gapMs) / 1000).toFixed(digits)},${ms(i).toFixed(2)}`;
    });
  const process = header.replace("note", "process");

  // Eleven changes; across seven in ten of them the clock must run on.
  test.for<{ what: string; lines: readonly string[]; is: unknown }>([
    {
      what: "runs on across every change: one stream, whatever the name",
      lines: [process, ...blocks(0)],
      is: null,
    },
    { what: "runs on across nine of eleven changes: one stream", lines: [process, ...blocks(2)], is: null },
    {
      what: "runs on across six of eleven: the name decides",
      lines: [process, ...blocks(5)],
      is: wanted(0, "a"),
    },
    {
      what: "changes its name once: one stream",
      lines: [process, ...single((i) => (i < 30 ? "a" : "b"), 60)],
      is: null,
    },
    {
      what: "is too coarse to tell: the name decides",
      lines: [process, ...blocks(0, 2)],
      is: wanted(0, "a"),
    },
    {
      what: "counts milliseconds",
      lines: [
        "note,elapsed_ms,frame_time_ms",
        ...interleaved(turns, 60).map((row) => {
          const [name, clock, time] = row.split(",");
          return `${name},${(1000 * Number(clock)).toFixed(2)},${time}`;
        }),
      ],
      is: wanted(0, "tide.exe"),
    },
  ])("the clock $what", ({ lines, is }) => {
    expect(tell(lines)).toEqual(is);
  });

  test("of two columns, the one that the clock bears out is the streams'", () => {
    const lines = interleaved(turns, 60).map((row, i) => `${i % 2 === 0 ? "day" : "dusk"},${row}`);
    expect(tell(["title,note,elapsed_s,frame_time_ms", ...lines])).toEqual(wanted(1, "tide.exe"));
  });

  test("a clock at the frames' starts tells it as well", () => {
    const starts = new Map<string, number>();
    const lines = repeat(60, (i) => {
      const name = turns(i);
      const start = starts.get(name) ?? 0;
      starts.set(name, start + ms(i));
      return `${name},${(start / 1000).toFixed(5)},${ms(i).toFixed(2)}`;
    });
    expect(tell(["note,elapsed_s,frame_time_ms", ...lines])).toEqual(wanted(0, "tide.exe"));
    const own = repeat(60, (i) => `${turns(i)},${((at(i) - ms(i)) / 1000).toFixed(5)},${ms(i).toFixed(2)}`);
    expect(tell(["note,elapsed_s,frame_time_ms", ...own])).toBeNull();
  });

  test("a column that was found to be one stream is not asked again", () => {
    expect(tell(["process,elapsed_s,frame_time_ms", ...interleaved(turns, 60)], {}, [0])).toBeNull();
  });
});

describe("without a clock, the name or the look of the values says it", () => {
  const table = (name: string, value: (i: number) => string, count = 60): string[] => [
    `${name},frame_time_ms`,
    ...repeat(count, (i) => `${value(i)},${ms(i).toFixed(2)}`),
  ];
  test.for<{ what: string; lines: readonly string[]; is: unknown }>([
    {
      what: "a name that streams have",
      lines: table("process", (i) => (i < 55 ? "tide" : "moss")),
      is: wanted(0, "tide"),
    },
    {
      what: "numbers under such a name",
      lines: table("pid", (i) => (i % 3 === 0 ? "404" : "816")),
      is: wanted(0, "816"),
    },
    {
      what: "a fraction under such a name",
      lines: table("window", (i) => (i % 3 === 0 ? "0.5" : "1.5")),
      is: null,
    },
    {
      what: "a time under such a name",
      lines: table("window ms", (i) => (i % 3 === 0 ? "5" : "8")),
      is: null,
    },
    { what: "numbers under another", lines: table("depth", (i) => (i % 3 === 0 ? "404" : "816")), is: null },
    { what: "programs that take turns", lines: table("who", turns), is: wanted(0, "tide.exe") },
    {
      what: "words that take turns under some name",
      lines: table("note two", (i) => (i % 3 === 2 ? "tide" : "moss")),
      is: null,
    },
    {
      what: "words that take turns under a name that says nothing",
      lines: table("who", (i) => (i % 3 === 2 ? "tide" : "moss")),
      is: wanted(0, "moss"),
    },
    { what: "programs in a state", lines: table("state", turns), is: null },
    { what: "a yes and no", lines: table("who", (i) => (i % 3 === 2 ? "yes" : "No")), is: null },
    {
      what: "an on and off and nothing",
      lines: table("who", (i) => ["on", "off", "-", ""][i % 4] as string),
      is: null,
    },
    {
      what: "words of which one comes twice only",
      lines: table("who", (i) => (i % 30 === 5 ? "tide" : "moss")),
      is: null,
    },
    {
      what: "words that take turns, one of which comes twice only",
      lines: table("who", (i) => (i % 30 === 5 ? "kelp" : i % 2 === 0 ? "moss" : "tide")),
      is: null,
    },
    {
      what: "words that take turns, one of which comes three times",
      lines: table("who", (i) => (i % 20 === 5 ? "kelp" : i % 2 === 0 ? "moss" : "tide")),
      is: wanted(0, "moss"),
    },
    {
      what: "words that change in one row of ten",
      lines: table("who", (i) => (i % 20 < 10 ? "tide" : "moss")),
      is: null,
    },
    {
      what: "words that change in one row of four",
      lines: table("who", (i) => (i % 8 < 4 ? "tide" : "moss")),
      is: wanted(0, "tide"),
    },
    { what: "one word", lines: table("who", () => "tide"), is: null },
    {
      what: "without names, words that take turns",
      lines: table("", (i) => (i % 3 === 2 ? "tide" : "moss")).slice(1),
      is: wanted(0, "moss"),
    },
    {
      what: "without a name of letters, programs that take turns",
      lines: table("--", turns),
      is: wanted(0, "tide.exe"),
    },
    {
      what: "without a name of letters, words that take turns",
      lines: table("--", (i) => (i % 3 === 2 ? "tide" : "moss")),
      is: null,
    },
  ])("$what", ({ lines, is }) => {
    expect(tell(lines)).toEqual(is);
  });
});

describe("the session says which stream counts", () => {
  const lines = ["process,scene,frame_time_ms", ...repeat(60, (i) => `${turns(i)},quay,${ms(i).toFixed(2)}`)];

  test.for<{ what: string; stream: NonNullable<LogSettings["stream"]>; is: unknown }>([
    {
      what: "by column and value",
      stream: { column: "process", equals: "overlay.exe" },
      is: wanted(0, "overlay.exe", false),
    },
    { what: "by value", stream: { equals: "overlay.exe" }, is: wanted(0, "overlay.exe", false) },
    { what: "by the value of any column of text", stream: { equals: "quay" }, is: wanted(1, "quay", false) },
    {
      what: "by a value that comes later",
      stream: { column: "process", equals: "late.exe" },
      is: wanted(0, "late.exe", false),
    },
    {
      what: "by a column that is not there",
      stream: { column: "window", equals: "tide.exe" },
      is: { fault: expect.objectContaining({ code: "log-column-missing", key: "stream" }) },
    },
    {
      what: "by a value that is not there",
      stream: { equals: "late.exe" },
      is: {
        fault: {
          code: "log-stream-missing",
          wanted: "late.exe",
          column: null,
          streams: ["tide.exe", "overlay.exe", "quay"],
        },
      },
    },
    {
      what: "not by a number among the frame times",
      stream: { equals: ms(0).toFixed(2) },
      is: { fault: expect.objectContaining({ code: "log-stream-missing" }) },
    },
  ])("$what", ({ stream, is }) => {
    expect(tell(lines, { stream })).toEqual(is);
  });

  test("numbers count where the name is one of streams", () => {
    const pids = [
      "pid,frame_time_ms",
      ...repeat(60, (i) => `${i % 3 === 0 ? 404 : 816},${ms(i).toFixed(2)}`),
    ];
    expect(tell(pids, { stream: { equals: "404" } })).toEqual(wanted(0, "404", false));
    expect(headOf(pids)[0]?.kind).toBe("number");
  });
});

describe("the body of a log is watched for streams that its head does not show", () => {
  const log = (header: string, rows: readonly string[]): string => `${[header, ...rows].join("\n")}\n`;
  const header = "process,elapsed_s,frame_time_ms";
  const reasons = async (text: string, settings: LogSettings = {}) => {
    const { log: found, problems } = await readText(text, settings);
    return {
      frames: found?.rows.frames ?? null,
      problems: problems.filter(({ severity }) => severity === "error"),
    };
  };

  test("a second source that begins late is a question, with what each holds", async () => {
    const rows = interleaved((i) => (i > 100 && i % 3 === 2 ? "overlay" : "tide"), 200);
    const { problems } = await reasons(log(header, rows));
    const own = repeat(200, (i) => String(i))
      .map(Number)
      .filter((i) => !(i > 100 && i % 3 === 2));
    const others = repeat(200, (i) => String(i))
      .map(Number)
      .filter((i) => i > 100 && i % 3 === 2);
    const fpsOf = (list: readonly number[]): number =>
      (1000 * list.length) / list.reduce((sum, i) => sum + ms(i), 0);
    expect(problems).toMatchObject([
      {
        code: "log-streams",
        column: "process",
        streams: [
          { name: "tide", frames: own.length, avgFps: expect.closeTo(fpsOf(own), 9) },
          { name: "overlay", frames: others.length, avgFps: expect.closeTo(fpsOf(others), 9) },
        ],
      },
    ]);
  });

  test("a title that changes late is none: the clock runs on", async () => {
    const rows = single((i) => (i > 100 ? "tide: harbour" : "tide"), 200);
    expect(await reasons(log(header, rows))).toEqual({ frames: 200, problems: [] });
    const starts = repeat(
      200,
      (i) => `${i > 100 ? "b" : "a"},${((at(i) - ms(i)) / 1000).toFixed(5)},${ms(i).toFixed(2)}`,
    );
    expect(await reasons(log(header, starts))).toEqual({ frames: 200, problems: [] });
  });

  test.for([
    { what: "one gap in five changes is still one stream", gaps: 1, isOne: true },
    { what: "two gaps in five changes are several", gaps: 2, isOne: false },
  ])("$what", async ({ gaps, isOne }) => {
    // The name changes in rows 100, 120, 140, 160, 180; a gap of a tenth of a second lies before the first of them.
    const times = repeat(200, (i) => (i >= 100 && i % 20 === 0 && (i - 100) / 20 < gaps ? "100" : "0")).map(
      Number,
    );
    const rows = repeat(200, (i) => {
      const gapMs = times.slice(0, i + 1).reduce((sum, gap) => sum + gap, 0);
      const name = i >= 100 && Math.floor((i - 100) / 20) % 2 === 0 ? "b" : "a";
      return `${name},${((at(i) + gapMs) / 1000).toFixed(5)},${ms(i).toFixed(2)}`;
    });
    const { problems } = await reasons(log(header, rows));
    expect(problems.map(({ code }) => code)).toEqual(isOne ? [] : ["log-streams"]);
  });

  test("one value to the end names the source of the frames", async () => {
    const { log: found } = await readText(
      log(
        header,
        single(() => "tide", 200),
      ),
    );
    expect(found?.rows.frames).toBe(200);
    expect(found?.columns[0]).toMatchObject({
      role: "stream",
      evidence: [{ favours: true, text: "its one value names the source of the frames" }],
    });
  });

  test("where the clock alone gives the frame times, it cannot say that a second value is none", async () => {
    const rows = repeat(200, (i) => `${i > 100 ? "b" : "a"},${(at(i) / 1000).toFixed(5)}`);
    const { problems } = await reasons(log("process,elapsed_s", rows));
    expect(problems.map(({ code }) => code)).toEqual(["log-streams"]);
  });

  test("without a clock a second value is always a question", async () => {
    const rows = repeat(200, (i) => `${i > 100 ? "b" : "a"},${ms(i).toFixed(2)}`);
    const { problems } = await reasons(log("process,frame_time_ms", rows));
    expect(problems).toMatchObject([
      {
        code: "log-streams",
        streams: [
          { name: "a", frames: 101 },
          { name: "b", frames: 99 },
        ],
      },
    ]);
  });

  test("a stream without a frame has no rate", async () => {
    const rows = repeat(200, (i) => `${i > 100 ? "b" : "a"},${i > 100 ? "0.00" : ms(i).toFixed(2)}`);
    const { problems } = await reasons(log("process,frame_time_ms", rows));
    expect(problems).toMatchObject([
      { code: "log-streams", streams: [{ frames: 101 }, { name: "b", frames: 0, avgFps: null }] },
    ]);
  });

  test("no more than twelve streams are named", async () => {
    const rows = repeat(
      200,
      (i) => `${i > 20 ? `s${String.fromCharCode(97 + (i % 15))}` : "own"},${ms(i).toFixed(2)}`,
    );
    const { problems } = await reasons(log("process,frame_time_ms", rows));
    expect(problems[0]?.code === "log-streams" && problems[0].streams.length).toBe(12);
  });

  test("a stream that the session picks is read alone, the others are counted", async () => {
    const rows = interleaved((i) => (i > 100 && i % 3 === 2 ? "overlay" : "tide"), 200);
    const { log: found } = await readText(log(header, rows), {
      stream: { equals: "overlay", column: "process" },
    });
    expect(found?.rows).toEqual({ read: 200, frames: 33, notUsed: { "other stream": 167 } });
    const missing = await reasons(log(header, rows), { stream: { equals: "late", column: "process" } });
    expect(missing.problems).toMatchObject([
      { code: "log-stream-missing", wanted: "late", column: "process" },
    ]);
  });

  test("a stream that is not there is what is said, also where streams make no sense together", async () => {
    const missing = await reasons(log(header, interleaved(turns, 200)), {
      stream: { equals: "moss.exe", column: "process" },
    });
    expect(missing.problems).toMatchObject([
      { code: "log-stream-missing", wanted: "moss.exe", streams: ["tide.exe", "overlay.exe"] },
    ]);
  });
});
