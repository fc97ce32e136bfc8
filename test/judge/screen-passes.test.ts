import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type ScreenedPass, screenPasses } from "../../src/judge/screen-passes.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";
import { seededRandom } from "../support/seeded-random.ts";

interface Row {
  readonly game: string;
  readonly config: string;
  readonly avg: number;
  readonly low1: number;
}
interface Round {
  readonly typicalVariance: [number, number];
  readonly family: number;
  readonly tests: { row: number; lowest: number; pAdjusted: number }[];
  readonly setAside: number[];
}
const { cases } = readReference<{ cases: { passes: Row[]; rounds: Round[]; setAside: number[] }[] }>(
  "fixtures/reference/outliers.json",
);

interface SessionFile {
  readonly about: string;
  readonly passTable: {
    game: string;
    config: string;
    pass: string;
    avgFps: number | null;
    low1Fps: number | null;
  }[];
  readonly settings: { keepAll: boolean; setAside: string[] };
  readonly passes: {
    counted: boolean;
    screenP: number | null;
    unusuallyFast: boolean;
    passesDisagree: boolean;
  }[];
}
const sessions = ["uneven", "three-hide-each-other", "half-the-cell", "frame-cap", "one-pass-each"].map(
  (name) => ({
    name,
    ...readReference<SessionFile>(`test/reference/sessions/${name}.json`),
  }),
);

const logs = (avg: number | null, low1: number | null): ScreenedPass => ({
  avgFps: avg === null ? null : Math.log(avg),
  low1Fps: low1 === null ? null : Math.log(low1),
});

/** Rows by cell, with a way back: `rowOf[cell][i]` is the row's index. */
function groupRows(rows: readonly { game: string; config: string }[]): number[][] {
  const byCell = new Map<string, number[]>();
  rows.forEach(({ game, config }, i) => {
    const key = `${game}/${config}`;
    byCell.set(key, [...(byCell.get(key) ?? []), i]);
  });
  return [...byCell.values()];
}

/** Results of the screen in the order of rows. */
function screenRows(rows: readonly { game: string; config: string; pass: ScreenedPass }[]) {
  const groups = groupRows(rows);
  const result = screenPasses(groups.map((group) => group.map((i) => rows[i]!.pass)));
  const spread = <T>(values: readonly (readonly T[])[]): T[] => {
    const flat = new Array<T>(rows.length);
    groups.forEach((group, c) => {
      group.forEach((row, k) => {
        flat[row] = values[c]![k]!;
      });
    });
    return flat;
  };
  return {
    ...result,
    setAside: spread(result.setAside),
    p: spread(result.p),
    unusuallyFast: spread(result.unusuallyFast),
    disagree: spread(groups.map((group, c) => group.map(() => result.disagree[c]!))),
  };
}

describe("screenPasses", () => {
  test.for(cases.map((row, i) => ({ ...row, i })))("ends where R ends, round by round, case $i", (row) => {
    const result = screenRows(row.passes.map((pass) => ({ ...pass, pass: logs(pass.avg, pass.low1) })));
    const last = row.rounds.at(-1)!;
    expect(result.setAside.flatMap((isOut, i) => (isOut ? [i + 1] : []))).toEqual(row.setAside);
    expect(result.family).toBe(last.family);
    expectClose(result.typicalVariance.avgFps, last.typicalVariance[0], 1e-10, "typical variance, average");
    expectClose(result.typicalVariance.low1Fps, last.typicalVariance[1], 1e-10, "typical variance, 1% low");
    // Own tests of the last round: for a cell of three only the lowest pass is tested, once per metric.
    for (const { row: number } of last.tests.filter(({ lowest }) => lowest === 1)) {
      const own = last.tests.filter((test) => test.row === number).map(({ pAdjusted }) => pAdjusted);
      expectClose(result.p[number - 1], Math.min(...own), 1e-8, `p of row ${number}`);
    }
  });

  test.for(sessions)("agrees with the engine in R: $name ($about)", (session) => {
    const told = new Set(session.settings.setAside);
    const rows = session.passTable
      .map((pass, i) => ({ ...pass, i }))
      .filter(({ game, config, pass }) => !told.has(`${game}/${config}/${pass}`));
    const result = screenRows(rows.map((row) => ({ ...row, pass: logs(row.avgFps, row.low1Fps) })));
    rows.forEach(({ game, config, pass, i }, k) => {
      const expected = session.passes[i]!;
      const name = `${game}/${config}/${pass}`;
      expect({
        name,
        out: result.setAside[k],
        fast: result.unusuallyFast[k],
        disagree: result.disagree[k],
      }).toEqual({
        name,
        out: !expected.counted,
        fast: expected.unusuallyFast,
        disagree: expected.passesDisagree,
      });
      expectClose(result.p[k], expected.screenP, 1e-8, `p of ${name}`);
    });
  });

  /** A session of quiet cells; `change` spoils it. */
  function quietCells(
    cells: number,
    passes: number,
    change: (cells: { avg: number; low1: number }[][]) => void,
  ) {
    const random = seededRandom(11);
    const table = Array.from({ length: cells }, () =>
      Array.from({ length: passes }, () => ({
        avg: 100 * Math.exp(0.006 * random.normal()),
        low1: 70 * Math.exp(0.018 * random.normal()),
      })),
    );
    change(table);
    return table.map((cell) => cell.map(({ avg, low1 }) => logs(avg, low1)));
  }

  test("sets aside a slow pass and keeps a pass that is fast by as much", () => {
    const slow = screenPasses(
      quietCells(9, 3, (table) => {
        table[4]![1] = { avg: 88, low1: 60 };
      }),
    );
    expect(slow.setAside[4]).toEqual([false, true, false]);
    const fast = screenPasses(
      quietCells(9, 3, (table) => {
        table[4]![1] = { avg: 100 / 0.88, low1: 70 / 0.85 };
      }),
    );
    expect(fast.setAside.flat()).not.toContain(true);
    expect(fast.unusuallyFast[4]![1]).toBe(true);
  });

  test("draws the line at 5% for the whole session", () => {
    const withLoss = (loss: number) =>
      screenPasses(
        quietCells(9, 3, (table) => {
          table[4]![1] = { avg: 100 * (1 - loss), low1: 70 };
        }),
      );
    let [kept, out] = [0, 0.3];
    for (let step = 0; step < 50; step++) {
      const middle = (kept + out) / 2;
      if (withLoss(middle).setAside[4]![1]) out = middle;
      else kept = middle;
    }
    expect(withLoss(out).setAside.flat().filter(Boolean)).toHaveLength(1);
    // The largest loss that is still counted has a session-wide p of 0.05 to many digits.
    expectClose(withLoss(kept).p[4]![1], 0.05, 1e-6);
  });

  test("leaves at least two passes and more than half of every cell, and says where it could not decide", () => {
    const result = screenPasses(
      quietCells(9, 4, (table) => {
        table[2]![0] = { avg: 80, low1: 70 };
        table[2]![1] = { avg: 100, low1: 40 };
      }),
    );
    expect(result.setAside[2]).toEqual([false, false, false, false]);
    expect(result.disagree[2]).toBe(true);
  });

  test("screens nothing where fewer than three cells have two passes", () => {
    const result = screenPasses(
      quietCells(2, 5, (table) => {
        table[0]![0] = { avg: 50, low1: 20 };
      }),
    );
    expect(result.setAside.flat()).not.toContain(true);
    expect(result.typicalVariance.avgFps).toBeNull();
    expect(result.p.flat().every((p) => p === null)).toBe(true);
  });

  test("names two passes that contradict each other, and counts both", () => {
    const result = screenPasses(
      quietCells(9, 2, (table) => {
        table[3]![1] = { avg: 60, low1: 30 };
      }),
    );
    expect(result.disagree).toEqual([false, false, false, true, false, false, false, false, false]);
    expect(result.setAside.flat()).not.toContain(true);
  });

  const value = fc.option(fc.double({ min: 20, max: 400, noNaN: true }), { nil: null, freq: 8 });
  const someCells = fc.array(
    fc.array(
      fc.tuple(value, value).map(([avg, low1]) => logs(avg, low1)),
      { minLength: 1, maxLength: 7 },
    ),
    { minLength: 1, maxLength: 8 },
  );

  test("does not depend on the order of passes or cells, nor on the unit of a metric", () => {
    fc.assert(
      fc.property(someCells, (cells) => {
        const there = screenPasses(cells);
        const back = screenPasses([...cells].reverse().map((cell) => [...cell].reverse()));
        expect([...back.setAside].reverse().map((cell) => [...cell].reverse())).toEqual(there.setAside);
        const scaled = screenPasses(
          cells.map((cell) =>
            cell.map(({ avgFps, low1Fps }) => ({
              avgFps,
              low1Fps: low1Fps === null ? null : low1Fps + Math.LN10,
            })),
          ),
        );
        expect(scaled.setAside).toEqual(there.setAside);
      }),
    );
  });

  test("always leaves two passes and more than half of a cell, and p within 0 and 1", () => {
    fc.assert(
      fc.property(someCells, (cells) => {
        const result = screenPasses(cells);
        cells.forEach((cell, c) => {
          const left = result.setAside[c]!.filter((isOut) => !isOut).length;
          if (left < cell.length) {
            expect(left).toBeGreaterThanOrEqual(2);
            expect(left).toBeGreaterThan(cell.length / 2);
          }
        });
        for (const p of result.p.flat()) if (p !== null) expect(p >= 0 && p <= 1).toBe(true);
      }),
    );
  });
});

describe("the screen by hand", () => {
  const cell = (logs: readonly (number | null)[], low1Fps: number | null = null): ScreenedPass[] =>
    logs.map((avgFps) => ({ avgFps, low1Fps }));
  const quiet = cell([0, 0.01, -0.01]);
  const cells = (...odd: ScreenedPass[][]) => [...Array.from({ length: 5 }, () => quiet), ...odd];
  // Every p and quantile: R 4.2.2 pt, qt and qf from the definitions. The quiet cells' variance is 1e-4.
  const medianF = { 1: 0.5850602740518205, 2: 0.881101577952299, 4: 1.063225698171295 };
  const typical = 1e-4 / medianF[2];

  test("two slow passes that hide each other are found together, and have one p", () => {
    const result = screenPasses(cells(cell([-0.09, -0.1, 0, 0.01, -0.01])));
    expect(result.setAside[5]).toEqual([true, true, false, false, false]);
    expect(result.setAside.slice(0, 5).flat()).not.toContain(true);
    expect(result.family).toBe(20);
    expect(result.rounds).toBe(2);
    expectClose(result.typicalVariance.avgFps, typical, 1e-12);
    expect(result.typicalVariance.low1Fps).toBeNull();
    // Tested with both left out; the lowest alone would have 0.82.
    expectClose(result.p[5]?.[0], 0.00667638961256921, 1e-8);
    expectClose(result.p[5]?.[1], 0.00667638961256921, 1e-8);
    expect(result.p[5]?.slice(2)).toEqual([null, null, null]);
    // Of three passes only the lowest is tested: 2.83 of a p is none.
    expect(result.p[0]).toEqual([null, null, 1]);
    expect(result.disagree).not.toContain(true);
  });

  test("two slow passes are both found where the slower one stands out by itself too", () => {
    const result = screenPasses(cells(cell([-0.3, -0.09, 0, 0.01, -0.01])));
    expect(result.setAside[5]).toEqual([true, true, false, false, false]);
  });

  test("nothing disagrees and nothing is fast where nobody knows what is typical", () => {
    const result = screenPasses([cell([0, 1]), cell([0, 0.1, 5])]);
    expect(result.disagree).toEqual([false, false]);
    expect(result.unusuallyFast.flat()).not.toContain(true);
  });

  test("of two passes, or one, none is unusually fast", () => {
    const result = screenPasses(cells(cell([0, 3]), cell([5])));
    expect(result.unusuallyFast.flat()).not.toContain(true);
    expect(result.p.slice(5)).toEqual([[null, null], [null]]);
  });

  test("a p that is no reason to set aside is told all the same", () => {
    const result = screenPasses(cells(cell([0, 0.01, -0.03])));
    expect(result.rounds).toBe(1);
    expect(result.family).toBe(18);
    expectClose(result.p[5]?.[2], 0.4001193737885026, 1e-8);
    expect(result.setAside.flat()).not.toContain(true);
  });

  test.for([
    { share: 0.9999, isFast: false },
    { share: 1.0001, isFast: true },
  ])(
    "a pass is unusually fast beyond the 5% of the session: $isFast at $share of it",
    ({ share, isFast }) => {
      const result = screenPasses(cells(cell([0.07078749306189988 * share, 0, 0.01])));
      expect(result.unusuallyFast[5]).toEqual([isFast, false, false]);
      expect(result.unusuallyFast.slice(0, 5).flat()).not.toContain(true);
      expect(result.setAside.flat()).not.toContain(true);
    },
  );

  test.for([
    { pairs: 1, quantile: 4.500658726456367, share: 0.9999, disagrees: false },
    { pairs: 1, quantile: 4.500658726456367, share: 1.0001, disagrees: true },
    { pairs: 2, quantile: 5.906512223084815, share: 0.9999, disagrees: false },
    { pairs: 2, quantile: 5.906512223084815, share: 1.0001, disagrees: true },
  ])(
    "of $pairs pairs one disagrees beyond 5%: $disagrees at $share of it",
    ({ pairs, quantile, share, disagrees }) => {
      const distance = quantile * Math.sqrt(typical) * share;
      const apart = cell([0.3, 0.3 + distance]);
      // A quiet pair whose scaled variance is the typical one, so that the median stays.
      const near = cell([0, Math.sqrt(2 * typical * medianF[1])]);
      for (const order of [apart, [...apart].reverse()]) {
        const result = screenPasses(cells(order, ...(pairs === 2 ? [near] : [])));
        expectClose(result.typicalVariance.avgFps, typical, 1e-9);
        expect(result.disagree.slice(5)).toEqual(pairs === 2 ? [disagrees, false] : [disagrees]);
        expect(result.setAside.flat()).not.toContain(true);
      }
    },
  );

  describe("the typical variance", () => {
    const pair = cell([0, 0.02]);
    const five = cell([0, 0.01, -0.01, 0.02, -0.02]);
    test.for([
      { title: "no cells", own: [], capped: [], expected: null },
      { title: "two cells", own: [quiet, pair], capped: [], expected: null },
      // Scaled by the median of F: 2e-4, 1e-4 and 2.5e-4, with 1, 2 and 4 degrees of freedom.
      {
        title: "three cells of two, three and five",
        own: [pair, quiet, five],
        capped: [],
        expected: 2.5e-4 / medianF[4],
      },
      {
        title: "lone passes besides",
        own: [pair, quiet, five, cell([9])],
        capped: [],
        expected: 2.5e-4 / medianF[4],
      },
      {
        title: "a cell without the metric besides",
        own: [pair, quiet, five, cell([null, null])],
        capped: [],
        expected: 2.5e-4 / medianF[4],
      },
      { title: "two cells and a lone pass", own: [quiet, pair, cell([9])], capped: [], expected: null },
      {
        title: "three cells that do not vary",
        own: [cell([1, 1]), cell([2, 2]), cell([3, 3])],
        capped: [],
        expected: 1e-8 / medianF[1],
      },
      {
        title: "three free cells beside capped ones, which are left out",
        own: [quiet, quiet, quiet, cell([1, 1, 1]), cell([1, 1, 1]), cell([1, 1, 1]), cell([1, 1, 1])],
        capped: [false, false, false, true, true, true, true],
        expected: typical,
      },
      {
        title: "two free cells, too few, beside capped ones, which are used",
        own: [quiet, quiet, cell([1, 1, 1]), cell([1, 1, 1]), cell([1, 1, 1])],
        capped: [false, false, true, true, true],
        expected: 1e-8 / medianF[2],
      },
    ])("of $title", ({ own, capped, expected }) => {
      const result = screenPasses(own, capped);
      expectClose(result.typicalVariance.avgFps, expected, 1e-9);
      if (expected === null) expect(result.p.flat().every((p) => p === null)).toBe(true);
    });
  });

  test("only passes of cells of three or more are a test, once for each metric they have", () => {
    const both = cell([0, 0.01, -0.01], 0);
    expect(screenPasses([both, cell([0, 1]), cell([0, 0, null, null]), cell([0]), quiet]).family).toBe(9);
    expect(screenPasses([]).family).toBe(0);
  });

  test("where setting aside would leave too few, nobody is set aside and the cell disagrees", () => {
    const half = [
      { avgFps: -0.4, low1Fps: 0 },
      { avgFps: 0, low1Fps: -0.4 },
      { avgFps: 0.01, low1Fps: 0.01 },
      { avgFps: 0.01, low1Fps: 0.01 },
    ];
    const steady = Array.from({ length: 5 }, () => quiet.map(({ avgFps }) => ({ avgFps, low1Fps: avgFps })));
    const result = screenPasses([...steady, half]);
    expect(result.setAside[5]).toEqual([false, false, false, false]);
    expect(result.disagree).toEqual([false, false, false, false, false, true]);
    // With a fifth pass three are left, more than half: both are set aside.
    const five = screenPasses([...steady, [...half, { avgFps: 0, low1Fps: 0 }]]);
    expect(five.setAside[5]).toEqual([true, true, false, false, false]);
    expect(five.disagree).not.toContain(true);
  });
});
