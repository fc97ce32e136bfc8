import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { digestedSource, digestFile, fileSource } from "../../src/read/files.ts";
import { makeFolder } from "../support/run-cli.ts";

/** A file of so many bytes, none of them like the one a block before. */
function putBytes(size: number): string {
  const file = path.join(makeFolder(), "bytes");
  const bytes = new Uint8Array(size);
  for (let i = 0; i < size; i++) bytes[i] = Math.imul(i, 0x9e3779b1) >>> 24;
  writeFileSync(file, bytes);
  return file;
}

async function collect(pieces: Iterable<Uint8Array> | AsyncIterable<Uint8Array>): Promise<Buffer> {
  const copies: Uint8Array[] = [];
  for await (const piece of pieces) copies.push(piece.slice());
  return Buffer.concat(copies);
}

const sizes = [
  { what: "an empty file", size: 0 },
  { what: "one block", size: 1 << 20 },
  { what: "blocks and a rest", size: 3_000_001 },
  { what: "a file long enough to be read ahead", size: (17 << 20) + 5 },
];

test.for(sizes)("blocks and pieces are the bytes of the file: $what", async ({ size }) => {
  const file = putBytes(size);
  const source = fileSource(file);
  const bytes = readFileSync(file);
  expect(bytes.equals(await collect(source.blocks?.() ?? []))).toBe(true);
  expect(bytes.equals(await collect(source.open()))).toBe(true);
});

test.for(sizes)("the digest is that of all bytes, read through or not: $what", async ({ size }) => {
  const file = putBytes(size);
  const expected = createHash("sha256").update(readFileSync(file)).digest("hex");
  const whole = digestedSource(file);
  await collect(whole.blocks?.() ?? []);
  expect(whole.sha256()).toBe(expected);
  const begun = digestedSource(file);
  for await (const _ of begun.blocks?.() ?? []) break;
  expect(begun.sha256()).toBe(expected);
  expect(digestFile(file)).toBe(expected);
});

test("two files read by turns do not share their blocks", async () => {
  const [one, other] = [putBytes(3_000_001), putBytes((17 << 20) + 5)];
  const pairs = await Promise.all(
    [one, other, one, other].map((file) => collect(fileSource(file).blocks?.() ?? [])),
  );
  for (const [i, bytes] of pairs.entries()) {
    expect(bytes.equals(readFileSync(i % 2 === 0 ? one : other))).toBe(true);
  }
});
