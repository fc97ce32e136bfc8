import { mean } from "simple-statistics";
import type { Metric, PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import { holm } from "./adjust-p.ts";
import { tTest } from "./compare-cells.ts";
import { groupByCell, logOf } from "./mark-passes.ts";
import { screenedMetrics } from "./screen-passes.ts";

/** A systematic effect of the order of passes, over the whole session. */
export interface OrderEffect {
  readonly kind: "first-pass" | "drift";
  readonly metric: Metric;
  /** The first pass against the later ones of its cell, or the change per hour. */
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
  readonly p: number;
  readonly pAdjusted: number;
}

/** When each pass began, in hours since the first; null where neither logs nor files tell. */
export type PassTimes = ReadonlyMap<PassSummary, number> | null;

/** Fewer cells than this say nothing about an evening. Common practice, no source. */
const fewestCells = 4;

/**
 * When the passes began: by the logs' own clock, else by the files' times, if these lie as far apart as passes must
 * (copying or unpacking a folder gives all files nearly one time).
 */
export function timePasses(passes: readonly PassSummary[]): PassTimes {
  const byClock = passes.map(({ startedAt }) =>
    // biome-ignore lint/style/noRestrictedGlobals: reading a given time is a pure function
    startedAt === null ? Number.NaN : Date.parse(startedAt),
  );
  const byFile = passes.map(({ writtenAtMs, seconds }) =>
    writtenAtMs == null ? Number.NaN : writtenAtMs - 1000 * seconds,
  );
  const startsMs = byClock.every(Number.isFinite) ? byClock : areApart(passes, byFile) ? byFile : null;
  if (startsMs === null || startsMs.length === 0) return null;
  const firstMs = Math.min(...startsMs);
  return new Map(passes.map((pass, i) => [pass, ((startsMs[i] as number) - firstMs) / 3_600_000]));
}

function areApart(passes: readonly PassSummary[], startsMs: readonly number[]): boolean {
  if (!startsMs.every(Number.isFinite)) return false;
  const rising = passes
    .map(({ seconds }, i) => ({ startMs: startsMs[i] as number, lengthMs: 1000 * seconds }))
    .sort((a, b) => a.startMs - b.startMs);
  // A little slack: a capture is written a moment after its last frame.
  return rising.every(({ startMs, lengthMs }, i) => {
    const next = rising[i + 1];
    return next === undefined || next.startMs - startMs >= 0.9 * lengthMs;
  });
}

/** Whether every game had all passes of one config before the next config: then order and config look alike. */
export function isBlocked(passes: readonly PassSummary[], times: PassTimes): boolean {
  if (times === null) return false;
  const byTime = [...passes].sort((a, b) => (times.get(a) as number) - (times.get(b) as number));
  const games = [...new Set(passes.map(({ game }) => game))];
  const told = games.flatMap((game) => {
    const sequence = byTime.filter((pass) => pass.game === game).map(({ config }) => config);
    const runs = sequence.filter((config, i) => config !== sequence[i - 1]).length;
    const configs = new Set(sequence).size;
    // A game with one config, or one pass of each, shows no order.
    return configs > 1 && sequence.length > configs ? [runs === configs] : [];
  });
  return told.length > 0 && told.every(Boolean);
}

/**
 * Is the first pass of a cell systematically different from the later ones (caches, shaders), and does the session
 * drift from hour to hour? Cells are the units, so that one noisy game cannot decide; Holm over all tests made.
 * Where boots are known, the passes of one boot in a cell are a unit: what differs between boots is no order.
 * @param passes counted passes; with `times` null their names tell the order within a cell, and drift is not tested
 */
export function findOrderEffects(
  passes: readonly PassSummary[],
  times: PassTimes,
  confidence: number,
): OrderEffect[] {
  const cells = groupByCell(passes, (pass) => pass)
    .flatMap(splitByBoot)
    .map((cell) => sortByTime(cell, times));
  const tests = screenedMetrics.flatMap((metric) => [
    testFirstPass(cells, metric, confidence),
    ...(times === null ? [] : [testDrift(cells, times, metric, confidence)]),
  ]);
  const made = tests.filter((test) => test !== null);
  const adjusted = holm(made.map(({ p }) => p));
  return made.map((test, i) => ({ ...test, pAdjusted: adjusted[i] as number }));
}

function splitByBoot(cell: readonly PassSummary[]): PassSummary[][] {
  return [...new Set(cell.map(({ boot }) => boot))].map((boot) => cell.filter((pass) => pass.boot === boot));
}

type Test = Omit<OrderEffect, "pAdjusted"> | null;

function sortByTime(cell: readonly PassSummary[], times: PassTimes): PassSummary[] {
  return [...cell].sort((a, b) =>
    times === null
      ? compareNames(a.pass, b.pass)
      : (times.get(a) as number) - (times.get(b) as number) || compareNames(a.pass, b.pass),
  );
}

/** One-sample t over cells of (first pass - mean of the later ones). */
function testFirstPass(
  cells: readonly PassSummary[][],
  metric: "avgFps" | "low1Fps",
  confidence: number,
): Test {
  const differences = cells.flatMap((cell) => {
    const y = cell.map((pass) => logOf(pass[metric]));
    const [first, ...later] = y;
    const known = later.filter((value) => value !== null);
    return first === null || first === undefined || known.length < 2 ? [] : [first - mean(known)];
  });
  if (differences.length < fewestCells) return null;
  const n = differences.length;
  const estimate = mean(differences);
  const variance = differences.reduce((sum, d) => sum + (d - estimate) ** 2, 0) / (n - 1);
  if (!(variance > 0)) return null;
  const { p, low, high } = tTest(estimate, Math.sqrt(variance / n), n - 1, confidence);
  return asTest("first-pass", metric, estimate, low, high, p);
}

/**
 * Slope of the logs on time within cells, its standard error robust to cells that differ in noise. Often one cell
 * spans far more time than the others (a pass captured again later) and nearly fixes the slope: its residual must be
 * scaled for that, and few degrees of freedom are left.
 * @see Liang & Zeger 1986, Biometrika 73:13; Bell & McCaffrey 2002, Survey Methodology 28:169, for the scaling (CR2)
 *   and the degrees of freedom
 */
function testDrift(
  cells: readonly PassSummary[][],
  times: NonNullable<PassTimes>,
  metric: "avgFps" | "low1Fps",
  confidence: number,
): Test {
  const centred = cells
    .map((cell) => {
      const points = cell.flatMap((pass) => {
        const y = logOf(pass[metric]);
        return y === null ? [] : [{ x: times.get(pass) as number, y }];
      });
      if (points.length < 2) return [];
      const x = mean(points.map((point) => point.x));
      const y = mean(points.map((point) => point.y));
      return points.map((point) => ({ x: point.x - x, y: point.y - y }));
    })
    .filter((points) => points.length > 0);
  const spread = centred.flat().reduce((sum, { x }) => sum + x * x, 0);
  if (centred.length < fewestCells || !(spread > 0)) return null;
  const slope = centred.flat().reduce((sum, { x, y }) => sum + x * y, 0) / spread;
  const clusters = centred.map((points) => ({
    share: points.reduce((sum, { x }) => sum + x * x, 0) / spread,
    score: points.reduce((sum, { x, y }) => sum + x * (y - slope * x), 0),
  }));
  // One cell alone spans time: nothing is left to tell its noise from a slope.
  if (clusters.some(({ share }) => share > 1 - 1e-9)) return null;
  const variance =
    clusters.reduce((sum, { share, score }) => sum + score ** 2 / (1 - share), 0) / spread ** 2;
  if (!(variance > 0)) return null;
  const squares = clusters.reduce((sum, { share }) => sum + share ** 2, 0);
  const pulls = clusters.map(({ share }) => share ** 2 / (1 - share));
  const pull = pulls.reduce((sum, q) => sum + q, 0);
  const df = 1 / (squares + pull ** 2 - pulls.reduce((sum, q) => sum + q ** 2, 0));
  const { p, low, high } = tTest(slope, Math.sqrt(variance), df, confidence);
  return asTest("drift", metric, slope, low, high, p);
}

function asTest(
  kind: OrderEffect["kind"],
  metric: Metric,
  estimate: number,
  low: number,
  high: number,
  p: number,
): Omit<OrderEffect, "pAdjusted"> {
  const pct = (log: number): number => 100 * Math.expm1(log);
  return { kind, metric, changePct: pct(estimate), lowPct: pct(low), highPct: pct(high), p };
}
