import { medianOfThree } from "./median-of-three.ts";

/**
 * Moves values so that the one at `wanted` is where sorting would put it, none before it larger, none after it smaller.
 * Linear on average: Hoare's FIND (1961, Communications of the ACM 4(7), 321) with the median of three as the pivot.
 * @param values changed in place; no NaN among them
 * @param wanted an index of `values`
 */
export function partitionAt(values: Float64Array, wanted: number): void {
  let left = 0;
  let right = values.length - 1;
  while (right > left) {
    const middle = (left + right) >>> 1;
    const pivot = medianOfThree(values[left] as number, values[middle] as number, values[right] as number);
    let i = left;
    let j = right;
    while (i <= j) {
      while ((values[i] as number) < pivot) i++;
      while ((values[j] as number) > pivot) j--;
      if (i <= j) {
        const swapped = values[i] as number;
        values[i++] = values[j] as number;
        values[j--] = swapped;
      }
    }
    if (wanted <= j) right = j;
    else if (wanted >= i) left = i;
    else break;
  }
}
