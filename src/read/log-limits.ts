/**
 * Bytes of a log, unpacked: what no capture reaches, and what an hour of reading would not end. Eight hours at 500 FPS
 * in rows of 250 bytes are 3.6e9.
 */
export const mostLogBytes = 4 * 2 ** 30;

/** Lines of a log: eight hours at 1,000 FPS are 28.8 million. They bound the memory that a log takes. */
export const mostLogLines = 30_000_000;

/** Columns of a log: many hundreds are sensors of every core; beyond this no row is read as one. */
export const mostColumns = 2000;

/** A log goes beyond a limit; it is not read on. */
export class LogTooLongError extends Error {
  readonly limit: "bytes" | "lines";
  constructor(limit: "bytes" | "lines") {
    super(`too many ${limit}`);
    this.limit = limit;
  }
}

/** @throws LogTooLongError beyond `mostLogLines` */
export function requireFewLines(lines: number): void {
  if (lines > mostLogLines) throw new LogTooLongError("lines");
}

/** @throws LogTooLongError beyond `mostLogBytes` */
export function requireFewBytes(bytes: number): void {
  if (bytes > mostLogBytes) throw new LogTooLongError("bytes");
}
