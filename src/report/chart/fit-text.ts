/** Width of a text in pixels; it comes from the font that pictures are drawn with. */
export type TextRuler = (text: string, sizePx: number, weight: FontWeight) => number;
export type FontWeight = 400 | 600;

export interface TextStyle {
  readonly sizePx: number;
  readonly weight: FontWeight;
}

/** The text cut with an ellipsis so that it is at most so wide. */
export function shorten(text: string, widthPx: number, style: TextStyle, ruler: TextRuler): string {
  const fits = (part: string): boolean => ruler(part, style.sizePx, style.weight) <= widthPx;
  if (fits(text)) return text;
  // Whole characters as readers see them: an accent or a flag is not cut in two.
  const characters = [...new Intl.Segmenter("en", { granularity: "grapheme" }).segment(text)].map(
    ({ segment }) => segment,
  );
  let low = 0;
  let high = characters.length;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (fits(`${characters.slice(0, middle).join("").trimEnd()}…`)) low = middle;
    else high = middle - 1;
  }
  return `${characters.slice(0, low).join("").trimEnd()}…`;
}

/**
 * The text on lines of at most so wide, broken at spaces, and in a word that is too wide after its hyphens, underscores
 * and slashes; what does not fit on the last line ends in an ellipsis.
 */
export function wrap(
  text: string,
  widthPx: number,
  mostLines: number,
  style: TextStyle,
  ruler: TextRuler,
): string[] {
  const fits = (part: string): boolean => ruler(part, style.sizePx, style.weight) <= widthPx;
  // Each part with the space before it, so that joining them gives the text again.
  let rest = text
    .split(/\s+/)
    .filter(Boolean)
    .flatMap((word) =>
      fits(word) ? [` ${word}`] : ` ${word}`.split(/(?<=[\p{L}\p{N}][-_/])(?=[\p{L}\p{N}])/u),
    );
  const join = (parts: readonly string[]): string => parts.join("").trimStart();
  const lines: string[] = [];
  while (rest.length > 0 && lines.length < mostLines) {
    let taken = 1;
    const isLast = lines.length === mostLines - 1;
    while (taken < rest.length && fits(join(rest.slice(0, taken + 1)))) taken++;
    lines.push(shorten(join(isLast ? rest : rest.slice(0, taken)), widthPx, style, ruler));
    rest = rest.slice(taken);
  }
  return lines;
}
