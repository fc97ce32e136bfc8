import { describe, expect, test } from "vitest";
import { LineTooLongError, maxLineLength, splitLines } from "../../src/read/split-lines.ts";

async function split(chunks: readonly string[]) {
  async function* arrive() {
    yield* chunks;
  }
  const batches = [];
  for await (const batch of splitLines(arrive())) batches.push(batch);
  return batches;
}

describe("lines end at LF, CRLF or CR, however the text arrives", () => {
  test.for<{ chunks: readonly string[]; lines: readonly string[]; isOpen: boolean }>([
    { chunks: [], lines: [], isOpen: false },
    { chunks: ["", ""], lines: [], isOpen: false },
    { chunks: ["a\nb\n"], lines: ["a", "b"], isOpen: false },
    { chunks: ["a\nb"], lines: ["a", "b"], isOpen: true },
    { chunks: ["a\r\nb\r\n"], lines: ["a", "b"], isOpen: false },
    { chunks: ["a\rb\r"], lines: ["a", "b"], isOpen: false },
    { chunks: ["a\rb"], lines: ["a", "b"], isOpen: true },
    { chunks: ["a\r", "\nb"], lines: ["a", "b"], isOpen: true },
    { chunks: ["a\r", "b\r"], lines: ["a", "b"], isOpen: false },
    { chunks: ["a\r", "\r", "\nb\n"], lines: ["a", "", "b"], isOpen: false },
    { chunks: ["a\n\r\nb\r\n\n"], lines: ["a", "", "b", ""], isOpen: false },
    { chunks: ["\r"], lines: [""], isOpen: false },
    { chunks: ["16", ".", "7\n17", ".0\n"], lines: ["16.7", "17.0"], isOpen: false },
  ])("$chunks", async ({ chunks, lines, isOpen }) => {
    const batches = await split(chunks);
    expect(batches.flatMap((batch) => batch.lines)).toEqual(lines);
    expect(batches.at(-1)?.open ?? false).toBe(isOpen);
    expect(batches.slice(0, -1).every(({ open }) => !open)).toBe(true);
    expect(batches.every((batch) => batch.lines.length > 0)).toBe(true);
  });
});

describe("a line without an end in sight is no row of a table", () => {
  const longest = "1".repeat(maxLineLength);

  test("a line of a million characters is still read", async () => {
    const batches = await split([`a\n${longest}\n${longest.slice(1)}`, "1"]);
    expect(batches.flatMap(({ lines }) => lines).map(({ length }) => length)).toEqual([
      1,
      maxLineLength,
      maxLineLength,
    ]);
  });

  test.for([
    { where: "at the start", chunks: [`${longest}1\na\n`], line: 1 },
    { where: "in the middle", chunks: [`a\nb\n${longest}1\nc\n`], line: 3 },
    { where: "in a later piece", chunks: ["a\nb\n", `c\n${longest}1\nd\n`], line: 4 },
    { where: "before its end arrives", chunks: ["a\nb\n", `c\nd\n${longest}`, "1"], line: 5 },
  ])("a longer one is named by its number: $where", async ({ chunks, line }) => {
    const error = await split(chunks).catch((thrown: unknown) => thrown);
    expect(error).toBeInstanceOf(LineTooLongError);
    expect(error).toMatchObject({ line });
  });
});
