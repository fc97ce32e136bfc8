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

/** Text in lines of at most `width` characters, cut anywhere: for names, which may have no spaces. */
export function breakText(text: string, width: number, indent = ""): string {
  const lines: string[] = [];
  let rest = Array.from(text);
  while (rest.length > 0) {
    const room = width - (lines.length === 0 ? 0 : indent.length);
    lines.push((lines.length === 0 ? "" : indent) + rest.slice(0, room).join(""));
    rest = rest.slice(room);
  }
  return lines.join("\n");
}

/** Words of a paragraph in lines of at most `width` columns; later lines get the indent, the first keeps its own. */
export function wrapText(text: string, width: number, indent = ""): string {
  const [, lead = "", words = ""] = /^( *)(.*)$/s.exec(text) ?? [];
  const lines: string[] = [];
  let line = "";
  for (const word of words.split(" ")) {
    const start = lines.length === 0 ? lead : indent;
    if (line === "") line = start + word;
    else if (`${line} ${word}`.length <= width) line += ` ${word}`;
    else {
      lines.push(line);
      line = indent + word;
    }
  }
  return [...lines, line].join("\n");
}
