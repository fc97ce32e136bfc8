import { detectDialect } from "../../src/read/detect-dialect.ts";
import { type HeadColumn, readHeadColumns } from "../../src/read/head-columns.ts";

/** The columns of a log's head, given as lines. */
export function headOf(...rows: readonly (string | readonly string[])[]): readonly HeadColumn[] {
  const dialect = detectDialect(rows.flat());
  if ("why" in dialect) throw new RangeError(`no table: ${dialect.why}`);
  return readHeadColumns(dialect, dialect.rows);
}

/** Lines that follow a pattern. */
export function repeat(count: number, row: (i: number) => string): string[] {
  return Array.from({ length: count }, (_, i) => row(i));
}
