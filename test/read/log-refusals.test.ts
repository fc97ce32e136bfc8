import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { mostLogBytes, mostLogLines } from "../../src/read/log-limits.ts";
import { readLog } from "../../src/read/read-log.ts";
import { fileOf, readText, rowsOf } from "../support/read-text.ts";

const file = "pass-1.csv";
const frames = (count: number) =>
  `elapsed_s,frame_time_ms\n${rowsOf(count, (i) => `${(i * 0.02).toFixed(2)},20.00`)}`;
const controls = (count: number) => `${"\u0001".repeat(count)}${"a".repeat(1000 - count)}\n`;

describe("a file that is no log is refused by its reason, with the place where there is one", () => {
  test.for([
    { it: "nothing", log: "", problem: { code: "log-empty", at: { file } } },
    { it: "blank lines", log: " \n\t\n\n", problem: { code: "log-empty", at: { file } } },
    { it: "a packed nothing", log: gzipSync(""), problem: { code: "log-empty", at: { file } } },
    {
      it: "a packed something that cannot be unpacked",
      log: gzipSync(frames(50)).subarray(0, 10),
      problem: { code: "log-packing-damaged", at: { file }, why: "it stops early", isUsed: false },
    },
    {
      it: "control characters",
      log: "\u0001\u0002\u0003\u0004\u0005\n".repeat(40),
      problem: { code: "log-binary", at: { file } },
    },
    {
      it: "more than one control character in fifty",
      log: controls(21),
      problem: { code: "log-binary", at: { file } },
    },
    { it: "fewer, but no table", log: controls(20), problem: { code: "log-no-table", at: { file } } },
    { it: "zeros alone", log: "\0".repeat(5000), problem: { code: "log-binary", at: { file } } },
    {
      it: "prose",
      log: "This is a letter.\nIt has no numbers.\n",
      problem: { code: "log-no-table", at: { file } },
    },
    {
      it: "a header alone",
      log: "elapsed_s,frame_time_ms\n",
      problem: { code: "log-without-rows", at: { file } },
    },
    {
      it: "more columns than any log",
      log: rowsOf(5, () => Array.from({ length: 2001 }, () => "1").join(",")),
      problem: { code: "log-too-wide", at: { file }, columns: 2001, most: 2000 },
    },
    {
      it: "fewer names than cells",
      log: `Scene\n\nframe,frame_time_ms\n${rowsOf(50, (i) => `${i},${(i * 0.02).toFixed(2)},20.00`)}`,
      problem: { code: "log-header-width", at: { file, line: 3 }, names: 2, cells: 3 },
    },
    {
      it: "words where the frame times should be",
      log: `scene,frame time\n${rowsOf(50, () => "harbour,fast")}`,
      problem: {
        code: "log-words-for-numbers",
        at: { file, line: 2, column: 9 },
        position: 2,
        found: "fast",
      },
    },
    {
      it: "no frame times",
      log: `scene,width\n${rowsOf(50, () => "harbour,1920")}`,
      problem: { code: "log-no-frame-time", at: { file }, columns: ["scene", "width"] },
    },
    {
      it: "no frame that is one",
      log: `frame_time_ms\n${rowsOf(20, () => "20.0")}`.replaceAll("20.0", "0.0"),
      problem: { code: "log-no-frame-time" },
    },
    {
      it: "a line without end",
      log: `${frames(50)}${"1".repeat(1_000_001)}\n`,
      problem: { code: "log-line-too-long", at: { file, line: 52 } },
    },
  ])("$it", async ({ log, problem }) => {
    const reading = await readText(log);
    expect(reading.log).toBeNull();
    expect(reading.problems).toMatchObject([{ severity: "error", ...problem }]);
    expect(reading.problems).toHaveLength(1);
  });

  test("as much is told of its text as was found out", async () => {
    const text = {
      encoding: "utf-8",
      delimiter: ";",
      lineEnd: "CRLF",
      headerLine: 2,
      notes: ["Tide Runner"],
    };
    const rows = rowsOf(50, () => "harbour;1920\r");
    const reading = await readText(`Tide Runner\r\nscene;width\r\n${rows}`);
    expect(reading.text).toMatchObject(text);
    expect(reading.columns.map(({ name, role }) => [name, role])).toEqual([
      ["scene", "not-used"],
      ["width", "not-used"],
    ]);
    expect((await readText("")).text).toBeNull();
  });

  test.for([20, 100])(
    "its last line may be a thousand zeros that a crash left, after %i rows",
    async (count) => {
      const { log } = await readText(`${frames(count)}${"\0".repeat(1000)}`);
      expect(log?.rows).toEqual({ read: count + 1, frames: count, notUsed: { "cut off": 1 } });
    },
  );

  test("it is closed as soon as that is known", async () => {
    let opened = 0;
    let closed = 0;
    let lines = 0;
    const source = {
      file,
      async *open() {
        opened++;
        try {
          for (let i = 0; i < 1000; i++) {
            lines += 100;
            yield Buffer.from("not a table\n".repeat(100));
          }
        } finally {
          closed++;
        }
      },
    };
    expect((await readLog(source, {})).problems).toMatchObject([{ code: "log-no-table" }]);
    expect(closed).toBe(opened);
    // A table may stand behind thousands of lines of text, not behind tens of thousands.
    expect(lines).toBeLessThan(10_000);
  });
});

describe("a log of a size that no capture reaches is refused", () => {
  const opened: string[] = [];
  const source = (bytes: number) => ({
    file,
    bytes,
    async *open() {
      opened.push(file);
      yield Buffer.from(frames(50));
    },
  });

  test("by the size that the system says, without opening it", async () => {
    const { log, problems } = await readLog(source(mostLogBytes + 1), {});
    expect(log).toBeNull();
    expect(problems).toEqual([
      { code: "log-too-long", severity: "error", at: { file }, limit: "bytes", most: mostLogBytes },
    ]);
    expect(opened).toEqual([]);
    expect((await readLog(source(mostLogBytes), {})).log?.rows.frames).toBe(50);
  });

  const endless = (name: string) => ({
    file: name,
    async *open() {
      yield Buffer.from(
        `elapsed_s,frame_time_ms,cpu power [W]\n${rowsOf(50, (i) => `${i / 50},20.00,${i}`)}`,
      );
      const block = Buffer.from("\n".repeat(1_000_000));
      for (let i = 0; i < 40; i++) yield block;
    },
  });

  test("by its lines, which takes its time", async () => {
    const { log, problems } = await readLog(endless(file), {}, null, { isCareful: true, headLines: 20 });
    expect(log).toBeNull();
    expect(problems).toMatchObject([{ code: "log-too-long", limit: "lines", most: mostLogLines }]);
  });

  test("beside a log, where it costs the sensors alone, which takes its time", async () => {
    const { log, problems } = await readLog(fileOf(file, frames(50)), {}, endless("pass-1.sensors.csv"));
    expect(log?.rows.frames).toBe(50);
    expect(problems).toMatchObject([
      {
        code: "sensor-log-unusable",
        at: { file: "pass-1.sensors.csv" },
        why: "it is longer than any capture",
      },
    ]);
  });
});

describe("a log that cannot be opened is refused with the system's reason", () => {
  const failing = (error: Error) => ({
    file,
    // biome-ignore lint/correctness/useYield: it fails before it gives any
    async *open() {
      throw error;
    },
  });

  test("whatever reads it", async () => {
    const denied = failing(Object.assign(new Error("denied"), { code: "EACCES" }));
    expect(await readLog(denied, {})).toEqual({
      log: null,
      text: null,
      columns: [],
      problems: [{ code: "unreadable", severity: "error", at: { file }, why: "EACCES" }],
    });
  });

  test("or, beside a log, costs its sensors alone", async () => {
    const beside = {
      ...failing(Object.assign(new Error("denied"), { code: "EACCES" })),
      file: "pass-1.sensors.csv",
    };
    const reading = await readLog(fileOf(file, frames(50)), {}, beside);
    expect(reading.log?.rows.frames).toBe(50);
    expect(reading.problems).toEqual([
      {
        code: "sensor-log-unusable",
        severity: "warning",
        at: { file: "pass-1.sensors.csv" },
        why: "it cannot be read (EACCES)",
      },
    ]);
  });
});

describe("the text of a log", () => {
  const note = [{ code: "log-encoding-guessed", severity: "note", at: { file }, encoding: "Latin-1" }];

  test("of no UTF-8 is read as Latin-1, which is said", async () => {
    const late = Buffer.from(`${frames(2000)}40.00,20.00,caf\xe9\n`, "latin1");
    const { log, text, problems } = await readText(late);
    expect(problems).toEqual(note);
    expect(text?.encoding).toBe("latin-1");
    expect(log?.rows.frames).toBe(2001);
  });

  test("of no UTF-8 that is no log is refused for that alone", async () => {
    expect((await readText(Buffer.from("caf\xe9\n", "latin1"))).problems).toMatchObject([
      { code: "log-no-table" },
    ]);
  });

  test("packed, and cut off, is read as far as it goes", async () => {
    const packed = gzipSync(frames(5000));
    const { log, problems, text } = await readText(packed.subarray(0, packed.length - 20));
    expect(text?.gzip).toBe(true);
    expect(log?.flags).toEqual([{ code: "cut-short" }]);
    expect(problems.map(({ code, severity }) => [code, severity])).toContainEqual([
      "log-packing-damaged",
      "warning",
    ]);
    expect(log?.rows.frames).toBeGreaterThan(4000);
  });

  test("is described as it was found", async () => {
    const { text } = await readText(`\uFEFFScene: harbour\r\n\r\n${frames(50).replaceAll("\n", "\r\n")}`);
    expect(text).toEqual({
      encoding: "utf-8",
      byteOrderMark: true,
      gzip: false,
      lineEnd: "CRLF",
      delimiter: ",",
      decimalSign: ".",
      headerLine: 3,
      notes: ["Scene: harbour"],
    });
  });
});

describe("a log's sources of frames", () => {
  const turns = `process,frame_time_ms\n${rowsOf(200, (i) => (i % 2 === 0 ? "tide.exe,20.00" : "moss.exe,10.00"))}`;

  test("that take turns are listed, with their frames and rates", async () => {
    const reading = await readText(turns);
    expect(reading).toMatchObject({
      log: null,
      problems: [
        {
          code: "log-streams",
          severity: "error",
          column: "process",
          streams: [
            { name: "tide.exe", frames: 100, avgFps: 50 },
            { name: "moss.exe", frames: 100, avgFps: 100 },
          ],
        },
      ],
    });
    expect(reading.columns[0]).toMatchObject({ role: "stream" });
    expect(reading.columns[0]?.evidence.at(-1)).toEqual({
      favours: true,
      text: "its values name sources that take turns",
    });
  });

  test.for([
    { equals: "tide.exe", ms: 20 },
    { equals: "moss.exe", ms: 10 },
  ])("are one where the session says $equals", async ({ equals, ms }) => {
    const { log, columns, problems } = await readText(turns, { stream: { column: "process", equals } });
    expect(problems).toEqual([]);
    expect([...new Set(log?.frameTimesMs)]).toEqual([ms]);
    expect(log?.rows).toEqual({ read: 200, frames: 100, notUsed: { "other stream": 100 } });
    expect(columns[0]?.evidence.at(-1)?.text).toBe("the session picks one of its values");
  });

  test("are told by one column, and no other", async () => {
    const text = `process,frame_time_ms,width\n${rowsOf(200, (i) => `${i % 2 === 0 ? "tide" : "moss"}.exe,20.00,1920`)}`;
    const { columns } = await readText(text, { stream: { equals: "tide.exe" } });
    expect(columns.map(({ role }) => role)).toEqual(["stream", "frame-time", "not-used"]);
  });

  test("do not hold what the session says: an error that lists them", async () => {
    const { log, problems, text } = await readText(turns, {
      stream: { column: "process", equals: "salt.exe" },
    });
    expect(log).toBeNull();
    expect(text).not.toBeNull();
    expect(problems).toEqual([
      {
        code: "log-stream-missing",
        severity: "error",
        at: { file },
        wanted: "salt.exe",
        column: "process",
        streams: ["tide.exe", "moss.exe"],
      },
    ]);
  });

  test("do not stand in a column that the session names: an error before all else", async () => {
    const { problems, columns } = await readText(turns, {
      stream: { column: "program", equals: "tide.exe" },
    });
    expect(problems).toMatchObject([
      { code: "log-column-missing", severity: "error", key: "stream", wanted: "program" },
    ]);
    expect(columns).toEqual([]);
  });

  test("are one where one name stands in all rows", async () => {
    const { log, columns } = await readText(turns.replaceAll("moss.exe,10.00", "tide.exe,20.00"));
    expect(log?.rows.frames).toBe(200);
    expect(columns[0]?.evidence.at(-1)?.text).toBe("its one value names the source of the frames");
  });

  test("are two where a second one begins far behind the head", async () => {
    const late = `process,frame_time_ms\n${rowsOf(200, (i) => (i < 150 || i % 2 === 0 ? "tide.exe,20.00" : "moss.exe,10.00"))}`;
    expect((await readText(late)).problems).toMatchObject([
      { code: "log-streams", streams: [{ frames: 175 }, { frames: 25 }] },
    ]);
  });

  test("are one where the name changes once and the clock runs on", async () => {
    const title = `title,elapsed_s,frame_time_ms\n${rowsOf(200, (i) => `${i < 100 ? "Tide Runner" : "Tide Runner (paused)"},${(i * 0.02).toFixed(2)},20.00`)}`;
    const { log, problems } = await readText(title);
    expect(problems).toEqual([]);
    expect(log?.rows.frames).toBe(200);
  });
});

describe("what each reading of an unclear log would give", () => {
  test("is told with it", async () => {
    const text = `one ms,two ms\n${rowsOf(100, (i) => (i % 2 === 0 ? "10.5,20.5" : "9.5,19.5"))}`;
    const { log, problems } = await readText(text);
    expect(log).toBeNull();
    expect(problems).toMatchObject([{ code: "log-frame-time-unclear", severity: "error" }]);
    const [problem] = problems;
    const rates = problem?.code === "log-frame-time-unclear" ? problem.candidates : [];
    const ms = rates.filter(({ unit }) => unit === "ms").map(({ column, avgFps }) => [column, avgFps]);
    expect(ms).toEqual([
      ["one ms", 100],
      ["two ms", 50],
    ]);
  });

  test("keeps what the session already says", async () => {
    const text = `process,one ms,two ms\n${rowsOf(100, (i) => (i % 2 === 0 ? `tide.exe,${10 + (i % 4)},${20 + (i % 4)}` : "moss.exe,5,5"))}`;
    const { problems } = await readText(text, { stream: { equals: "tide.exe" } });
    const [problem] = problems;
    const rates = problem?.code === "log-frame-time-unclear" ? problem.candidates : [];
    // Half of its frames are of 10 ms and half of 12 ms.
    expect(rates.find(({ column, unit }) => column === "one ms" && unit === "ms")?.avgFps).toBeCloseTo(
      1000 / 11,
      6,
    );
  });
});

describe("a comma that could be two things", () => {
  test("is what makes the frame times plausible", async () => {
    // 16,667 as thousands would be 16.7 s; as decimals it is 16.667 ms.
    const text = `frame_time_ms;x\n${rowsOf(100, (i) => `16,${660 + (i % 10)};1`)}`;
    const { log } = await readText(text);
    expect(log?.frameTimesMs[0]).toBeCloseTo(16.66, 9);
  });
});

describe("commas inside quotes, which could part thousands or be the decimal sign,", () => {
  // "16,661": as decimals 16.661, as thousands 16,661. A frame lasts 16.661 ms or 16,661 us, neither 16.661 us nor 16.661 s.
  test.for([
    { name: "frame_time_ms", sign: ",", firstMs: 16.661 },
    { name: "frame_time_us", sign: ".", firstMs: 16.661 },
    // Without a unit both would do: digits that look like decimals are some.
    { name: "frame_time", sign: ",", firstMs: 16.661 },
    // Nothing speaks for thousands where neither reading holds a frame time.
    { name: "frame_time_ns", sign: ",", firstMs: undefined },
  ])("are read as $name makes sense", async ({ name, sign, firstMs }) => {
    const rows = rowsOf(100, (i) => `"16,${661 + (i % 10)}",1`);
    const { log, text } = await readText(`${name},x\n${rows}`);
    expect(log?.frameTimesMs[0]?.toFixed(9)).toBe(firstMs?.toFixed(9));
    expect(text?.decimalSign).toBe(sign);
  });
});

describe("the head of a log", () => {
  test("ends with two million characters, however few lines they are", async () => {
    const wide = (i: number) => `${(i * 0.02).toFixed(2)},20.00,${"x".repeat(150_000)}`;
    const text = `elapsed_s,frame_time_ms,note\n${rowsOf(30, wide)}`;
    const { log } = await readText(text);
    expect(log?.rows).toEqual({ read: 30, frames: 30, notUsed: {} });
  });

  test.for([1, 3, 28, 29, 30, 31, 60])("may be all there is, or nearly: %i rows", async (count) => {
    for (const end of ["\n", ""]) {
      const text = frames(count).replace(/\n$/, end);
      expect((await readText(text)).log?.rows).toEqual({ read: count, frames: count, notUsed: {} });
    }
  });
});
