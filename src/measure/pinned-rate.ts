import { quantileType7 } from "./quantile.ts";

/** Frame times that pile up at one value, as under a frame cap or display sync. */
export interface PinnedRate {
  /** The rate at which they pile up; for steps, that of one step. */
  readonly rateFps: number;
  /** Share of the pass's time spent there, in percent. */
  readonly timePct: number;
  /** `value`: one frame time that is never beaten; `steps`: whole multiples of one period, as display sync gives. */
  readonly kind: "value" | "steps";
}

/** Fewer blocks show no pile. */
const leastBlocks = 20;
/** Medians this close to each other are one value: a limiter keeps its rate to a few parts in a thousand. */
const halfWidth = 0.004;
/** Frame times printed more coarsely than this would pile up by themselves. */
const coarsest = 0.015;
/** A pile holds at least this share of the pass, and no more than that share lies on its fast side. */
const leastShare = 0.4;
const mostFaster = 0.02;

/** A scene never holds its pace this evenly, as a share of it; and where it seems to, it wanders. */
const tightest = 0.001;
const leastFresh = 0.9;

/** Steps: how far a frame may lie from a whole multiple, in periods; the shares on multiples and on a second one. */
const stepSlack = 0.04;
const leastOnSteps = 0.9;
const leastOnSecond = 0.03;
const mostSampled = 4000;

/**
 * Finds a rate that frames are held to: the running median returns to one value for much of the pass and is hardly
 * ever below it, or frame times are whole multiples of one period. Thresholds are common practice without a source;
 * what they find and what they flag for nothing is measured by test/detection. A scene that never changes can look
 * like it in one pass; whether passes agree is for the judgement to see.
 * @param frameTimesMs in the order of the frames; read only
 * @param medians of the same frames, by `blockMedians`
 * @returns null where nothing is piled up, or the log is printed too coarsely to tell
 */
export function findPinnedRate(frameTimesMs: Float64Array, medians: Float64Array): PinnedRate | null {
  if (medians.length < leastBlocks) return null;
  const sorted = medians.slice().sort();
  const typicalMs = sorted[sorted.length >> 1] as number;
  const grain = printedGrain(frameTimesMs);
  const width = Math.max(halfWidth, grain / typicalMs);
  if (width > coarsest) return null;
  const pile = largestPile(sorted, width);
  const steps = findSteps(frameTimesMs, pile.middleMs, grain);
  if (steps !== null) return steps;
  const share = (pile.end - pile.start) / sorted.length;
  if (
    share >= leastShare &&
    isUneventful(medians, pile, Math.max(tightest * typicalMs, grain)) &&
    countBelow(sorted, pile.lowMs * (1 - width)) <= mostFaster * sorted.length
  ) {
    return { rateFps: 1000 / pile.middleMs, timePct: 100 * timeShare(sorted, pile), kind: "value" };
  }
  return null;
}

interface Pile {
  readonly start: number;
  readonly end: number;
  readonly lowMs: number;
  readonly highMs: number;
  readonly middleMs: number;
}

/** The most values within a relative width of each other. */
function largestPile(sorted: Float64Array, width: number): Pile {
  let best = { start: 0, end: 0 };
  for (let start = 0, end = 0; start < sorted.length; start++) {
    const highest = (sorted[start] as number) * (1 + 2 * width);
    while (end < sorted.length && (sorted[end] as number) <= highest) end++;
    if (end - start > best.end - best.start) best = { start, end };
  }
  let sum = 0;
  for (let i = best.start; i < best.end; i++) sum += sorted[i] as number;
  return {
    ...best,
    lowMs: sorted[best.start] as number,
    highMs: sorted[best.end - 1] as number,
    middleMs: sum / (best.end - best.start),
  };
}

/**
 * What a scene asks for wanders, what a limiter adds is fresh from block to block. Steps between neighbours against the
 * spread about the middle, both as medians: 1.41 for fresh values, less for wandering ones (a robust form of the ratio
 * of von Neumann 1941, Annals of Mathematical Statistics 12, 367-395).
 */
function isUneventful(medians: Float64Array, { lowMs, highMs, middleMs }: Pile, tightMs: number): boolean {
  const steps: number[] = [];
  const distances: number[] = [];
  let before: number | null = null;
  for (const ms of medians) {
    if (ms < lowMs || ms > highMs) {
      before = null;
      continue;
    }
    distances.push(Math.abs(ms - middleMs));
    if (before !== null) steps.push(Math.abs(ms - before));
    before = ms;
  }
  if (steps.length === 0) return false;
  const spread = medianOf(distances);
  return spread <= tightMs || medianOf(steps) >= leastFresh * spread;
}

function medianOf(values: readonly number[]): number {
  return quantileType7(Float64Array.from(values).sort(), 0.5);
}

/** Values of the pile itself reach a little beyond its edge. */
function countBelow(sorted: Float64Array, limit: number): number {
  let count = 0;
  while (count < sorted.length && (sorted[count] as number) < limit) count++;
  return count;
}

function timeShare(sorted: Float64Array, { start, end }: Pile): number {
  let inside = 0;
  let all = 0;
  for (let i = 0; i < sorted.length; i++) {
    const ms = sorted[i] as number;
    all += ms;
    if (i >= start && i < end) inside += ms;
  }
  return inside / all;
}

/** How finely frame times are printed, as far as neighbours in a sample show it; no clock is finer than 1 ns. */
function printedGrain(frameTimesMs: Float64Array): number {
  const sample = frameTimesMs.slice(0, 512).sort();
  let grain = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sample.length; i++) {
    const step = (sample[i] as number) - (sample[i - 1] as number);
    if (step > 1e-6 && step < grain) grain = step;
  }
  return Number.isFinite(grain) ? grain : 0;
}

/** Whole multiples of one period, the piled-up value being one, two or three of them. */
function findSteps(frameTimesMs: Float64Array, pileMs: number, grain: number): PinnedRate | null {
  const stride = Math.ceil(frameTimesMs.length / mostSampled);
  const samples = Math.ceil(frameTimesMs.length / stride);
  for (const multiple of [1, 2, 3]) {
    const periodMs = pileMs / multiple;
    if (grain > periodMs * (stepSlack / 2)) return null;
    const onStep = new Float64Array(9);
    let off = 0;
    let onStepsMs = 0;
    let allMs = 0;
    for (let i = 0; i < frameTimesMs.length; i += stride) {
      const ms = frameTimesMs[i] as number;
      const periods = ms / periodMs;
      const whole = Math.round(periods);
      allMs += ms;
      if (whole < 1 || whole > 8 || Math.abs(periods - whole) > stepSlack) {
        // What follows cannot make up for more than these.
        if (++off > (1 - leastOnSteps) * samples + 1) break;
        continue;
      }
      onStep[whole] = (onStep[whole] as number) + 1;
      onStepsMs += ms;
    }
    const counts = [...onStep].sort((a, b) => b - a);
    const total = counts.reduce((sum, count) => sum + count, 0);
    if (total >= leastOnSteps * samples && (counts[1] as number) >= leastOnSecond * samples) {
      return { rateFps: 1000 / periodMs, timePct: (100 * onStepsMs) / allMs, kind: "steps" };
    }
  }
  return null;
}
