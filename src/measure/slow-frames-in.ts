/** How the slowest frames of a pass lie relative to some stretches of its time. */
export interface Coincidence {
  /** Share of the frames slower than the 1% low that fall into the stretches, in percent. */
  readonly slowFramesPct: number;
  /** Share of all frames that do. */
  readonly framesPct: number;
  /** Share of the shifts of the stretches along the pass that catch as many slow frames. */
  readonly p: number;
}

/**
 * Whether slow frames gather in some stretches: an association, not a cause. Slow frames come in clusters, so frames
 * are not exchangeable; the stretches are shifted along the pass, its end joined to its start, and every shift on
 * the grid is tried (toroidal shift, Lotwick & Silverman 1982, Journal of the Royal Statistical Society B 44, 406-413).
 * @param frameTimesMs in the order of the frames
 * @param endsS end of each frame on the same clock as `fromS`; null where they follow one another from `fromS`
 * @param slowerThanMs a frame that takes longer is slow
 * @param inside 1 where a cell of an even grid from `fromS` to `toS` belongs to the stretches
 */
export function slowFramesIn(
  frameTimesMs: Float64Array,
  endsS: Float64Array | null,
  window: { readonly fromS: number; readonly toS: number },
  slowerThanMs: number,
  inside: Uint8Array,
): Coincidence | null {
  const cells = inside.length;
  const perS = cells / (window.toS - window.fromS);
  const all = new Float64Array(cells);
  const slow = new Float64Array(cells);
  let atS = 0;
  for (let i = 0; i < frameTimesMs.length; i++) {
    const ms = frameTimesMs[i] as number;
    atS += ms / 1000;
    const endS = endsS === null ? atS : (endsS[i] as number) - window.fromS;
    // A frame belongs where its middle lies.
    const cell = Math.min(cells - 1, Math.max(0, Math.floor((endS - ms / 2000) * perS)));
    all[cell] = (all[cell] as number) + 1;
    if (ms > slowerThanMs) slow[cell] = (slow[cell] as number) + 1;
  }
  const slowFrames = slow.reduce((sum, count) => sum + count, 0);
  if (slowFrames === 0) return null;
  const caught = countInside(slow, inside, 0);
  let asMany = 0;
  for (let shift = 0; shift < cells; shift++) if (countInside(slow, inside, shift) >= caught) asMany++;
  return {
    slowFramesPct: (100 * caught) / slowFrames,
    framesPct: (100 * countInside(all, inside, 0)) / frameTimesMs.length,
    p: asMany / cells,
  };
}

function countInside(counts: Float64Array, inside: Uint8Array, shift: number): number {
  const cells = inside.length;
  let sum = 0;
  for (let i = 0; i < cells; i++) {
    if (inside[i] === 1) sum += counts[(i + shift) % cells] as number;
  }
  return sum;
}

/** Stretches that a pass is cut into for `slowFramesAt`. */
const bins = 40;

/** How many of the slow frames lie in each fortieth of the pass: a scene's own heavy places show in every pass of it. */
export function slowFramesAt(
  frameTimesMs: Float64Array,
  endsS: Float64Array | null,
  { fromS, toS }: { readonly fromS: number; readonly toS: number },
  slowerThanMs: number,
): number[] {
  const counts = new Array<number>(bins).fill(0);
  const perS = bins / (toS - fromS);
  let atMs = 0;
  for (let i = 0; i < frameTimesMs.length; i++) {
    const ms = frameTimesMs[i] as number;
    atMs += ms;
    if (ms <= slowerThanMs) continue;
    const endS = endsS === null ? atMs / 1000 : (endsS[i] as number) - fromS;
    const bin = Math.min(bins - 1, Math.max(0, Math.floor((endS - ms / 2000) * perS)));
    counts[bin] = (counts[bin] as number) + 1;
  }
  return counts;
}
