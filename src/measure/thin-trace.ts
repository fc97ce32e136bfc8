/** Frame times over time, thinned; plain numbers, in the order of time. */
export interface ThinTrace {
  /** Middle of each frame kept, seconds from the start of the window. */
  readonly atS: readonly number[];
  readonly frameTimesMs: readonly number[];
  /** Frames before thinning. */
  readonly frames: number;
  readonly spanS: number;
}

/**
 * Thins a trace for a picture so that no spike is lost: time is cut into equal buckets, and of each bucket the fastest
 * and the slowest frame are kept, in the order in which they came. Drawn with a line at one bucket per pixel column,
 * what is left covers the same pixels between the extremes as all frames would.
 * @param frameTimesMs milliseconds, above 0, in order; read only
 * @param buckets at least 1; a trace of at most twice as many frames is kept whole
 * @see Jugel, Jerzak, Hackenbroich & Markl 2014, M4: A Visualization-Oriented Time Series Data Aggregation, Proceedings of
 *   the VLDB Endowment 7(10), 797-808, on minimum and maximum per pixel column. Largest-triangle buckets (Steinarsson
 *   2013, Downsampling Time Series for Visual Representation, University of Iceland) keep one point per bucket and so
 *   may drop one of two spikes that lie close together. Both from memory.
 * @throws RangeError if buckets is not a whole number from 1
 */
export function thinTrace(frameTimesMs: Float64Array, buckets: number): ThinTrace {
  if (!Number.isInteger(buckets) || buckets < 1)
    throw new RangeError(`a trace needs buckets from 1, got ${buckets}`);
  const frames = frameTimesMs.length;
  let totalMs = 0;
  for (const ms of frameTimesMs) totalMs += ms;
  const atS: number[] = [];
  const kept: number[] = [];
  const keep = (index: number, endMs: number): void => {
    const ms = frameTimesMs[index] as number;
    atS.push((endMs - ms / 2) / 1000);
    kept.push(ms);
  };
  if (frames <= 2 * buckets) {
    let endMs = 0;
    for (let i = 0; i < frames; i++) {
      endMs += frameTimesMs[i] as number;
      keep(i, endMs);
    }
    return { atS, frameTimesMs: kept, frames, spanS: totalMs / 1000 };
  }
  let endMs = 0;
  let i = 0;
  for (let bucket = 1; bucket <= buckets; bucket++) {
    // The last bucket takes what rounding left over.
    const untilMs = bucket === buckets ? Infinity : (totalMs * bucket) / buckets;
    let least = -1;
    let most = -1;
    let leastEndMs = 0;
    let mostEndMs = 0;
    for (; i < frames; i++) {
      const ms = frameTimesMs[i] as number;
      if (endMs + ms / 2 >= untilMs) break;
      endMs += ms;
      if (least < 0 || ms < (frameTimesMs[least] as number)) {
        least = i;
        leastEndMs = endMs;
      }
      if (most < 0 || ms > (frameTimesMs[most] as number)) {
        most = i;
        mostEndMs = endMs;
      }
    }
    if (least < 0) continue;
    if (least < most) keep(least, leastEndMs);
    keep(most, mostEndMs);
    if (least > most) keep(least, leastEndMs);
  }
  return { atS, frameTimesMs: kept, frames, spanS: totalMs / 1000 };
}
