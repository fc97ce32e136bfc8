import { changePoints } from "./change-points.ts";
import { quantileType7 } from "./quantile.ts";
import { isConstant } from "./sensor-grid.ts";

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
 * @param grid the sensor on an even grid of time, above 0; read only
 * @param cellS seconds per cell
 * @param leastDrop such as 0.05
 * @returns null where nothing falls, or the sensor never changes
 */
export function findDrops(grid: Float64Array, cellS: number, leastDrop: number): Drops | null {
  const n = grid.length;
  if (n < 20 || isConstant(grid) || !grid.every((value) => value > 0)) return null;
  const logs = Float64Array.from(grid, Math.log);
  const noise = Math.max(leastNoise, noiseOf(logs));
  const middle = quantileType7(logs.slice().sort(), 0.5);
  const starts = changePoints(
    logs.map((log) => (log - middle) / noise),
    3 * Math.log(n),
    leastCells,
  );
  const levels = starts.map((start, i) => ({ start, end: starts[i + 1] ?? n, level: 0 }));
  for (const stretch of levels) stretch.level = meanOf(logs, stretch.start, stretch.end);

  const settled = startOfOrdinary(levels, n);
  const rest = levels.filter(({ start }) => start >= settled);
  const usual = upperQuartile(rest);
  const limit = usual + Math.log1p(-leastDrop);
  const low = new Uint8Array(n);
  for (const { start, end, level } of rest) if (level <= limit) low.fill(1, start, end);
  const stretches = runsOf(low).filter((run) => fallsIn(logs, low, run, Math.ceil(fallS / cellS), leastDrop));
  if (stretches.length === 0) return null;
  const cells = stretches.reduce((sum, { start, end }) => sum + end - start, 0);
  const depth =
    stretches.reduce((sum, { start, end }) => sum + (end - start) * meanOf(logs, start, end), 0) / cells;
  return { usual: Math.exp(usual), belowPct: -100 * Math.expm1(depth - usual), stretches };
}

interface Stretch extends Drop {
  readonly level: number;
}

/** Where the boost at the start is over: leading stretches that each lie above the next one, for a third at most. */
function startOfOrdinary(levels: readonly Stretch[], n: number): number {
  let first = 0;
  while (first + 1 < levels.length) {
    const { end, level } = levels[first] as Stretch;
    const after = levels.slice(first + 1);
    if (end > n / 3 || after.some((later) => later.level >= level)) break;
    first++;
  }
  return (levels[first] as Stretch).start;
}

/** The level that the highest quarter of the time reaches. */
function upperQuartile(stretches: readonly Stretch[]): number {
  const falling = [...stretches].sort((a, b) => b.level - a.level);
  const total = falling.reduce((sum, { start, end }) => sum + end - start, 0);
  let reached = 0;
  for (const { start, end, level } of falling) {
    reached += end - start;
    if (reached >= total / 4) return level;
  }
  return (falling.at(-1) as Stretch).level;
}

function runsOf(low: Uint8Array): Drop[] {
  const runs: Drop[] = [];
  for (let i = 0; i < low.length; i++) {
    if (low[i] === 0) continue;
    const start = i;
    while (i < low.length && low[i] === 1) i++;
    runs.push({ start, end: i });
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
  if (count === 0) return false;
  const after = meanOf(logs, start, Math.min(end, start + reach));
  return after - sum / count <= 0.8 * Math.log1p(-leastDrop);
}

function meanOf(values: Float64Array, start: number, end: number): number {
  let sum = 0;
  for (let i = start; i < end; i++) sum += values[i] as number;
  return sum / (end - start);
}

/** Standard deviation of the noise from neighbouring values, so that changes of level hardly count. */
function noiseOf(values: Float64Array): number {
  const steps = new Float64Array(values.length - 1);
  for (let i = 0; i < steps.length; i++) {
    steps[i] = Math.abs((values[i + 1] as number) - (values[i] as number));
  }
  return (1.4826 * quantileType7(steps.sort(), 0.5)) / Math.SQRT2;
}
