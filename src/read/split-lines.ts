import { requireFewLines } from "./log-limits.ts";

/** Whole lines in the file's order, without their ends. */
export interface LineBatch {
  readonly lines: readonly string[];
  /** True when the last line of this batch is the file's last and has no line end. */
  readonly open: boolean;
}

/** A line longer than this is no row of a table. */
export const maxLineLength = 1_000_000;

/** A line has no end in sight. */
export class LineTooLongError extends Error {
  /** Counted from 1. */
  readonly line: number;
  constructor(line: number) {
    super(`line ${line} is too long`);
    this.line = line;
  }
}

/**
 * Cuts text into lines at LF, CRLF or CR, mixed or not.
 *
 * @param chunks pieces of one text, cut anywhere
 * @throws LineTooLongError beyond `maxLineLength` characters, LogTooLongError beyond what any capture has
 */
export async function* splitLines(chunks: AsyncIterable<string>): AsyncGenerator<LineBatch> {
  let rest = "";
  let heldReturn = false;
  let linesSoFar = 0;
  for await (const chunk of chunks) {
    let text: string = heldReturn ? `\r${chunk}` : chunk;
    // A CR at the end of a piece may be the first half of a CRLF.
    heldReturn = text.endsWith("\r");
    if (heldReturn) text = text.slice(0, -1);
    if (text.includes("\r")) text = text.replace(/\r\n?/g, "\n");
    const lines = (rest + text).split("\n");
    rest = lines.pop() ?? "";
    linesSoFar += lines.length;
    requireFewLines(linesSoFar);
    if (rest.length > maxLineLength) throw new LineTooLongError(linesSoFar + 1);
    const long = lines.findIndex((line) => line.length > maxLineLength);
    if (long >= 0) throw new LineTooLongError(linesSoFar - lines.length + long + 1);
    if (lines.length > 0) yield { lines, open: false };
  }
  if (rest !== "" || heldReturn) yield { lines: [rest], open: !heldReturn };
}
