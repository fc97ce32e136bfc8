import { partitionAt } from "../shared/partition-at.ts";

/**
 * The `count` largest values, ascending: what sorting everything and taking the end would give, at a cost that is
 * linear in the number of values plus the sorting of those kept.
 * @param values read only, not changed
 * @param count at least 1; more than there are gives all of them
 */
export function slowestFrames(values: Float64Array, count: number): Float64Array {
  const scratch = likelyLargest(values, count) ?? values.slice();
  const n = scratch.length;
  if (count >= n) return scratch.sort();
  const wanted = n - count;
  partitionAt(scratch, wanted);
  return scratch.subarray(wanted).sort();
}

/** Values looked at to tell where the largest begin. */
const sampled = 1000;

/**
 * All values from a threshold on that a sample puts a little below the ones wanted, so that a long pass needs no copy.
 * @returns null where the sample misled, or the pass is too short for one
 */
function likelyLargest(values: Float64Array, count: number): Float64Array | null {
  const n = values.length;
  if (n < 20 * sampled || count > n / 10) return null;
  const stride = Math.floor(n / sampled);
  const sample = new Float64Array(sampled);
  for (let i = 0; i < sampled; i++) sample[i] = values[i * stride] as number;
  const rank = Math.floor(sampled * (1 - (2 * count) / n)) - 1;
  partitionAt(sample, rank);
  const threshold = sample[rank] as number;
  const largest = new Float64Array(4 * count);
  let kept = 0;
  for (let i = 0; i < n; i++) {
    const value = values[i] as number;
    if (value < threshold) continue;
    if (kept === largest.length) return null;
    largest[kept++] = value;
  }
  return kept < count ? null : largest.subarray(0, kept);
}
