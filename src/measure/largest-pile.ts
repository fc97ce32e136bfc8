/** Where values pile up, as a stretch of the sorted ones. */
export interface Pile {
  readonly start: number;
  /** Behind its last value. */
  readonly end: number;
}

/**
 * The most values that lie within a relative width of the lowest of them; of equal piles the lowest one. Linear.
 * @param sorted ascending values above 0; read only
 * @param width such as 0.01
 */
export function findLargestPile(sorted: Float64Array, width: number): Pile {
  let best: Pile = { start: 0, end: 0 };
  let start = 0;
  for (let end = 1; end <= sorted.length; end++) {
    const highest = sorted[end - 1] as number;
    while ((sorted[start] as number) * (1 + width) < highest) start++;
    if (end - start > best.end - best.start) best = { start, end };
  }
  return best;
}
