import { describe, expect, test } from "vitest";
import type { LogSettings } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";
import { rowsOf } from "../support/read-text.ts";

const count = 2000;

/** Reads a log that comes in small pieces, and tells whether its rows were read as bytes: then only its head is read as text. */
async function read(bytes: Uint8Array, settings: LogSettings = {}, piece = 2048, first = piece) {
  let asText = 0;
  function* pieces(): Generator<Uint8Array> {
    yield bytes.subarray(0, first);
    for (let from = first; from < bytes.length; from += piece) yield bytes.subarray(from, from + piece);
  }
  const source = {
    file: "pass-1.csv",
    async *open() {
      for (const each of pieces()) {
        asText += each.length;
        yield each;
      }
    },
    blocks: pieces,
  };
  const { log, problems } = await readLog(source, settings, null, { headLines: 20 });
  const isQuick = asText < 0.5 * bytes.length;
  const careful = await readLog(source, settings, null, { headLines: 20, isCareful: true });
  expect({ log, problems }).toEqual({ log: careful.log, problems: careful.problems });
  return { log, problems, isQuick };
}

const at = (s: number) => new Date(Date.UTC(2026, 2, 14, 20, 15, 0) + s * 1000).toISOString();
const row = (i: number) => `${(i * 0.02).toFixed(2)},20.00`;
const table = (header: string, cells: (i: number) => string) => `${header}\n${rowsOf(count, cells)}`;
const usual = table("elapsed_s,frame_time_ms", row);
const named = (i: number) => `tide.exe,${row(i)}`;
const turns = table(
  "process,elapsed_s,frame_time_ms",
  (i) => `${i % 2 === 0 ? "tide" : "moss"}.exe,${row(i >> 1)}`,
);

describe("an ordinary log is read as bytes", () => {
  test.for<{ it: string; bytes: Buffer; settings?: LogSettings; frames?: number }>([
    { it: "with lines that end with LF", bytes: Buffer.from(usual) },
    { it: "with lines that end with CRLF", bytes: Buffer.from(usual.replaceAll("\n", "\r\n")) },
    { it: "with a byte order mark", bytes: Buffer.from(`\uFEFF${usual}`) },
    {
      it: "with a byte order mark and no header",
      bytes: Buffer.from(`\uFEFF${usual.slice(usual.indexOf("\n") + 1)}`),
    },
    { it: "with lines above the table", bytes: Buffer.from(`Tide Runner\n\n\n# by hand\n${usual}`) },
    {
      it: "with letters beyond ASCII",
      bytes: Buffer.from(table("elapsed_s,frame_time_ms,scene", (i) => `${row(i)},Größe`)),
    },
    {
      it: "with semicolons and decimal commas",
      bytes: Buffer.from(usual.replaceAll(",", ";").replaceAll(".", ",")),
    },
    { it: "with tabs", bytes: Buffer.from(usual.replaceAll(",", "\t")) },
    { it: "without a header", bytes: Buffer.from(usual.slice(usual.indexOf("\n") + 1)) },
    {
      it: "without a clock",
      bytes: Buffer.from(table("frame_time_ms", (i) => (i % 2 === 0 ? "19.5" : "20.5"))),
    },
    { it: "with numbered frames", bytes: Buffer.from(table("frame,frame_time_ms", (i) => `${i},20.00`)) },
    {
      it: "with sensors",
      bytes: Buffer.from(table("elapsed_s,frame_time_ms,cpu power [W]", (i) => `${row(i)},${40 + (i % 3)}`)),
    },
    { it: "with one program's name", bytes: Buffer.from(table("process,elapsed_s,frame_time_ms", named)) },
    {
      it: "with the one of two programs that the session picks",
      bytes: Buffer.from(turns),
      settings: { stream: { equals: "tide.exe" } },
      frames: count / 2,
    },
    {
      it: "with a program's name beyond ASCII",
      bytes: Buffer.from(turns.replaceAll("tide", "größe")),
      settings: { stream: { equals: "größe.exe" } },
      frames: count / 2,
    },
    {
      it: "in Latin-1, with the one of two programs that the session picks",
      bytes: Buffer.from(
        turns.replaceAll(/exe(.*)/g, "exe$1,Größe").replace("frame_time_ms", "frame_time_ms,scene"),
        "latin1",
      ),
      settings: { stream: { equals: "tide.exe" } },
      frames: count / 2,
    },
    { it: "of a frame rate", bytes: Buffer.from(table("fps", (i) => (i % 2 === 0 ? "50.0" : "40.0"))) },
    {
      it: "of a clock alone",
      bytes: Buffer.from(table("elapsed_s", (i) => (i * 0.02).toFixed(2))),
      frames: count - 1,
    },
    {
      it: "with dates for a clock",
      bytes: Buffer.from(table("time,frame_time_ms", (i) => `${at((i + 1) * 0.02)},20.00`)),
    },
    {
      it: "with times of day for a clock",
      bytes: Buffer.from(table("time,frame_time_ms", (i) => `${at((i + 1) * 0.02).slice(11, 23)},20.00`)),
    },
    {
      it: "with an odd row here and there",
      bytes: Buffer.from(table("elapsed_s,frame_time_ms", (i) => (i % 500 === 499 ? '"1,5",x' : row(i)))),
      frames: count - 4,
    },
    { it: "without its last line end", bytes: Buffer.from(usual.slice(0, -1)) },
  ])("$it", async ({ bytes, settings, frames }) => {
    const { log, isQuick } = await read(bytes, settings);
    expect(log?.rows.frames).toBe(frames ?? count);
    expect(isQuick).toBe(true);
  });
});

describe("an ordinary log is read as bytes, in whatever pieces it comes", () => {
  const above = Array.from({ length: 12 }, (_, i) => `# ${i} ${"by hand ".repeat(40)}\n`).join("");

  test.for([
    { it: "with lines above the table that fill several pieces", text: above + usual, first: 2048 },
    { it: "with a piece that ends behind the header", text: usual, first: usual.indexOf("\n") + 1 },
    { it: "with a piece that ends within the header", text: usual, first: 5 },
    { it: "with a piece that begins with a blank line", text: `Tide Runner\n\n${usual}`, first: 12 },
  ])("$it", async ({ text, first }) => {
    const { log, isQuick } = await read(Buffer.from(text), {}, 2048, first);
    expect(log?.rows).toEqual({ read: count, frames: count, notUsed: {} });
    expect(isQuick).toBe(true);
  });
});

describe("a log whose bytes could mislead is read as text", () => {
  test.for<{ it: string; bytes: Buffer; settings?: LogSettings; frames?: number }>([
    { it: "with lines that end with CR", bytes: Buffer.from(usual.replaceAll("\n", "\r")) },
    { it: "with a line above the table that ends with CR", bytes: Buffer.from(`Tide\rRunner\n${usual}`) },
    { it: "in UTF-16", bytes: Buffer.from(`\uFEFF${usual}`, "utf16le") },
    {
      it: "in UTF-16, with letters beyond ASCII",
      bytes: Buffer.from(
        `\uFEFF${table("elapsed_s,frame_time_ms,scene", (i) => `${row(i)},Größe`)}`,
        "utf16le",
      ),
    },
    {
      it: "with decimal commas in quotes",
      bytes: Buffer.from(
        table("elapsed_s,frame_time_ms", (i) => `"${(i * 0.02).toFixed(2).replace(".", ",")}","20,00"`),
      ),
    },
    {
      it: "with a program's name that holds a delimiter",
      bytes: Buffer.from(turns.replaceAll("tide.exe", '"tide, runner"')),
      settings: { stream: { equals: "tide, runner" } },
      frames: count / 2,
    },
    {
      it: "in Latin-1 with a program's name beyond ASCII",
      bytes: Buffer.from(turns.replaceAll("tide", "größe"), "latin1"),
      settings: { stream: { equals: "größe.exe" } },
      frames: count / 2,
    },
  ])("$it", async ({ bytes, settings, frames }) => {
    const { log, isQuick } = await read(bytes, settings);
    expect(log?.rows.frames).toBe(frames ?? count);
    expect(isQuick).toBe(false);
  });

  test.for([
    {
      it: "within a letter of its first row",
      text: table("scene,frame_time_ms", () => "für 5 €,20.00"),
      at: "\u00ac",
    },
    {
      it: "at a carriage return alone above rows that are all alike",
      text: `Tide\rRunner\n${table("frame_time_ms", () => "20.00")}`,
      at: "\r",
    },
  ])("that comes in pieces, the first of which ends $it", async ({ text, at: last }) => {
    const bytes = Buffer.from(text);
    const first = bytes.toString("latin1").indexOf(last) + (last === "\r" ? 1 : 0);
    const { log, isQuick } = await read(bytes, {}, 4096, first);
    expect(log?.text.encoding).toBe("utf-8");
    expect(log?.rows).toEqual({ read: count, frames: count, notUsed: {} });
    expect(isQuick).toBe(false);
  });

  test("where a header that stands again could pass for a row of numbers", async () => {
    const text = table("phase time,60", (i) => (i === 1000 ? "phase time,60" : "0.5,20.00"));
    const { log, problems, isQuick } = await read(Buffer.from(text), {
      frameTime: { column: "60", unit: "ms" },
    });
    expect(log?.rows).toEqual({ read: count, frames: count - 1, notUsed: { "header repeated": 1 } });
    expect(problems).toMatchObject([
      { code: "log-restarted", segments: [{ frames: 1000 }, { frames: 999 }] },
    ]);
    expect(isQuick).toBe(false);
  });

  test("where only the last row, which nothing ends, names another program, on one clock", async () => {
    const text = table(
      "process,elapsed_s,frame_time_ms",
      (i) => `${i === count - 1 ? "moss" : "tide"}.exe,${row(i)}`,
    );
    const { log, problems, isQuick } = await read(Buffer.from(text.slice(0, -1)));
    expect(problems).toEqual([]);
    expect(log?.rows).toEqual({ read: count, frames: count, notUsed: {} });
    expect(isQuick).toBe(false);
  });

  test("where a second program takes its turns far behind the head", async () => {
    const text = table("process,frame_time_ms", (i) => (i === 1000 ? "moss.exe,10.00" : "tide.exe,20.00"));
    const { log, problems, isQuick } = await read(Buffer.from(text));
    expect(log).toBeNull();
    expect(problems).toMatchObject([
      { code: "log-streams", streams: [{ frames: count - 1 }, { frames: 1 }] },
    ]);
    expect(isQuick).toBe(false);
  });
});

describe("what is odd in a log is the same by bytes as by text", () => {
  test.for([
    { it: "a carriage return alone within a row", odd: "1.00\r20.00" },
    { it: "two rows with a carriage return between", odd: "20.00,20.00\r20.02,20.00" },
    { it: "a carriage return before the line end", odd: "20.00,20.00\r" },
    { it: "bytes that are no text", odd: "20.00,20.00,\u0000" },
    { it: "a quoted cell over lines", odd: '20.00,20.00,"a\nb"' },
    { it: "a blank line", odd: "" },
    { it: "a comment", odd: "# 1,2" },
    { it: "an exponent", odd: "20.00,2e1" },
    { it: "a plus sign", odd: "20.00,+20.00" },
    { it: "blanks around cells", odd: " 20.00 , 20.00 " },
    { it: "a header", odd: "elapsed_s,frame_time_ms" },
    { it: "a cell too few behind a byte order mark", odd: "\uFEFF20.00" },
    { it: "a quote that is never closed", odd: '20.00,"20.00' },
    { it: "a quote that is never closed, and a row behind it", odd: '20.00,"20.00\n20.02,20.00' },
    { it: "thousands in quotes", odd: '20.00,"1,020.00"' },
  ])("$it", async ({ odd }) => {
    const text = table("elapsed_s,frame_time_ms", (i) => (i === 1000 ? odd : row(i)));
    const { log } = await read(Buffer.from(text));
    expect(log?.rows.frames).toBeGreaterThanOrEqual(count - 1);
    // Lines are counted alike behind it, where a frame is lost.
    const lossy = text.replace("30.00,20.00\n", "30.00,0\n");
    for (const lineEnd of ["\n", "\r\n"]) {
      const { problems } = await read(Buffer.from(lossy.replaceAll("\n", lineEnd)));
      expect(problems.map(({ code }) => code)).toContain("log-rows-lost");
    }
    for (const end of [odd, `${odd}\r`, `${odd}\r\n`]) {
      const { log: atEnd } = await read(Buffer.from(usual + end));
      expect(atEnd?.rows.frames).toBeGreaterThanOrEqual(count);
    }
  });

  test("a word in the place of a running number, beside a clock", async () => {
    const text = table("elapsed_s,frame,frame_time_ms", (i) =>
      row(i).replace(",", i === 1000 ? ",pause," : `,${i},`),
    );
    const { log } = await read(Buffer.from(text));
    expect(log?.rows).toEqual({ read: count, frames: count - 1, notUsed: { "words among the numbers": 1 } });
  });

  test("a time of day is compared with the row before it, when it falls by half a day", async () => {
    const text = table("time,frame_time_ms", (i) => {
      const s = i < 1000 ? 18 * 3600 + i * 0.02 : 6 * 3600 - 10 + i * 0.02;
      return `${at(s - 20.25 * 3600).slice(11, 23)},20.00`;
    });
    const { log, problems } = await read(Buffer.from(text));
    // 12 h and 10 s behind the last row, though not behind the first of its minute.
    expect(problems).toEqual([]);
    expect(log?.frameEndsS?.at(1000)).toBeCloseTo(12 * 3600 + 10.02, 6);
  });

  test("a byte of another encoding far behind the head has the whole log read anew", async () => {
    const { log, problems } = await read(Buffer.from(`${usual}40.00,20.00,caf\xe9\n`, "latin1"));
    expect(log?.text.encoding).toBe("latin-1");
    expect(problems).toMatchObject([{ code: "log-encoding-guessed" }]);
    expect(log?.rows.frames).toBe(count + 1);
  });

  test.for([
    { it: "has another line above its table now", now: `# tried again\n${usual}` },
    { it: "has other rows now", now: usual.replace(/20\.00/, "30.00") },
    { it: "holds less than its header now", now: "elapsed_s" },
    { it: "holds nothing now", now: "" },
    {
      it: "has another line above rows that are all alike",
      was: table("frame_time_ms", () => "20.00"),
      now: `# tried again\n${table("frame_time_ms", () => "20.00")}`,
      piece: "# tried again\nframe_time_ms\n20.00\n".length,
    },
  ])(
    "a file that is written anew while it is read, and $it, is read as it was opened",
    async ({ now, was = usual, piece = 1e9 }) => {
      const source = {
        file: "pass-1.csv",
        open: async function* () {
          yield Buffer.from(was);
        },
        blocks: function* () {
          yield Buffer.from(now.slice(0, piece));
          yield Buffer.from(now.slice(piece));
        },
      };
      const { log, problems } = await readLog(source, {}, null, { headLines: 20 });
      expect(problems).toEqual([]);
      expect(log?.rows).toEqual({ read: count, frames: count, notUsed: {} });
      expect([...new Set(log?.frameTimesMs)]).toEqual([20]);
    },
  );

  test("a line that is as long as lines may be is read, and what follows it", async () => {
    const { log, isQuick } = await read(Buffer.from(`${usual}#${"1".repeat(999_999)}\n${usual}`), {}, 65_536);
    expect(log?.rows).toEqual({ read: 2 * count + 1, frames: 2 * count, notUsed: { "header repeated": 1 } });
    expect(isQuick).toBe(true);
  });

  test("a line that is too long is refused by its number", async () => {
    const long = `${usual}${"1".repeat(1_000_001)}`;
    for (const end of ["", "\n", "\r", `\n"20.00",20.00\n`]) {
      const { problems } = await read(Buffer.from(long + end), {}, 65_536);
      expect(problems).toMatchObject([{ code: "log-line-too-long", at: { line: count + 2 } }]);
    }
  });
});
