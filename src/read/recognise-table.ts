import { rowsToGoBy } from "./detect-dialect.ts";
import type { Dialect } from "./dialect.ts";
import { type HeadColumn, readHeadColumns } from "./head-columns.ts";
import type { LogSettings } from "./log.ts";
import { recogniseColumns } from "./recognise-columns.ts";
import type { Recognition } from "./recognition.ts";
import { type Stream, tellStreams } from "./tell-streams.ts";

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
  const named = isOne ? [] : rowsOf(stream, rows, allColumns);
  const columns = named.length === 0 ? allColumns : readHeadColumns(dialect, named);
  return { dialect, allColumns, stream, columns, recognition: recogniseColumns(columns, settings) };
}

/** A stream that begins after the head is read like the commonest in it: of several together no clock makes sense. */
function rowsOf(stream: Stream, rows: Dialect["rows"], columns: readonly HeadColumn[]): Dialect["rows"] {
  const named = (name: string): Dialect["rows"] => rows.filter(({ cells }) => cells?.[stream.index] === name);
  const own = named(stream.wanted);
  if (own.length > 0) return own;
  const [commonest] = [...(columns[stream.index]?.texts ?? [])].sort((a, b) => b[1] - a[1]);
  return commonest === undefined ? [] : named(commonest[0]);
}
