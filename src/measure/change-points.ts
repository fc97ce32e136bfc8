/**
 * Where the level of a series changes: the partition into stretches that minimises the sum of squares about each
 * stretch's mean plus a penalty per change. Exact, by PELT.
 * @param values in units of their noise's standard deviation, in the order of time; read only
 * @param penalty added for each change, such as 3 ln n (Zhang & Siegmund 2007, Biometrics 63, 22-32)
 * @param least values in a stretch, at least 1
 * @returns the start of each stretch, the first one being 0; empty for an empty series
 * @see Killick, Fearnhead & Eckley 2012, Journal of the American Statistical Association 107(500), 1590-1598
 */
export function changePoints(values: ArrayLike<number>, penalty: number, least: number): number[] {
  const n = values.length;
  const sum = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) sum[i + 1] = (sum[i] as number) + (values[i] as number);
  const best = new Float64Array(n + 1);
  const startOf = new Int32Array(n + 1);
  const endsAt = new Int32Array(n + 1).fill(n + 1);
  // Where the last stretch may have begun, 0 at first, and what each comes to.
  const candidates = new Int32Array(n + 1);
  const reached = new Float64Array(n + 1);
  let count = 1;
  for (let end = least; end <= n; end++) {
    let chosen = 0;
    for (let i = 0; i < count; i++) {
      const start = candidates[i] as number;
      const own = (sum[end] as number) - (sum[start] as number);
      // The squares of the values add up to the same in every partition, and are left out.
      reached[i] = (best[start] as number) - (own * own) / (end - start);
      if ((reached[i] as number) < (reached[chosen] as number)) chosen = i;
    }
    const bestHere = (reached[chosen] as number) + penalty;
    best[end] = bestHere;
    startOf[end] = candidates[chosen] as number;
    let kept = 0;
    for (let i = 0; i < count; i++) {
      const start = candidates[i] as number;
      // No better than a change right here, it is never needed again, once a stretch from here is allowed.
      if ((reached[i] as number) > bestHere) endsAt[start] = Math.min(endsAt[start] as number, end + least);
      if ((endsAt[start] as number) > end + 1) candidates[kept++] = start;
    }
    count = kept;
    const opened = end + 1 - least;
    if (opened >= least) candidates[count++] = opened;
  }
  const starts: number[] = [];
  for (let end = n; end > 0; end = startOf[end] as number) starts.unshift(startOf[end] as number);
  return starts;
}
