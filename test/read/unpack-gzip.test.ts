import { gzipSync } from "node:zlib";
import { describe, expect, test } from "vitest";
import { unpackGzip, unpackSmall } from "../../src/read/unpack-gzip.ts";

const text = Array.from({ length: 20_000 }, (_, i) => `${i},${(i * 7919) % 10_007}\n`).join("");
const packed = gzipSync(text);
const other = gzipSync("more\n");

async function* inPieces(bytes: Uint8Array, length: number) {
  for (let from = 0; from < bytes.length; from += length) yield bytes.subarray(from, from + length);
}

async function unpack(bytes: Uint8Array, pieceLength: number) {
  const pieces = () => inPieces(bytes, pieceLength);
  const damage: { packed: string | null } = { packed: null };
  const plain: Buffer[] = [];
  for await (const piece of unpackGzip(pieces(), pieces, damage)) plain.push(Buffer.from(piece));
  return { text: Buffer.concat(plain).toString(), damage: damage.packed };
}

function withByte(bytes: Uint8Array, at: number, byte: number): Buffer {
  const changed = Buffer.from(bytes);
  changed[at] = byte;
  return changed;
}

// RFC 1952: a member ends with its CRC-32 and its length; a file may have several.
describe.for([1, 1000, 1_000_000])("gzip in pieces of %i bytes", (length) => {
  // Single bytes of a long file would only take long.
  const [file, plain] = length === 1 ? [other, "more\n"] : [packed, text];

  test("gives all of a whole file", async () => {
    expect(await unpack(file, length)).toEqual({ text: plain, damage: null });
  });

  test("gives all of several files in one", async () => {
    const two = await unpack(Buffer.concat([file, other]), length);
    expect(two).toEqual({ text: `${plain}more\n`, damage: null });
  });

  test("takes no notice of zeros that fill a block after it", async () => {
    const filled = await unpack(Buffer.concat([file, Buffer.alloc(512)]), length);
    expect(filled).toEqual({ text: plain, damage: null });
  });

  test("gives what comes before a cut, and says that it stops early", async () => {
    const cut = await unpack(file.subarray(0, file.length - 5), length);
    expect(cut.damage).toBe("it stops early");
    expect(plain.startsWith(cut.text)).toBe(true);
    expect(cut.text.length).toBeGreaterThan(0.9 * plain.length);
  });

  test("says that only its length was cut off, although everything was unpacked", async () => {
    expect(await unpack(file.subarray(0, -2), length)).toEqual({ text: plain, damage: "it stops early" });
  });

  test("says that it is damaged where the sum is wrong", async () => {
    const at = file.length - 8;
    const broken = await unpack(withByte(file, at, (file[at] ?? 0) ^ 1), length);
    expect(broken).toEqual({ text: plain, damage: "it is damaged" });
    expect(broken.text.length).toBeGreaterThan(0.9 * plain.length);
  });

  test("gives nothing of fewer bytes than tell a length", async () => {
    for (const bytes of [2, 3])
      expect(await unpack(file.subarray(0, bytes), length)).toEqual({ text: "", damage: "it stops early" });
  });

  test("gives nothing of a header alone", async () => {
    expect(await unpack(file.subarray(0, 10), length)).toEqual({ text: "", damage: "it stops early" });
  });

  test("gives nothing of what is gzip by its first bytes only", async () => {
    const none = await unpack(
      Buffer.concat([Buffer.of(0x1f, 0x8b), Buffer.from("not packed at all")]),
      length,
    );
    expect(none).toEqual({ text: "", damage: "it is damaged" });
  });
});

test("what comes before a damaged place is given", async () => {
  const middle = packed.length >> 1;
  const broken = Buffer.concat([
    packed.subarray(0, middle),
    Buffer.alloc(200, 0xff),
    packed.subarray(middle + 200),
  ]);
  const { text: found, damage } = await unpack(broken, 500);
  expect(damage).toBe("it is damaged");
  expect(found.length).toBeGreaterThan(0.3 * text.length);
  expect(text.startsWith(found.slice(0, 0.3 * text.length))).toBe(true);
});

describe("a small file is unpacked as a whole", () => {
  const whole = async (bytes: Uint8Array) => {
    const unpacked = await unpackSmall(inPieces(bytes, 1000));
    return unpacked === null ? null : Buffer.from(unpacked).toString();
  };

  test.each([
    { it: "a sound one", bytes: packed, gives: text },
    { it: "several in one", bytes: Buffer.concat([packed, other]), gives: `${text}more\n` },
    { it: "one with zeros behind it", bytes: Buffer.concat([packed, Buffer.alloc(512)]), gives: text },
    { it: "an empty one", bytes: gzipSync(""), gives: "" },
    { it: "one that stops early", bytes: packed.subarray(0, -5), gives: null },
    {
      it: "a second one that stops early",
      bytes: Buffer.concat([packed, other.subarray(0, -2)]),
      gives: null,
    },
    { it: "one with a wrong sum", bytes: withByte(packed, packed.length - 8, 1), gives: null },
  ])("$it", async ({ bytes, gives }) => {
    expect(await whole(bytes)).toBe(gives);
  });

  test("but not what is large, packed or not", async () => {
    const random = Uint8Array.from({ length: 1 << 20 }, (_, i) => Math.imul(i, 0x9e3779b1) >>> 13);
    expect(await whole(gzipSync(random, { level: 0 }))).toBe(null);
    expect(await whole(gzipSync(Buffer.alloc((1 << 21) + 1)))).toBe(null);
    expect(await whole(gzipSync(Buffer.alloc(1 << 21)))).toHaveLength(1 << 21);
    // Of several in one, the last four bytes tell the length of the last.
    expect(await whole(Buffer.concat([gzipSync(Buffer.alloc(1 << 21)), other]))).toBe(null);
  });
});
