import { rowsToGoBy } from "./detect-dialect.ts";
import type { Dialect } from "./dialect.ts";
import { type HeadColumn, readHeadColumns } from "./head-columns.ts";
import type { LogSettings } from "./log.ts";
import { recogniseColumns } from "./recognise-columns.ts";
import type { Recognition } from "./recognition.ts";
import { tellStreams } from "./tell-streams.ts";

/** What the head's columns are, and by which decimal sign. */
export interface TableColumns {
  readonly dialect: Dialect;
  readonly allColumns: readonly HeadColumn[];
  readonly stream: ReturnType<typeof tellStreams>;
  /** Over the rows of the stream that counts. */
  readonly columns: readonly HeadColumn[];
  readonly recognition: Recognition;
}

/** Where a comma could be the decimal sign or part thousands, the reading that makes sense. */
export function settleDecimalSign(
  dialect: Dialect,
  settings: LogSettings,
  notStreams: ReadonlySet<number>,
): TableColumns {
  const usual = recogniseTable(dialect, settings, notStreams);
  if (!dialect.isSignInDoubt || usual.recognition.frameTime !== null) return usual;
  const other = { ...dialect, decimalSign: dialect.decimalSign === "." ? "," : "." } as const;
  const otherwise = recogniseTable(other, settings, notStreams);
  return otherwise.recognition.frameTime === null ? usual : otherwise;
}

function recogniseTable(
  dialect: Dialect,
  settings: LogSettings,
  notStreams: ReadonlySet<number>,
): TableColumns {
  const rows = rowsToGoBy(dialect);
  const allColumns = readHeadColumns(dialect, rows);
  const stream = tellStreams(allColumns, { ...dialect, rows }, settings, notStreams);
  const isOne = stream === null || "fault" in stream;
  const own = isOne ? [] : rows.filter(({ cells }) => cells?.[stream.index] === stream.wanted);
  // A stream that begins after the head is read like those in it.
  const columns = own.length === 0 ? allColumns : readHeadColumns(dialect, own);
  return { dialect, allColumns, stream, columns, recognition: recogniseColumns(columns, settings) };
}
