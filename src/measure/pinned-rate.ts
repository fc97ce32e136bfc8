import { sumFrameTimes } from "./frame-rate.ts";
import { findLargestPile } from "./largest-pile.ts";
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
/** A frame that waits longer than this is an event of its own. */
const mostPeriods = 8;
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
  const { start, end } = findLargestPile(sorted, 2 * width);
  const pile = sorted.subarray(start, end);
  const middleMs = sumFrameTimes(pile) / pile.length;
  const steps = findSteps(frameTimesMs, middleMs, grain);
  if (steps !== null) return steps;
  // Values of the pile itself reach a little beyond its edge.
  const faster = countBelow(sorted, (pile[0] as number) * (1 - width));
  if (
    pile.length >= leastShare * sorted.length &&
    faster <= mostFaster * sorted.length &&
    isUneventful(medians, pile.at(-1) as number, middleMs, Math.max(tightest * typicalMs, grain))
  ) {
    const timePct = (100 * sumFrameTimes(pile)) / sumFrameTimes(sorted);
    return { rateFps: 1000 / middleMs, timePct, kind: "value" };
  }
  return null;
}

/**
 * What a scene asks for wanders, what a limiter adds is fresh from block to block. Steps between neighbours against the
 * spread about the middle, both as medians: 1.41 for fresh values, less for wandering ones (a robust form of the ratio
 * of von Neumann 1941, Annals of Mathematical Statistics 12, 367-395).
 */
function isUneventful(medians: Float64Array, highMs: number, middleMs: number, tightMs: number): boolean {
  const steps: number[] = [];
  const distances: number[] = [];
  let before: number | null = null;
  for (const ms of medians) {
    // The few below the pile hardly move a median.
    if (ms > highMs) {
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

/** The values from `limit` on are not looked at; there must be one. */
function countBelow(sorted: Float64Array, limit: number): number {
  let count = 0;
  while ((sorted[count] as number) < limit) count++;
  return count;
}

/** How finely frame times are printed, as far as neighbours in a sample show it; no clock is finer than 1 ns. */
function printedGrain(frameTimesMs: Float64Array): number {
  const sample = frameTimesMs.slice(0, 512).sort();
  let grain = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sample.length; i++) {
    const step = (sample[i] as number) - (sample[i - 1] as number);
    if (step > 1e-6) grain = Math.min(grain, step);
  }
  return Number.isFinite(grain) ? grain : 0;
}

/** Whole multiples of one period, the piled-up value being one, two or three of them. */
function findSteps(frameTimesMs: Float64Array, pileMs: number, grain: number): PinnedRate | null {
  for (const multiple of [1, 2, 3]) {
    const periodMs = pileMs / multiple;
    if (grain > periodMs * (stepSlack / 2)) return null;
    const timePct = timeOnSteps(frameTimesMs, periodMs);
    if (timePct !== null) return { rateFps: 1000 / periodMs, timePct, kind: "steps" };
  }
  return null;
}

/** Percent of the time in frames that last whole periods; null where too few do, or nearly all last equally many. */
function timeOnSteps(frameTimesMs: Float64Array, periodMs: number): number | null {
  const stride = Math.ceil(frameTimesMs.length / mostSampled);
  const samples = Math.ceil(frameTimesMs.length / stride);
  const mostOff = samples - leastOnSteps * samples;
  const counts = new Float64Array(mostPeriods + 1);
  let off = 0;
  let onStepsMs = 0;
  let allMs = 0;
  for (let i = 0; i < frameTimesMs.length; i += stride) {
    const ms = frameTimesMs[i] as number;
    const periods = ms / periodMs;
    const whole = Math.round(periods);
    allMs += ms;
    if (whole < 1 || whole > mostPeriods || Math.abs(periods - whole) > stepSlack) {
      if (++off > mostOff) return null;
      continue;
    }
    counts[whole] = (counts[whole] as number) + 1;
    onStepsMs += ms;
  }
  const second = counts.sort().at(-2) as number;
  return second >= leastOnSecond * samples ? (100 * onStepsMs) / allMs : null;
}
