import { changePoints } from "./change-points.ts";
import { meanOf } from "./mean-of.ts";
import { quantileType7 } from "./quantile.ts";
import { stepsBetween } from "./steps-between.ts";

/** A stretch of a sensor well below what it usually reaches in the pass; places count cells of the grid. */
export interface Drop {
  readonly start: number;
  readonly end: number;
}

export interface Drops {
  /** The level that a quarter of the pass reaches. */
  readonly usual: number;
  /** How far the drops lie below it on average, in percent. */
  readonly belowPct: number;
  readonly stretches: readonly Drop[];
}

/** Fewer cells show no stretches. */
const leastLength = 20;
/** Cells that a stretch must last. */
const leastCells = 2;
/** Noise is never taken to be less than this share of the level: finer steps do not matter here. */
const leastNoise = 0.005;
/** A fall counts as one where it happens within about this long. */
const fallS = 3;

/**
 * Stretches in which a clock or a power falls by `leastDrop` or more below the pass's usual level, at once and not as
 * a slow ramp. What is normal is left out: a boost at the start that ends for good (its end is no fall but the
 * processor's ordinary pace), a low stretch at the very start, and a slow decline while the machine warms up.
 * Levels are those between change points (PELT, penalty 3 ln n); the noise is taken from neighbouring cells (median
 * absolute difference, Rousseeuw & Croux 1993, Journal of the American Statistical Association 88, 1273-1283).
 * @param grid the sensor on an even grid of time; read only
 * @param cellS seconds per cell
 * @param leastDrop such as 0.05
 * @returns null where nothing falls, or the sensor is not above 0 throughout
 */
export function findDrops(grid: Float64Array, cellS: number, leastDrop: number): Drops | null {
  const n = grid.length;
  if (n < leastLength || !grid.every((value) => value > 0)) return null;
  const logs = Float64Array.from(grid, Math.log);
  const noise = Math.max(leastNoise, noiseOf(logs));
  const starts = changePoints(
    logs.map((log) => log / noise),
    3 * Math.log(n),
    leastCells,
  );
  const stretchesOfLevel = starts.map((start, i) => {
    const end = starts[i + 1] ?? n;
    return { start, end, level: meanOf(logs.subarray(start, end)) };
  });
  const levels = new Float64Array(n);
  for (const { start, end, level } of stretchesOfLevel) levels.fill(level, start, end);

  const settled = startOfOrdinary(stretchesOfLevel, n);
  const usual = levelOfHighestQuarter(levels.subarray(settled));
  const limit = usual + Math.log1p(-leastDrop);
  const low = new Uint8Array(n);
  // The boost itself lies above all that follows, so that nothing of it is low.
  for (const { start, end, level } of stretchesOfLevel) if (level <= limit) low.fill(1, start, end);
  const stretches = runsOf(low).filter((run) => fallsIn(logs, low, run, Math.ceil(fallS / cellS), leastDrop));
  if (stretches.length === 0) return null;
  const cells = stretches.reduce((sum, { start, end }) => sum + end - start, 0);
  const depth =
    stretches.reduce((sum, { start, end }) => sum + (end - start) * meanOf(logs.subarray(start, end)), 0) /
    cells;
  return { usual: Math.exp(usual), belowPct: -100 * Math.expm1(depth - usual), stretches };
}

interface Stretch extends Drop {
  readonly level: number;
}

/** Where the boost at the start is over: leading stretches that each lie above all later ones, for a third at most. */
function startOfOrdinary(stretches: readonly Stretch[], n: number): number {
  const ordinary = stretches.find(
    ({ end, level }, i) => end > n / 3 || stretches.slice(i + 1).some((later) => later.level >= level),
  );
  // The last stretch ends the pass, so there is one.
  return (ordinary as Stretch).start;
}

/** The level that the highest quarter of the time reaches. */
function levelOfHighestQuarter(levels: Float64Array): number {
  const rising = levels.slice().sort();
  return rising[rising.length - Math.ceil(rising.length / 4)] as number;
}

function runsOf(low: Uint8Array): Drop[] {
  const runs: Drop[] = [];
  for (let start = low.indexOf(1); start >= 0; ) {
    const next = low.indexOf(0, start);
    const end = next < 0 ? low.length : next;
    runs.push({ start, end });
    start = low.indexOf(1, end);
  }
  return runs;
}

/** Whether a low stretch begins with a fall, from the ordinary cells just before it to its own first cells. */
function fallsIn(
  logs: Float64Array,
  low: Uint8Array,
  { start, end }: Drop,
  reach: number,
  leastDrop: number,
) {
  let sum = 0;
  let count = 0;
  // The cell right before may hold the fall itself.
  for (let i = Math.max(0, start - 1 - reach); i < start - 1; i++) {
    if (low[i] === 1) continue;
    sum += logs[i] as number;
    count++;
  }
  // Without an ordinary cell before it the level there is NaN, and nothing falls from it.
  const after = meanOf(logs.subarray(start, Math.min(end, start + reach)));
  return after - sum / count <= 0.8 * Math.log1p(-leastDrop);
}

/** Standard deviation of the noise from neighbouring values, so that changes of level hardly count. */
function noiseOf(values: Float64Array): number {
  const steps = stepsBetween(values).map(Math.abs);
  return (1.4826 * quantileType7(steps.sort(), 0.5)) / Math.SQRT2;
}
