import type { TextReading } from "./log.ts";
import type { Delimiter, Row } from "./split-rows.ts";

/** The head of a file as a table. */
export interface Dialect {
  readonly delimiter: Delimiter;
  readonly decimalSign: TextReading["decimalSign"];
  /** Every comma in a number could be a decimal sign or part thousands. */
  readonly isSignInDoubt: boolean;
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Line of the header, counted from 1; null where there is none. */
  readonly headerLine: number | null;
  /** One per column, or null where there is no header. */
  readonly names: readonly string[] | null;
  /** A second header line that holds units alone. */
  readonly units: readonly string[] | null;
  readonly notes: readonly string[];
  /** Line of the first row of values, counted from 1. */
  readonly firstLine: number;
  /** Rows of values in the head. */
  readonly rows: readonly Row[];
  /** Rows may end before the table does, as where the last cells are blank; else one that does was cut. */
  readonly mayEndShort: boolean;
}

export type DialectFault =
  | { readonly why: "no-table" }
  | { readonly why: "too-wide"; readonly columns: number }
  | { readonly why: "no-rows" }
  | { readonly why: "header-width"; readonly line: number; readonly names: number; readonly cells: number };
