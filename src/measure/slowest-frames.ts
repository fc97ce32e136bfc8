/**
 * The `count` largest values, ascending: what sorting everything and taking the end would give, at a cost that is
 * linear in the number of values plus the sorting of those kept.
 * Selection by Hoare's FIND (1961, Communications of the ACM 4(7), 321) with the median of three as the pivot.
 * @param values read only, not changed
 * @param count at least 1; more than there are gives all of them
 */
export function slowestFrames(values: Float64Array, count: number): Float64Array {
  const n = values.length;
  if (count >= n) return values.slice().sort();
  const scratch = values.slice();
  const wanted = n - count;
  let left = 0;
  let right = n - 1;
  while (right > left) {
    const middle = (left + right) >>> 1;
    const pivot = medianOfThree(scratch[left] as number, scratch[middle] as number, scratch[right] as number);
    let i = left;
    let j = right;
    while (i <= j) {
      while ((scratch[i] as number) < pivot) i++;
      while ((scratch[j] as number) > pivot) j--;
      if (i <= j) {
        const swapped = scratch[i] as number;
        scratch[i++] = scratch[j] as number;
        scratch[j--] = swapped;
      }
    }
    if (wanted <= j) right = j;
    else if (wanted >= i) left = i;
    else break;
  }
  return scratch.subarray(wanted).sort();
}

function medianOfThree(a: number, b: number, c: number): number {
  return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
}
