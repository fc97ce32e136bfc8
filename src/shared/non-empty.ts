/** One or more. */
export type NonEmpty<T> = readonly [T, ...T[]];

/** As Array's map, of one or more. */
export function mapEach<T, U>([first, ...rest]: NonEmpty<T>, toOther: (item: T) => U): NonEmpty<U> {
  return [toOther(first), ...rest.map((item) => toOther(item))];
}

/** As Array's sort, of a copy of one or more. */
export function sortEach<T>([...items]: NonEmpty<T>, compare: (a: T, b: T) => number): NonEmpty<T> {
  return items.sort(compare);
}

/** The one item; null where there is none, or several. */
export function soleOf<T>(items: readonly T[]): T | null {
  const [sole] = items;
  return sole === undefined || items.length > 1 ? null : sole;
}
