import { markdownText } from "./escape.ts";

/** A GitHub-flavoured Markdown table; cells are plain text and are escaped here. */
export function markdownTable(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]): string => `| ${cells.map(markdownText).join(" | ")} |`;
  return [line(head), `|${head.map(() => " --- |").join("")}`, ...rows.map(line)].join("\n");
}
