import { medianOfThree } from "../shared/median-of-three.ts";

/** Frames in a block; about half a second at 150 FPS. */
export const blockFrames = 3 * 5 * 5;

/**
 * The running median that frames are held against, in steps of a block of 75 frames: the median of three medians of
 * five medians of five neighbouring frames. Frame `i` belongs to block `floor(i / 75)`; the last block, if it is not
 * full, takes the frames before it in. Up to 17 frames of a block may be as slow as they like without moving its
 * median beyond the others, and it costs a quarter of an exact median.
 * @param values read only
 * @returns one median per block; empty where there are fewer than 75 values
 * @see Rousseeuw & Bassett 1990, The remedian, Journal of the American Statistical Association 85(409), 97-104
 */
export function blockMedians(values: Float64Array): Float64Array {
  const n = values.length;
  if (n < blockFrames) return new Float64Array(0);
  const medians = new Float64Array(Math.ceil(n / blockFrames));
  for (let block = 0; block < medians.length; block++) {
    const at = Math.min(block * blockFrames, n - blockFrames);
    const a = medianOf25(values, at);
    const b = medianOf25(values, at + 25);
    const c = medianOf25(values, at + 50);
    medians[block] = medianOfThree(a, b, c);
  }
  return medians;
}

function medianOf25(values: Float64Array, at: number): number {
  return medianOfFive(
    medianFrom(values, at),
    medianFrom(values, at + 5),
    medianFrom(values, at + 10),
    medianFrom(values, at + 15),
    medianFrom(values, at + 20),
  );
}

function medianFrom(values: Float64Array, at: number): number {
  return medianOfFive(
    values[at] as number,
    values[at + 1] as number,
    values[at + 2] as number,
    values[at + 3] as number,
    values[at + 4] as number,
  );
}

/** Of two pairs, the lower of the lower ones and the higher of the higher ones are no median of the five. */
function medianOfFive(a: number, b: number, c: number, d: number, e: number): number {
  const low = Math.max(Math.min(a, b), Math.min(c, d));
  const high = Math.min(Math.max(a, b), Math.max(c, d));
  return medianOfThree(low, high, e);
}
