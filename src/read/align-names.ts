/**
 * The names over a table that is aligned with blanks, each of one word or more: those over a column end where its value
 * ends, or begin where it begins.
 * @returns one name per value; null where the lines are not aligned so
 */
export function alignNames(header: string, values: string): readonly string[] | null {
  if (`${header}${values}`.includes("\t")) return null;
  const words = placesIn(header);
  const columns = placesIn(values);
  return (
    gather(words, columns, (word) => columns.findIndex(({ to }) => to >= word.to), hasSameEnd) ??
    gather(words, columns, (word) => columns.findLastIndex(({ from }) => from <= word.from), hasSameStart)
  );
}

interface Place {
  readonly text: string;
  readonly from: number;
  readonly to: number;
}

function placesIn(line: string): Place[] {
  return [...line.matchAll(/\S+/g)].map(({ 0: text, index }) => ({
    text,
    from: index,
    to: index + text.length,
  }));
}

const hasSameEnd = (words: readonly Place[], column: Place): boolean => words.at(-1)?.to === column.to;
const hasSameStart = (words: readonly Place[], column: Place): boolean => words[0]?.from === column.from;

function gather(
  words: readonly Place[],
  columns: readonly Place[],
  columnOf: (word: Place) => number,
  isOver: (words: readonly Place[], column: Place) => boolean,
): readonly string[] | null {
  const names = columns.map((_, i) => words.filter((word) => columnOf(word) === i));
  const isAligned = columns.every((column, i) => isOver(names[i] ?? [], column));
  const areAll = names.flat().length === words.length;
  return isAligned && areAll ? names.map((of) => of.map(({ text }) => text).join(" ")) : null;
}
