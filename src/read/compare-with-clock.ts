import { takeMedian } from "./head-columns.ts";

/** How well a column of durations fits the steps of a clock. */
export interface Agreement {
  /** Clock units in one unit of the durations. A power of 1,000 when it is within 2% of one. */
  readonly ratio: number;
  readonly ratioIsUnit: boolean;
  /** 0: a row's clock is the end of its frame; 1: its start. */
  readonly lag: 0 | 1;
  /** Share of the rows (or of groups of rows, where the clock is coarse) whose step equals the duration. */
  readonly rowShare: number;
  /** Sum of the durations in clock units over the clock's span. */
  readonly sumRatio: number;
  /** Comparisons made. */
  readonly compared: number;
  /** Rows taken together in one comparison. */
  readonly rowsTogether: number;
}

/** A clock's step and a duration may differ by this share beyond what their printed digits explain. */
const slack = 0.003;
/** A ratio this near a power of 1,000 is one. */
const unitSlack = 0.02;

/**
 * Compares durations with the steps of a clock over the same rows, both raw, at lag 0 and 1, and gives the better
 * fit; null where there is nothing to compare. Rows with NaN, and steps backwards, are passed over.
 */
export function compareWithClock(
  durations: Float64Array,
  durationPrecision: number,
  clock: Float64Array,
  clockPrecision: number,
): Agreement | null {
  const atEnd = compareAtLag(durations, durationPrecision, clock, clockPrecision, 0);
  const atStart = compareAtLag(durations, durationPrecision, clock, clockPrecision, 1);
  if (atEnd === null || atStart === null) return atEnd ?? atStart;
  // One pair of rows agrees in some ratio always; a ratio of units is no accident.
  if (atStart.ratioIsUnit !== atEnd.ratioIsUnit && Math.min(atStart.rowShare, atEnd.rowShare) > 0.9) {
    return atStart.ratioIsUnit ? atStart : atEnd;
  }
  return atStart.rowShare > atEnd.rowShare ? atStart : atEnd;
}

function compareAtLag(
  durations: Float64Array,
  durationPrecision: number,
  clock: Float64Array,
  clockPrecision: number,
  lag: 0 | 1,
): Agreement | null {
  const rows = Math.max(0, clock.length - 1);
  const steps = new Float64Array(rows).fill(Number.NaN);
  const lengths = new Float64Array(rows).fill(Number.NaN);
  const ratios = new Float64Array(rows);
  const known = new Float64Array(rows);
  let pairs = 0;
  let stepSum = 0;
  let lengthSum = 0;
  for (let i = 0; i < rows; i++) {
    const step = (clock[i + 1] as number) - (clock[i] as number);
    const length = durations[i + 1 - lag] ?? Number.NaN;
    // NaN fails both comparisons.
    if (!(step >= 0 && length > 0)) continue;
    steps[i] = step;
    lengths[i] = length;
    known[pairs] = length;
    ratios[pairs++] = step / length;
    stepSum += step;
    lengthSum += length;
  }
  const spanRatio = stepSum / lengthSum;
  // NaN where there is no pair.
  if (!(spanRatio > 0) || !Number.isFinite(spanRatio)) return null;
  const { ratio, isUnit } = nearestUnit(takeMedian(ratios.subarray(0, pairs)), spanRatio);

  // One absurd duration spoils the sums.
  const usualStep = (isUnit ? ratio : spanRatio) * takeMedian(known.subarray(0, pairs));
  // A coarse clock says nothing about one frame, but all the more about many.
  const rowsTogether = Math.max(1, Math.ceil((4 * clockPrecision) / usualStep));
  let compared = 0;
  let agreed = 0;
  for (let from = 0; from + rowsTogether <= steps.length; from += rowsTogether) {
    let step = 0;
    let length = 0;
    for (let i = from; i < from + rowsTogether; i++) {
      step += steps[i] as number;
      length += (lengths[i] as number) * ratio;
    }
    if (Number.isNaN(step + length)) continue;
    compared++;
    const printed = clockPrecision + 0.5 * durationPrecision * ratio * rowsTogether;
    if (Math.abs(step - length) <= 1.001 * printed + slack * length + 1e-9 * step) agreed++;
  }
  return {
    ratio,
    ratioIsUnit: isUnit,
    lag,
    rowShare: compared === 0 ? 0 : agreed / compared,
    sumRatio: (lengthSum * ratio) / stepSum,
    compared,
    rowsTogether,
  };
}

/** The usual ratio first: lost rows spoil sums; then the sums': a coarse clock spoils single rows. */
function nearestUnit(usual: number, ofSums: number): { ratio: number; isUnit: boolean } {
  for (const ratio of [usual, ofSums]) {
    if (!(ratio > 0)) continue;
    const power = 1000 ** Math.round(Math.log10(ratio) / 3);
    if (Math.abs(ratio / power - 1) <= unitSlack) return { ratio: power, isUnit: true };
  }
  return { ratio: usual > 0 ? usual : ofSums, isUnit: false };
}
