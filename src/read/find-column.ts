import type { LogFinding } from "../shared/problem.ts";
import type { HeadColumn } from "./head-columns.ts";

/** As a user would name the column. */
export function columnLabel({ label }: HeadColumn): string {
  return label;
}

/** The same in a sentence, where a name of a page would not help. */
export function shown({ label }: HeadColumn): string {
  return label.length > 60 ? `${label.slice(0, 60)}…` : label;
}

/** The index of the column that a setting names, or how it fails to. */
export function findColumn(
  columns: readonly HeadColumn[],
  wanted: string,
): number | { readonly fault: (key: string) => LogFinding } {
  const spelling = (text: string): string => text.trim().toLowerCase();
  for (const matches of [
    columns.filter(({ name }) => name === wanted),
    columns.filter(({ name }) => name !== null && spelling(name) === spelling(wanted)),
  ]) {
    const [only, ...others] = matches;
    if (only === undefined) continue;
    if (others.length === 0) return only.index;
    const positions = matches.map(({ index }) => index + 1);
    return { fault: (key) => ({ code: "log-column-twice", key, wanted, positions }) };
  }
  const position = /^#?(\d{1,4})$/.exec(wanted.trim())?.[1];
  const byPosition = columns[Number(position) - 1];
  if (byPosition !== undefined) return byPosition.index;
  return { fault: (key) => ({ code: "log-column-missing", key, wanted, columns: columns.map(columnLabel) }) };
}
