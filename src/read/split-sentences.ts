/** A stretch of a text, without the white space around it; `end` is the offset after its last character. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

// A full stop after these ends no sentence.
const abbreviations =
  /(?:^|[\s("'])(?:e\.g|i\.e|vs|approx|ca|cf|etc|fig|no|resp|mr|mrs|ms|dr|st|[a-z]\.[a-z])\.$/i;

/**
 * Sentences of plain text. One ends with . ! ? or an ellipsis, and with what closes after it, before white space. Written
 * here because the general rule (Unicode Standard Annex 29, rule SB8) joins "at 35 watts. 1% low drops": it takes a
 * full stop before a digit and a small letter for that of an abbreviation.
 */
export function splitSentences(text: string): Stretch[] {
  const stretches: Stretch[] = [];
  let start = 0;
  const push = (end: number): void => {
    const words = text.slice(start, end);
    const lead = words.length - words.trimStart().length;
    const length = words.trim().length;
    if (length > 0) stretches.push({ start: start + lead, end: start + lead + length });
    start = end;
  };
  for (const { 0: mark, index } of text.matchAll(/[.!?\u2026]+["'\u2019\u201d)\]]*(?=\s)/g)) {
    const end = index + mark.length;
    // Abbreviations are short: a window keeps this linear.
    if (mark === "." && abbreviations.test(text.slice(Math.max(start, end - 9), end))) continue;
    push(end);
  }
  push(text.length);
  return stretches;
}
