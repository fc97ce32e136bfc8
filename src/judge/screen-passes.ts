import { mean, median, sampleVariance } from "simple-statistics";
import { medianOfF, studentTCdf } from "./distributions.ts";
import { varianceFloor } from "./pair-variance.ts";

/** Chance that a clean session loses any pass. */
export const screenLevel = 0.05;
/** The session's typical variance counts as this many degrees of freedom: a deliberately weak belief. */
export const beliefDf = 3;
const mostRounds = 20;

/** Metrics on which passes are screened; the 0.1% low is too noisy to help. */
export const screenedMetrics = ["avgFps", "low1Fps"] as const;
export type ScreenedMetric = (typeof screenedMetrics)[number];

/** One pass as the screen sees it: natural logs, null where the metric is missing. */
export type ScreenedPass = Readonly<Record<ScreenedMetric, number | null>>;

export interface ScreenResult {
  /** Same shape as the cells: true for a pass to set aside. */
  readonly setAside: readonly (readonly boolean[])[];
  /** Family-adjusted p of each pass, one-sided towards slow; null where a pass was not tested. */
  readonly p: readonly (readonly (number | null)[])[];
  /** Passes that are faster than all others of their cell by more than chance allows; they count. */
  readonly unusuallyFast: readonly (readonly boolean[])[];
  /** Cells in which nobody can tell which passes are right. */
  readonly disagree: readonly boolean[];
  /** Typical variance per metric in the last round; null where too few cells have passes to compare. */
  readonly typicalVariance: Readonly<Record<ScreenedMetric, number | null>>;
  readonly family: number;
  readonly rounds: number;
}

interface RoundTests {
  /** Per metric and cell, the passes (by index) found too slow. */
  readonly marked: boolean[][];
  readonly p: (number | null)[][];
}

/**
 * Finds passes that are slower than the other passes of their cell by more than chance allows. Only slow passes:
 * what spoils a pass slows it. Testing inwards, from several lowest passes to one, stops two bad passes from hiding
 * each other (the idea of Rosner 1983, Technometrics 25:165); the yardstick is each cell's own spread, steadied by
 * the session's typical one.
 * @param cells the passes of each cell; order changes nothing but the order of the results
 * @param capped per cell, whether a frame cap held its passes: they hardly vary, and as the yardstick of the others
 *   would make every ordinary pass look slow
 */
export function screenPasses(
  cells: readonly (readonly ScreenedPass[])[],
  capped: readonly boolean[] = [],
): ScreenResult {
  const values = Object.fromEntries(
    screenedMetrics.map((metric) => [metric, cells.map((cell) => finiteValues(cell, metric))]),
  ) as Record<ScreenedMetric, IndexedValue[][]>;
  const family = screenedMetrics.reduce(
    (sum, metric) => sum + values[metric].reduce((n, cell) => n + (cell.length >= 3 ? cell.length : 0), 0),
    0,
  );

  let setAside = cells.map((cell) => cell.map(() => false));
  let disagree = cells.map(() => false);
  let typical: Record<ScreenedMetric, number | null> = { avgFps: null, low1Fps: null };
  let tests: RoundTests = { marked: [], p: [] };
  let rounds = 0;
  for (let changed = true; changed && rounds < mostRounds; rounds++) {
    typical = {
      avgFps: typicalVariance(values.avgFps, setAside, capped),
      low1Fps: typicalVariance(values.low1Fps, setAside, capped),
    };
    tests = testRound(cells, values, typical, family);
    disagree = cells.map((cell, i) => {
      const marked = tests.marked[i] as boolean[];
      const left = marked.filter((isMarked, j) => !isMarked && !setAside[i]?.[j]).length;
      // Of three or more; cells with fewer are not tested.
      if (left > cell.length / 2) return false;
      const any = marked.some(Boolean);
      marked.fill(false);
      return any;
    });
    changed = false;
    setAside = setAside.map((cell, i) =>
      cell.map((already, j) => {
        if (already || !tests.marked[i]?.[j]) return already;
        changed = true;
        return true;
      }),
    );
  }

  return {
    setAside,
    p: tests.p,
    unusuallyFast: findUnusuallyFast(cells, values, typical, family),
    disagree: disagree.map((found, i) => found || pairDisagrees(i, values, typical)),
    typicalVariance: typical,
    family,
    rounds,
  };
}

interface IndexedValue {
  readonly index: number;
  readonly y: number;
}

function finiteValues(cell: readonly ScreenedPass[], metric: ScreenedMetric): IndexedValue[] {
  return cell.flatMap((pass, index) => {
    const y = pass[metric];
    return y === null ? [] : [{ index, y }];
  });
}

/** Cells that say what is typical: fewer say nothing. */
const fewestCells = 3;

/** Of the cells without a frame cap where there are enough of them, else of all. */
function typicalVariance(
  cells: readonly IndexedValue[][],
  setAside: readonly boolean[][],
  capped: readonly boolean[],
): number | null {
  // Most cells have as many passes as others.
  const medians = new Map<number, number>();
  const scaled = cells.flatMap((cell, i) => {
    const kept = cell.filter(({ index }) => !setAside[i]?.[index]).map(({ y }) => y);
    if (kept.length < 2) return [];
    const expected = medians.get(kept.length) ?? medianOfF(kept.length - 1, beliefDf);
    medians.set(kept.length, expected);
    const variance = Math.max(sampleVariance(kept), varianceFloor) / expected;
    return [{ variance, isCapped: capped[i] === true }];
  });
  const free = scaled.filter(({ isCapped }) => !isCapped);
  const used = (free.length < fewestCells ? scaled : free).map(({ variance }) => variance);
  return used.length < fewestCells ? null : median(used);
}

/** Where one value stands against two others or more: the externally studentised residual with a steadied variance. */
function deletedResidual(
  y: number,
  others: readonly number[],
  typical: number,
): { statistic: number; df: number } {
  const r = others.length;
  const own = (r - 1) * sampleVariance([...others]);
  const df = r - 1 + beliefDf;
  const variance = (own + beliefDf * typical) / df;
  return { statistic: (y - mean([...others])) / Math.sqrt(variance * (1 + 1 / r)), df };
}

function testRound(
  cells: readonly (readonly ScreenedPass[])[],
  values: Readonly<Record<ScreenedMetric, IndexedValue[][]>>,
  typical: Readonly<Record<ScreenedMetric, number | null>>,
  family: number,
): RoundTests {
  const marked = cells.map((cell) => cell.map(() => false));
  const p = cells.map((cell) => cell.map((): number | null => null));
  for (const metric of screenedMetrics) {
    const yardstick = typical[metric];
    if (yardstick === null) continue;
    values[metric].forEach((cell, i) => {
      const rising = [...cell].sort((a, b) => a.y - b.y);
      let decidedBy = 0;
      let decidingP = 1;
      // Fewer than half: of one or two passes none.
      for (let j = Math.floor((cell.length - 1) / 2); j >= 1; j--) {
        const { index, y } = rising[j - 1] as IndexedValue;
        const { statistic, df } = deletedResidual(
          y,
          rising.slice(j).map((other) => other.y),
          yardstick,
        );
        const adjusted = Math.min(1, studentTCdf(statistic, df) * family);
        lower(p[i] as (number | null)[], index, adjusted);
        if (decidedBy === 0 && adjusted <= screenLevel) {
          decidedBy = j;
          decidingP = adjusted;
        }
      }
      for (const { index } of rising.slice(0, decidedBy)) {
        (marked[i] as boolean[])[index] = true;
        lower(p[i] as (number | null)[], index, decidingP);
      }
    });
  }
  return { marked, p };
}

function lower(p: (number | null)[], index: number, value: number): void {
  const before = p[index] ?? null;
  p[index] = before === null ? value : Math.min(before, value);
}

function findUnusuallyFast(
  cells: readonly (readonly ScreenedPass[])[],
  values: Readonly<Record<ScreenedMetric, IndexedValue[][]>>,
  typical: Readonly<Record<ScreenedMetric, number | null>>,
  family: number,
): boolean[][] {
  const fast = cells.map((cell) => cell.map(() => false));
  for (const metric of screenedMetrics) {
    const yardstick = typical[metric];
    if (yardstick === null) continue;
    values[metric].forEach((cell, i) => {
      if (cell.length < 3) return;
      const rising = [...cell].sort((a, b) => a.y - b.y);
      const highest = rising.pop() as IndexedValue;
      const { statistic, df } = deletedResidual(
        highest.y,
        rising.map(({ y }) => y),
        yardstick,
      );
      if (studentTCdf(-statistic, df) * family <= screenLevel) (fast[i] as boolean[])[highest.index] = true;
    });
  }
  return fast;
}

/** With two passes nobody can tell which one is wrong, only that they are further apart than chance allows. */
function pairDisagrees(
  cellIndex: number,
  values: Readonly<Record<ScreenedMetric, IndexedValue[][]>>,
  typical: Readonly<Record<ScreenedMetric, number | null>>,
): boolean {
  const pairs = screenedMetrics.reduce(
    (sum, metric) => sum + values[metric].filter((cell) => cell.length === 2).length,
    0,
  );
  return screenedMetrics.some((metric) => {
    const yardstick = typical[metric];
    const cell = values[metric][cellIndex] as IndexedValue[];
    if (yardstick === null || cell.length !== 2) return false;
    const distance = Math.abs((cell[0] as IndexedValue).y - (cell[1] as IndexedValue).y);
    return 2 * studentTCdf(-distance / Math.sqrt(2 * yardstick), beliefDf) * pairs <= screenLevel;
  });
}
