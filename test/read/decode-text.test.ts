import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { decodeLatin1 } from "../../src/read/decode-latin-1.ts";
import { decodeText, NotUtf8Error, plainBytes, SourceError } from "../../src/read/decode-text.ts";
import type { ByteSource } from "../../src/read/log.ts";

function sourceOf(...pieces: readonly Uint8Array[]): ByteSource {
  return {
    file: "pass-1.csv",
    async *open() {
      yield* pieces;
    },
  };
}

async function collect<T>(chunks: AsyncIterable<T>): Promise<T[]> {
  const all: T[] = [];
  for await (const chunk of chunks) all.push(chunk);
  return all;
}

async function decode(source: ByteSource, force?: Parameters<typeof decodeText>[1]) {
  const decoded = await decodeText(source, force);
  const before = decoded.lineEnd();
  const text = (await collect(decoded.chunks)).join("");
  const { encoding, byteOrderMark, gzip, empty, damage } = decoded;
  return {
    text,
    encoding,
    byteOrderMark,
    gzip,
    empty,
    damage: damage.packed,
    before,
    lineEnd: decoded.lineEnd(),
  };
}

const bigEndian = (text: string) => Buffer.from(text, "utf16le").swap16();
const table = "frame,ms\n1,16.7\n";

describe("the encoding is told by the bytes", () => {
  test.for([
    { it: "plain UTF-8", bytes: Buffer.from(`é${table}`), text: `é${table}`, encoding: "utf-8", mark: false },
    // Unicode Standard 15.0, section 23.8, table 23-6: the marks.
    {
      it: "UTF-8 with its mark",
      bytes: Buffer.from(`\uFEFF${table}`),
      text: table,
      encoding: "utf-8",
      mark: true,
    },
    {
      it: "UTF-16LE with its mark",
      bytes: Buffer.from(`\uFEFFé${table}`, "utf16le"),
      text: `é${table}`,
      encoding: "utf-16le",
      mark: true,
    },
    {
      it: "UTF-16BE with its mark",
      bytes: bigEndian(`\uFEFFé${table}`),
      text: `é${table}`,
      encoding: "utf-16be",
      mark: true,
    },
    {
      it: "UTF-16LE without one",
      bytes: Buffer.from(table, "utf16le"),
      text: table,
      encoding: "utf-16le",
      mark: false,
    },
    { it: "UTF-16BE without one", bytes: bigEndian(table), text: table, encoding: "utf-16be", mark: false },
    {
      it: "UTF-16LE with a few other letters",
      bytes: Buffer.from(`${table}${table}${table}夜`, "utf16le"),
      text: `${table}${table}${table}夜`,
      encoding: "utf-16le",
      mark: false,
    },
    {
      it: "UTF-16LE of four characters, the fewest that tell",
      bytes: Buffer.from("1,16", "utf16le"),
      text: "1,16",
      encoding: "utf-16le",
      mark: false,
    },
    {
      it: "UTF-16BE of four characters",
      bytes: bigEndian("1,16"),
      text: "1,16",
      encoding: "utf-16be",
      mark: false,
    },
    {
      it: "too few bytes to tell, the other way round",
      bytes: bigEndian("1,1"),
      text: "\x001\0,\x001",
      encoding: "utf-8",
      mark: false,
    },
    {
      it: "too few bytes to tell",
      bytes: Buffer.from("1,1", "utf16le"),
      text: "1\0,\x001\0",
      encoding: "utf-8",
      mark: false,
    },
    {
      it: "zeros on both sides, which no letters have",
      bytes: Buffer.from("a\0b\0c\0d\0e\0f\0g\0h\0i\0j\0\0\0"),
      text: "a\0b\0c\0d\0e\0f\0g\0h\0i\0j\0\0\0",
      encoding: "utf-8",
      mark: false,
    },
    {
      it: "zeros in nine of ten places",
      bytes: Buffer.from("a\0b\0c\0d\0e\0f\0g\0h\0i\0jk"),
      text: "a\0b\0c\0d\0e\0f\0g\0h\0i\0jk",
      encoding: "utf-8",
      mark: false,
    },
    { it: "a mark alone", bytes: Buffer.from("\uFEFF"), text: "", encoding: "utf-8", mark: true },
    // A second mark is a character like any other: a zero width no-break space.
    { it: "two marks", bytes: Buffer.from("\uFEFF\uFEFFa"), text: "\uFEFFa", encoding: "utf-8", mark: true },
    {
      it: "part of a mark",
      bytes: Buffer.from([0x61, 0xef, 0xbb, 0xbf]),
      text: "a\uFEFF",
      encoding: "utf-8",
      mark: false,
    },
  ])("$it", async ({ bytes, text, encoding, mark }) => {
    const whole = await decode(sourceOf(bytes));
    expect(whole).toMatchObject({
      text,
      encoding,
      byteOrderMark: mark,
      gzip: false,
      empty: false,
      damage: null,
    });
    // However the bytes arrive.
    const single = await decode(sourceOf(...Array.from(bytes, (_, i) => bytes.subarray(i, i + 1))));
    expect(single).toMatchObject({ text, encoding, byteOrderMark: mark });
  });

  test.for([
    { it: "none at all", bytes: [] },
    { it: "packed nothing", bytes: [...gzipSync("")] },
  ])("$it is empty", async ({ bytes }) => {
    expect(await decode(sourceOf(Uint8Array.from(bytes)))).toMatchObject({ text: "", empty: true });
  });

  test("gzip is told by its magic bytes, both of them", async () => {
    expect(await decode(sourceOf(gzipSync(table)))).toMatchObject({ text: table, gzip: true, empty: false });
    expect(await decode(sourceOf(Buffer.from("\x1f,a\n")))).toMatchObject({ text: "\x1f,a\n", gzip: false });
    expect(await decode(sourceOf(Uint8Array.of(0x61, 0x8b, 0x0a)), "latin-1")).toMatchObject({ gzip: false });
  });

  test("what is not UTF-8 after all is refused, and Latin-1 only where it is told to be", async () => {
    const bytes = Uint8Array.of(0x61, 0xe9, 0x80, 0x0a);
    await expect(decode(sourceOf(bytes))).rejects.toThrow(NotUtf8Error);
    expect(await decode(sourceOf(bytes), "latin-1")).toMatchObject({ text: "aé€\n", encoding: "latin-1" });
  });

  // A mark counts whole: these are the first letters of texts in Latin-1.
  test.for([
    [0xef, 0xbb, 0x61],
    [0xef, 0x61, 0xbf],
    [0x61, 0xbb, 0xbf],
    [0xff, 0x61, 0x61],
    [0x61, 0xfe, 0x61],
    [0xfe, 0x61, 0x61],
    [0x61, 0xff, 0x61],
    [0xff],
    [0xfe],
    [0xef, 0xbb],
  ])("part of a mark is none: %j", async (bytes) => {
    const { text, byteOrderMark, encoding } = await decode(sourceOf(Uint8Array.from(bytes)), "latin-1");
    expect(text).toBe(decodeLatin1(Uint8Array.from(bytes)));
    expect([byteOrderMark, encoding]).toEqual([false, "latin-1"]);
  });

  test("a character may be cut where one piece of a long file ends and the next begins", async () => {
    const text = "é夜\u{1f3ae}\n".repeat(2000);
    for (const bytes of [Buffer.from(text), Buffer.from(`\uFEFF${text}`, "utf16le")]) {
      const pieces = Array.from({ length: Math.ceil(bytes.length / 7) }, (_, i) =>
        bytes.subarray(7 * i, 7 * i + 7),
      );
      expect((await decode(sourceOf(...pieces))).text).toBe(text);
    }
  });

  test("UTF-8 that stops within a character is refused", async () => {
    await expect(decode(sourceOf(Uint8Array.of(0x61, 0xc3)))).rejects.toThrow(NotUtf8Error);
  });

  test("UTF-16 that stops within a character says so by the replacement character", async () => {
    const bytes = Buffer.from("\uFEFF1,16", "utf16le").subarray(0, -1);
    expect((await decode(sourceOf(bytes))).text).toBe("1,1\uFFFD");
  });
});

describe("the commonest line end is told", () => {
  test.for([
    { text: "a\nb\n", lineEnd: "LF" },
    { text: "a\r\nb\r\n", lineEnd: "CRLF" },
    { text: "a\rb\r", lineEnd: "CR" },
    { text: "a\r\nb\nc\n", lineEnd: "LF" },
    { text: "a\r\nb\rc\rd\r", lineEnd: "CR" },
    { text: "a\r\nb\r\nc\n", lineEnd: "CRLF" },
    { text: "a\r\nb\n", lineEnd: "CRLF" },
    { text: "a\r\nb\r", lineEnd: "CRLF" },
    { text: "a\nb\r", lineEnd: "LF" },
    { text: "a\nb\nc\r", lineEnd: "LF" },
    { text: "a\nb\rc\r", lineEnd: "CR" },
    { text: "a", lineEnd: "LF" },
    { text: "", lineEnd: "LF" },
  ])("$text: $lineEnd", async ({ text, lineEnd }) => {
    const { lineEnd: found, before } = await decode(sourceOf(Buffer.from(text)));
    expect(found).toBe(lineEnd);
    expect(before).toBe("LF");
  });

  test("by the first piece that has one", async () => {
    const long = "x".repeat(5000);
    const pieces = [long, "\r\n", "a\nb\nc\n"].map((text) => Buffer.from(text));
    expect((await decode(sourceOf(...pieces))).lineEnd).toBe("CRLF");
  });
});

describe("bytes that cannot be had", () => {
  const failing = (cause: unknown): ByteSource => ({
    file: "pass-1.csv",
    // biome-ignore lint/correctness/useYield: it fails before it gives any
    async *open() {
      throw cause;
    },
  });

  test.for([
    { it: "the system's code", cause: Object.assign(new Error("no"), { code: "EACCES" }), why: "EACCES" },
    { it: "the message where there is no code", cause: new Error("vanished"), why: "vanished" },
    { it: "what was thrown, whatever it was", cause: "gone", why: "gone" },
    { it: "nothing", cause: null, why: "null" },
    { it: "a code that is no text", cause: Object.assign(new Error("odd"), { code: 5 }), why: "odd" },
    { it: "an error that is one already", cause: new SourceError({ code: "EIO" }), why: "EIO" },
  ])("say why: $it", async ({ cause, why }) => {
    for (const opened of [decodeText(failing(cause)), plainBytes(failing(cause), null)]) {
      const error = await opened.catch((thrown: unknown) => thrown);
      expect(error).toBeInstanceOf(SourceError);
      expect(error).toMatchObject({ why, message: why });
    }
  });

  test("a source is closed when nobody wants more of it", async () => {
    let closed = 0;
    const source: ByteSource = {
      file: "pass-1.csv",
      async *open() {
        try {
          for (let i = 0; i < 100; i++) yield Buffer.alloc(5000, "a\n");
        } finally {
          closed++;
        }
      },
    };
    const { chunks } = await decodeText(source);
    for await (const chunk of chunks) {
      expect(chunk.length).toBe(5000);
      break;
    }
    expect(closed).toBe(1);
  });
});

describe("the bytes alone", () => {
  const joined = async ({ bytes }: { bytes: AsyncIterable<Uint8Array> }) => {
    const pieces: Buffer[] = [];
    for await (const piece of bytes) pieces.push(Buffer.from(piece));
    return Buffer.concat(pieces).toString();
  };

  test("are unpacked, or as they are", async () => {
    expect(await joined(await plainBytes(sourceOf(gzipSync(table)), null))).toBe(table);
    expect(await joined(await plainBytes(sourceOf(Buffer.from(table)), null))).toBe(table);
    expect(await joined(await plainBytes(sourceOf(Buffer.from("\x1fa")), null))).toBe("\x1fa");
    expect(await joined(await plainBytes(sourceOf(Buffer.from([0x61, 0x8b])), null))).toBe("a\uFFFD");
    expect(await joined(await plainBytes(sourceOf(), null))).toBe("");
  });

  test("of a small packed file are those that telling the encoding unpacked", async () => {
    const { unpacked } = await decodeText(sourceOf(gzipSync(table)));
    expect(unpacked === null ? null : Buffer.from(unpacked).toString()).toBe(table);
    expect((await decodeText(sourceOf(Buffer.from(table)))).unpacked).toBeNull();
    const gone: ByteSource = {
      file: "gone.csv.gz",
      open() {
        throw new Error("opened again");
      },
    };
    expect(await joined(await plainBytes(gone, unpacked))).toBe(table);
  });

  test("are right where each block is overwritten by the next", async () => {
    const blocksOf = (bytes: Uint8Array, length: number): ByteSource => ({
      ...sourceOf(bytes),
      *blocks() {
        const block = new Uint8Array(length);
        for (let from = 0; from < bytes.length; from += length) {
          block.set(bytes.subarray(from, from + length));
          yield block.subarray(0, Math.min(length, bytes.length - from));
        }
      },
    });
    for (const length of [1, 2, 3, 7]) {
      expect(await joined(await plainBytes(blocksOf(Buffer.from(table), length), null))).toBe(table);
      expect(await joined(await plainBytes(blocksOf(gzipSync(table), length), null))).toBe(table);
    }
  });
});

describe("Latin-1 is read as Windows-1252", () => {
  // https://encoding.spec.whatwg.org/index-windows-1252.txt
  test.for([
    [0x41, "A"],
    [0x7f, "\u007f"],
    [0x80, "\u20ac"],
    [0x81, "\u0081"],
    [0x95, "\u2022"],
    [0x9f, "\u0178"],
    [0xa0, "\u00a0"],
    [0xb5, "\u00b5"],
    [0xff, "\u00ff"],
  ] as const)("%i", ([byte, character]) => {
    expect(decodeLatin1(Uint8Array.of(byte))).toBe(character);
  });

  test("only the bytes that are asked for", () => {
    const bytes = Buffer.from("xxabcxx");
    expect(decodeLatin1(bytes.subarray(2, 5))).toBe("abc");
  });
});
