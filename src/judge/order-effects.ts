import { mean, sampleVariance } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import type { Metric } from "../shared/metrics.ts";
import { holm } from "./adjust-p.ts";
import { groupByCell } from "./cells.ts";
import { tTest } from "./compare-cells.ts";
import { logOf, pctOfLog } from "./log-scale.ts";
import { type ScreenedMetric, screenedMetrics } from "./screen-passes.ts";

/** A tested difference: of first passes from the later ones of their cells, or per hour. */
interface OrderChange {
  readonly metric: Metric;
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
  readonly p: number;
  readonly pAdjusted: number;
}

/** A systematic effect of the order of passes, over the whole session. */
export type OrderEffect = OrderChange & { readonly kind: "first-pass" | "drift" };

/** A test of order. First passes can neither feign nor hide a drift over the later passes alone. */
export type OrderTest = OrderChange & { readonly kind: "first-pass" | "drift" | "later-drift" };

/** What is told: effects, or that there is one of the two and nobody can say which. */
export type OrderFinding =
  | OrderEffect
  | {
      readonly kind: "first-pass-or-drift";
      readonly metric: Metric;
      readonly firstPass: OrderChange;
      readonly drift: OrderChange;
    };

/** When each pass began, in hours since the first; null where neither logs nor files tell. */
export type PassTimes = ReadonlyMap<PassSummary, number> | null;

/** Fewer cells than this say nothing about an evening. Common practice, no source. */
export const fewestCells = 4;

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
 * Slow first passes look a little like a drift, and a drift like slow first passes; one that speeds up what the other
 * slows down can hide it. The later passes alone tell a drift from both, and the first passes are then looked at with
 * it taken off. Where that cannot part them in any metric, it is told that one of the two is there.
 * @param passes counted passes; with `times` null their names tell the order within a cell, and drift is not tested
 * @returns what is beyond chance at this confidence
 */
export function findOrderEffects(
  passes: readonly PassSummary[],
  times: PassTimes,
  confidence: number,
): OrderFinding[] {
  const cells = cellsInOrder(passes, times);
  const found = testOrderEffects(cells, times, confidence).filter((test) => test.pAdjusted <= 1 - confidence);
  const told = screenedMetrics.flatMap((metric): OrderFinding[] => {
    const of = (kind: OrderTest["kind"]): OrderTest | undefined =>
      found.find((test) => test.metric === metric && test.kind === kind);
    const [firstPass, drift, laterDrift] = [of("first-pass"), of("drift"), of("later-drift")];
    const alone = (): OrderEffect[] => findFirstPassAlone(cells, times, metric, confidence);
    if (laterDrift !== undefined) return [...alone(), { ...laterDrift, kind: "drift" }];
    if (firstPass === undefined) return drift === undefined ? [] : [{ ...drift, kind: "drift" }];
    if (drift === undefined) return [{ ...firstPass, kind: "first-pass" }];
    const [effect] = alone();
    return [effect ?? { kind: "first-pass-or-drift", metric, firstPass, drift }];
  });
  const known = told.filter(({ kind }) => kind !== "first-pass-or-drift");
  return known.length > 0 ? known : told;
}

/** Passes of one cell and boot, in the order of their times, else of their names. */
export function cellsInOrder(passes: readonly PassSummary[], times: PassTimes): PassSummary[][] {
  return groupByCell(passes, (pass) => pass)
    .flatMap(splitByBoot)
    .map((cell) => sortByTime(cell, times));
}

/** Each kind of effect by itself, as if the other were not there. */
export function testOrderEffects(
  cells: readonly PassSummary[][],
  times: PassTimes,
  confidence: number,
): OrderTest[] {
  const later = cells.map((cell) => cell.slice(1));
  const tests = screenedMetrics.flatMap((metric) => [
    testFirstPass(cells, metric, confidence),
    ...(times === null
      ? []
      : [
          testDrift(cells, times, metric, confidence, "drift"),
          testDrift(later, times, metric, confidence, "later-drift"),
        ]),
  ]);
  const made = tests.filter((test) => test !== null);
  const adjusted = holm(made.map(({ p }) => p));
  return made.map((test, i) => ({ ...test, pAdjusted: adjusted[i] as number }));
}

/** First passes with the drift of the later ones taken off, where they are beyond chance (Bonferroni over metrics). */
function findFirstPassAlone(
  cells: readonly PassSummary[][],
  times: PassTimes,
  metric: ScreenedMetric,
  confidence: number,
): OrderEffect[] {
  if (times === null) return [];
  const drift = fitDrift(
    cells.map((cell) => cell.slice(1)),
    times,
    metric,
  );
  const alone = drift === null ? null : testFirstPass(cells, metric, confidence, { times, drift });
  if (alone === null) return [];
  const pAdjusted = Math.min(1, screenedMetrics.length * alone.p);
  return pAdjusted <= 1 - confidence ? [{ ...alone, kind: "first-pass", pAdjusted }] : [];
}

function splitByBoot(cell: readonly PassSummary[]): PassSummary[][] {
  return [...new Set(cell.map(({ boot }) => boot))].map((boot) => cell.filter((pass) => pass.boot === boot));
}

type Test = Omit<OrderTest, "pAdjusted"> | null;

function sortByTime(cell: readonly PassSummary[], times: PassTimes): PassSummary[] {
  return [...cell].sort((a, b) =>
    times === null
      ? compareNames(a.pass, b.pass)
      : (times.get(a) as number) - (times.get(b) as number) || compareNames(a.pass, b.pass),
  );
}

/** An estimate on the log scale, with the variance and degrees of freedom of its error. */
interface Estimate {
  readonly estimate: number;
  readonly variance: number;
  readonly df: number;
}

/**
 * One-sample t over cells of (first pass - mean of the later ones).
 * @param without a drift to take off first, its own uncertainty carried along (Satterthwaite 1946)
 */
function testFirstPass(
  cells: readonly PassSummary[][],
  metric: ScreenedMetric,
  confidence: number,
  without: { readonly times: NonNullable<PassTimes>; readonly drift: Estimate } | null = null,
): Test {
  const differences = cells.flatMap((cell) => {
    const points = cell.map((pass) => ({ x: without?.times.get(pass) ?? 0, y: logOf(pass[metric]) }));
    const [first, ...later] = points;
    const known = later.filter(({ y }) => y !== null);
    if (first === undefined || first.y === null || known.length < 2) return [];
    return [
      { x: first.x - mean(known.map(({ x }) => x)), y: first.y - mean(known.map(({ y }) => y as number)) },
    ];
  });
  if (differences.length < fewestCells) return null;
  const slope = without?.drift.estimate ?? 0;
  const alone = differences.map(({ x, y }) => y - slope * x);
  const n = alone.length;
  const own = sampleVariance(alone) / n;
  if (!(own > 0)) return null;
  const lent = mean(differences.map(({ x }) => x)) ** 2 * (without?.drift.variance ?? 0);
  const variance = own + lent;
  const df = variance ** 2 / (own ** 2 / (n - 1) + lent ** 2 / (without?.drift.df ?? 1));
  return testEstimate("first-pass", metric, { estimate: mean(alone), variance, df }, confidence);
}

/**
 * Slope of the logs on time within cells, its standard error robust to cells that differ in noise. Often one cell
 * spans far more time than the others (a pass captured again later) and nearly fixes the slope: its residual must be
 * scaled for that, and few degrees of freedom are left.
 * @see Liang & Zeger 1986, Biometrika 73:13; Bell & McCaffrey 2002, Survey Methodology 28:169, for the scaling (CR2)
 *   and the degrees of freedom
 */
function fitDrift(
  cells: readonly PassSummary[][],
  times: NonNullable<PassTimes>,
  metric: ScreenedMetric,
): Estimate | null {
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
  return { estimate: slope, variance, df };
}

function testEstimate(
  kind: OrderTest["kind"],
  metric: Metric,
  { estimate, variance, df }: Estimate,
  confidence: number,
): Omit<OrderTest, "pAdjusted"> {
  const { p, low, high } = tTest(estimate, Math.sqrt(variance), df, confidence);
  return { kind, metric, changePct: pctOfLog(estimate), lowPct: pctOfLog(low), highPct: pctOfLog(high), p };
}

function testDrift(
  cells: readonly PassSummary[][],
  times: NonNullable<PassTimes>,
  metric: ScreenedMetric,
  confidence: number,
  kind: "drift" | "later-drift",
): Test {
  const drift = fitDrift(cells, times, metric);
  return drift === null ? null : testEstimate(kind, metric, drift, confidence);
}
