/**
 * Sample quantile, linear interpolation between order statistics.
 * @param sorted ascending values of one unit, n >= 1; read only, not copied
 * @param p probability in [0, 1]; 0.5 is the median
 * @returns a value in the unit of `sorted`
 * @throws RangeError if `sorted` is empty or p is outside [0, 1]: a caller's mistake, not bad data
 * @see Hyndman & Fan 1996, The American Statistician 50(4), 361-365, definition 7
 * @example quantileType7([1, 2, 3, 4], 0.5) // 2.5
 */
export function quantileType7(sorted: ArrayLike<number>, p: number): number {
  return quantileOfOrder(sorted.length, p, (index) => sorted[index] as number);
}

/**
 * The same from order statistics, for callers that hold only the part of the sorted values that is needed.
 * @param n number of values
 * @param order the value with this index (from 0) in ascending order; asked for one or two neighbours
 */
export function quantileOfOrder(n: number, p: number, order: (index: number) => number): number {
  if (n === 0) throw new RangeError("a quantile needs at least one value");
  if (!(p >= 0 && p <= 1)) throw new RangeError(`a quantile needs p in [0, 1], got ${p}`);
  const h = (n - 1) * p;
  const below = Math.floor(h);
  const low = order(below);
  if (below + 1 >= n) return low;
  return low + (h - below) * (order(below + 1) - low);
}
