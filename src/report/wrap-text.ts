import stringWidth from "string-width";

/** Columns of a terminal that a text takes: colour codes take none, Chinese characters and most emoji two. */
export function textWidth(text: string): number {
  return stringWidth(text);
}

/** Words of a paragraph in lines of at most `width` columns; later lines get the indent, the first keeps its own. */
export function wrapText(text: string, width: number, indent = ""): string {
  const [, lead = "", words = ""] = /^( *)(.*)$/s.exec(text) ?? [];
  const lines: string[] = [];
  let line = "";
  let taken = 0;
  for (const word of words.split(" ")) {
    const wide = textWidth(word);
    const start = lines.length === 0 ? lead : indent;
    if (line === "") {
      line = start + word;
      taken = start.length + wide;
    } else if (taken + 1 + wide <= width) {
      line += ` ${word}`;
      taken += 1 + wide;
    } else {
      lines.push(line);
      line = indent + word;
      taken = indent.length + wide;
    }
  }
  return [...lines, line].join("\n");
}

/**
 * A name in lines of at most `width` columns: broken at a space where one stands in the second half of a line, else
 * anywhere, for names may have none.
 */
export function breakText(text: string, width: number, indent = ""): string {
  const lines: string[] = [];
  let rest = charactersOf(text);
  while (rest.length > 0) {
    const start = lines.length === 0 ? "" : indent;
    const taken = breakingPoint(rest, width - start.length);
    lines.push(start + rest.slice(0, taken).join("").trimEnd());
    rest = rest.slice(taken);
  }
  return lines.join("\n");
}

/** What readers take for one character: an accent or a flag is not cut in two. */
function charactersOf(text: string): string[] {
  // The segmenter takes its time to start, and most names do without.
  if (/^[\x20-\x7e]*$/.test(text)) return text.split("");
  const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });
  return [...graphemes.segment(text)].map(({ segment }) => segment);
}

/** How many characters the next line takes, one at least. */
function breakingPoint(characters: readonly string[], width: number): number {
  let columns = 0;
  let fitting = 0;
  for (const character of characters) {
    columns += textWidth(character);
    if (columns > width) break;
    fitting++;
  }
  if (fitting === characters.length) return fitting;
  const space = characters.slice(0, fitting + 1).lastIndexOf(" ");
  return space > fitting / 2 ? space + 1 : Math.max(1, fitting);
}
