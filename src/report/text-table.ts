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
 * @param widths columns of text per cell, the gaps not counted; null lets a column take what it needs
 */
export function textTable(
  rows: readonly (readonly string[])[],
  widths: readonly (number | null)[],
  align: readonly ("left" | "right")[] = [],
  gap = 2,
): string {
  const table = new Table({
    chars: { ...noLines, middle: " ".repeat(gap) },
    style: { "padding-left": 0, "padding-right": 0, head: [], border: [], compact: true },
    colWidths: widths.map((width) => width),
    colAligns: widths.map((_, i) => align[i] ?? "left"),
    wordWrap: true,
    wrapOnWordBoundary: false,
  });
  table.push(...rows.map((row) => [...row]));
  return table
    .toString()
    .split("\n")
    .map((line) => line.trimEnd())
    .join("\n");
}

/** Words of a paragraph in lines of at most `width` columns; later lines are indented. */
export function wrapText(text: string, width: number, indent = ""): string {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line.trim() !== "" && longer.length > width) {
      lines.push(line);
      line = indent + word;
    } else {
      line = longer;
    }
  }
  return [...lines, line].join("\n");
}
