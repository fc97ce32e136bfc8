import type { Place } from "../shared/problem.ts";

/** Offsets in UTF-16 units to lines and columns; a line ends as YAML says, with LF, CRLF or CR. */
export function findPlaces(source: string, file: string): (offset: number) => Place & { line: number } {
  const starts = [0];
  for (const match of source.matchAll(/\r\n|\n|\r/g)) starts.push(match.index + match[0].length);
  // Where the last question was about the same line, only what lies between is counted: offsets mostly rise.
  let last = { start: 0, offset: 0, column: 1 };
  return (offset) => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if ((starts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    const start = starts[low] ?? 0;
    const known = last.start === start && last.offset <= offset ? last : { offset: start, column: 1 };
    const column = known.column + Array.from(source.slice(known.offset, offset)).length;
    last = { start, offset, column };
    return { file, line: low + 1, column };
  };
}
