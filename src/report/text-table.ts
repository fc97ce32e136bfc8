import Table from "cli-table3";

const noLines = {
  top: "",
  "top-mid": "",
  "top-left": "",
  "top-right": "",
  bottom: "",
  "bottom-mid": "",
  "bottom-left": "",
  "bottom-right": "",
  left: "",
  "left-mid": "",
  mid: "",
  "mid-mid": "",
  right: "",
  "right-mid": "",
};

/**
 * Rows of cells as columns with `gap` spaces between them and nothing else. Cells may hold colour codes and line breaks.
 * @param widths columns of text per cell, the gaps not counted; a longer line is cut with an ellipsis
 */
export function textTable(
  rows: readonly (readonly string[])[],
  widths: readonly number[],
  align: readonly ("left" | "right")[] = [],
  gap = 2,
): string {
  const table = new Table({
    chars: { ...noLines, middle: " ".repeat(gap) },
    style: { "padding-left": 0, "padding-right": 0, head: [], border: [], compact: true },
    colWidths: [...widths],
    colAligns: widths.map((_, i) => align[i] ?? "left"),
  });
  table.push(...rows.map((row) => [...row]));
  return table
    .toString()
    .split("\n")
    .map((line) => line.trimEnd())
    .join("\n");
}
