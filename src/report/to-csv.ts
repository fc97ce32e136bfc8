import { stringify } from "csv-stringify/sync";
import { spreadsheetText } from "./escape.ts";

export type CsvCell = string | number | boolean | null;

/**
 * Rows as CSV by RFC 4180, with a header, UTF-8 and CRLF line ends. Numbers stay numbers, what does not exist is an
 * empty cell, and no text is taken for a formula when a spreadsheet opens it.
 */
export function toCsv(columns: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  const safe = rows.map((row) =>
    row.map((cell) => (typeof cell === "string" ? spreadsheetText(cell) : cell === null ? "" : String(cell))),
  );
  return stringify([[...columns], ...safe], { record_delimiter: "\r\n" });
}
