import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { compareColumn } from "../../src/judge/compare-cells.ts";
import { digamma, trigamma } from "../../src/judge/polygamma.ts";
import { fitVariancePrior, floorVariances, imaginaryPriorDf } from "../../src/judge/variance-prior.ts";
import { expectClose, limitForP } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface LimmaCase {
  readonly variance: number[];
  readonly df: number[];
  readonly priorVariance: number;
  readonly priorDf: number | "Infinity";
}
interface PairCase {
  readonly passes: number[];
  readonly againstPasses: number[];
  readonly variance: (number | null)[];
  readonly againstVariance: (number | null)[];
  readonly logDiff: number[];
  readonly pairVariance: (number | null)[];
  readonly pairDf: number[];
  readonly spreadRaw: number | null;
  readonly spreadRegularised: number | null;
  readonly priorDf: number;
  readonly priorVariance: number | null;
  readonly posteriorVariance: (number | null)[];
  readonly se: (number | null)[];
  readonly df: (number | null)[];
  readonly t: (number | null)[];
  readonly p: (number | null)[];
  readonly low: (number | null)[];
  readonly high: (number | null)[];
}
const limma = readReference<{ cases: LimmaCase[] }>("fixtures/reference/moderated-variances.json").cases;
const pairCases = readReference<{ cases: PairCase[] }>("fixtures/reference/pair-moderated-welch.json").cases;

describe("fitVariancePrior", () => {
  test.for(
    limma
      .map((row, i) => ({ ...row, i }))
      .filter((row) => row.priorDf !== "Infinity" && row.variance.every((v) => v > 0)),
  )("rests on Smyth's moment fit: undoing the ten imaginary games gives limma::fitFDist, case $i", (row) => {
    const prior = fitVariancePrior(row.variance.map((u, i) => ({ u, nu: row.df[i]! })))!;
    // fitFDist solves trigamma(df2 / 2) = raw spread, and scales by the mean of e (Smyth 2004, section 6.2).
    expectClose(prior.spreadRaw, trigamma((row.priorDf as number) / 2), 1e-8, "raw spread");
    const centre = (df: number, s2: number) => Math.log(s2) - digamma(df / 2) + Math.log(df / 2);
    expect(
      Math.abs(centre(prior.priorDf, prior.priorVariance) - centre(row.priorDf as number, row.priorVariance)),
    ).toBeLessThan(1e-8);
    // The regularisation itself, by hand: ten games that believe in 3 degrees of freedom.
    const k = row.variance.length;
    const regularised = ((k - 1) * Math.max(prior.spreadRaw, 0) + 10 * trigamma(1.5)) / (k + 9);
    expectClose(prior.spreadRegularised, regularised, 1e-12, "regularised spread");
    expectClose(trigamma(prior.priorDf / 2), regularised, 1e-10, "prior df");
  });

  test("measures no spread beyond chance where limma finds infinite prior degrees of freedom", () => {
    const row = limma.find(({ priorDf }) => priorDf === "Infinity")!;
    const known = row.variance.map((u, i) => ({ u, nu: row.df[i]! })).filter(({ nu }) => nu > 0);
    const prior = fitVariancePrior(known)!;
    expect(prior.spreadRaw).toBeLessThanOrEqual(0);
    expect(prior.priorDf).toBeGreaterThan(3);
    expect(Number.isFinite(prior.priorDf)).toBe(true);
  });

  test.for(pairCases.map((row, i) => ({ ...row, i })).filter((row) => row.priorVariance !== null))(
    "agrees with R, case $i",
    (row) => {
      const known = row.pairVariance
        .map((u, i) => ({ u: u ?? 0, nu: row.pairDf[i]! }))
        .filter(({ nu }) => nu > 0);
      const prior = fitVariancePrior(known)!;
      expectClose(prior.spreadRaw, row.spreadRaw, 1e-10, "spreadRaw");
      expectClose(prior.spreadRegularised, row.spreadRegularised, 1e-10, "spreadRegularised");
      expectClose(prior.priorDf, row.priorDf, 1e-10, "priorDf");
      expectClose(prior.priorVariance, row.priorVariance, 1e-10, "priorVariance");
    },
  );

  test("needs two games", () => {
    expect(fitVariancePrior([])).toBeNull();
    expect(fitVariancePrior([{ u: 1e-4, nu: 3 }])).toBeNull();
  });

  test("is finite for any variances from the floor upwards", () => {
    const some = fc.array(
      fc.record({
        u: fc.oneof(fc.constant(1e-8), fc.double({ min: 1e-8, max: 10, noNaN: true })),
        nu: fc.double({ min: 0.5, max: 60, noNaN: true }),
      }),
      { minLength: 2, maxLength: 20 },
    );
    fc.assert(
      fc.property(some, (pairs) => {
        const prior = fitVariancePrior(pairs)!;
        for (const value of Object.values(prior)) expect(Number.isFinite(value)).toBe(true);
        expect(prior.priorVariance).toBeGreaterThan(0);
        expect(prior.priorDf).toBeGreaterThan(0);
      }),
    );
  });
});

describe("compareColumn", () => {
  const pairsOf = (row: PairCase) =>
    row.logDiff.map((logDiff, i) => ({
      game: `game-${i}`,
      config: { n: row.passes[i]!, mean: logDiff, variance: row.variance[i]! },
      against: { n: row.againstPasses[i]!, mean: 0, variance: row.againstVariance[i]! },
    }));

  test.for(pairCases.map((row, i) => ({ ...row, i })))(
    "agrees with R on moderated variances, standard errors, tests and intervals, case $i",
    (row) => {
      const rows = compareColumn(pairsOf(row), 0.95);
      expect(rows).toHaveLength(row.logDiff.length);
      rows.forEach((actual, i) => {
        expect(actual.game).toBe(`game-${i}`);
        expectClose(actual.posteriorVariance, row.posteriorVariance[i]!, 1e-10, "posterior variance");
        expectClose(actual.standardError, row.se[i]!, 1e-10, "standard error");
        expectClose(actual.degreesOfFreedom, row.df[i]!, 1e-10, "degrees of freedom");
        expectClose(actual.statistic, row.t[i]!, 1e-10, "statistic");
        expectClose(actual.p, row.p[i]!, limitForP(row.p[i]!), "p");
        expectClose(actual.low, row.low[i]!, 1e-8, "low");
        expectClose(actual.high, row.high[i]!, 1e-8, "high");
      });
    },
  );

  test("knows no error at all where every game has one pass on both sides", () => {
    const lone = { n: 1, mean: 0, variance: null };
    const rows = compareColumn(
      ["tide-runner", "saltworks"].map((game) => ({ game, config: { ...lone, mean: 0.02 }, against: lone })),
      0.95,
    );
    for (const row of rows) {
      expect(row.logDiff).toBe(0.02);
      expect([row.standardError, row.degreesOfFreedom, row.statistic, row.p, row.low, row.high]).toEqual(
        Array(6).fill(null),
      );
    }
  });

  test("judges a game of lone passes by its neighbours when there are two of them, and not by a single one", () => {
    const good = { n: 3, mean: 0, variance: 1e-4 };
    const lone = { n: 1, mean: 0, variance: null };
    const neighbours = (count: number) => [
      ...Array.from({ length: count }, (_, i) => ({ game: `g${i}`, config: good, against: good })),
      { game: "lone", config: lone, against: lone },
    ];
    expect(compareColumn(neighbours(2), 0.95).at(-1)!.standardError).toBeGreaterThan(0);
    expect(compareColumn(neighbours(1), 0.95).at(-1)!.standardError).toBeNull();
    // df = min(d0, sum nu) for the lone game; two games of equal spread and nu = 4 each: d0 is 3.7, the sum 8.
    expect(compareColumn(neighbours(2), 0.95).at(-1)!.degreesOfFreedom).toBeLessThan(8);
  });

  const cell = fc
    .record({
      n: fc.integer({ min: 1, max: 8 }),
      mean: fc.double({ min: 3, max: 6, noNaN: true }),
      variance: fc.oneof(fc.constant(0), fc.double({ min: 1e-7, max: 1e-2, noNaN: true })),
    })
    .map((side) => ({ ...side, variance: side.n < 2 ? null : side.variance }));
  const column = fc
    .array(fc.record({ config: cell, against: cell }), { minLength: 1, maxLength: 10 })
    .map((pairs) => pairs.map((pair, i) => ({ game: `g${i}`, ...pair })));

  test("swapping config and baseline negates the difference and keeps error, df and p", () => {
    fc.assert(
      fc.property(column, (pairs) => {
        const there = compareColumn(pairs, 0.95);
        const back = compareColumn(
          pairs.map(({ game, config, against }) => ({ game, config: against, against: config })),
          0.95,
        );
        there.forEach((row, i) => {
          const other = back[i]!;
          expect(other.logDiff).toBe(-row.logDiff || 0);
          expectClose(other.standardError, row.standardError, 1e-12, "standard error");
          expectClose(other.degreesOfFreedom, row.degreesOfFreedom, 1e-12, "df");
          expectClose(other.p, row.p, 1e-8, "p");
          if (row.low === null || row.high === null) expect(other.low).toBeNull();
          else {
            expectClose(other.low, -row.high, 1e-8, "low", 1e-12);
            expectClose(other.high, -row.low, 1e-8, "high", 1e-12);
          }
        });
      }),
    );
  });

  test("gives finite figures or null, an interval around the estimate, and p within 0 and 1", () => {
    fc.assert(
      fc.property(column, (pairs) => {
        for (const row of compareColumn(pairs, 0.95)) {
          const figures = [row.standardError, row.degreesOfFreedom, row.statistic, row.p, row.low, row.high];
          const missing = figures.filter((value) => value === null).length;
          expect(missing === 0 || missing === figures.length).toBe(true);
          if (row.standardError === null) continue;
          for (const value of figures) expect(Number.isFinite(value)).toBe(true);
          expect(row.low!).toBeLessThanOrEqual(row.logDiff);
          expect(row.high!).toBeGreaterThanOrEqual(row.logDiff);
          expect(row.p!).toBeGreaterThanOrEqual(0);
          expect(row.p!).toBeLessThanOrEqual(1);
        }
      }),
    );
  });

  test("does not depend on the order of games", () => {
    fc.assert(
      fc.property(column, (pairs) => {
        const there = compareColumn(pairs, 0.95);
        const back = compareColumn([...pairs].reverse(), 0.95).reverse();
        there.forEach((row, i) => {
          expectClose(back[i]!.standardError, row.standardError, 1e-11, "standard error");
          expectClose(back[i]!.p, row.p, 1e-8, "p");
        });
      }),
    );
  });
});

describe("variances drawn away from zero", () => {
  // By hand: the floor is 1e-5 of the median, and 1e-8 (a standard deviation of 0.01%) at the least.
  test.for([
    { title: "a game without noise beside noisy ones", u: [0, 0.02, 0.04], expected: [2e-7, 0.02, 0.04] },
    { title: "games whose typical noise is small", u: [0, 1e-4, 3e-4], expected: [1e-8, 1e-4, 3e-4] },
    { title: "no noise at all", u: [0, 0], expected: [1e-8, 1e-8] },
    { title: "noise above the floor", u: [3e-4, 1e-4], expected: [3e-4, 1e-4] },
    { title: "one game", u: [1e-9], expected: [1e-8] },
  ])("$title: $u become $expected", ({ u, expected }) => {
    floorVariances(u).forEach((value, i) => {
      expectClose(value, expected[i] as number, 1e-14);
    });
    expect(floorVariances(u)).toHaveLength(u.length);
  });
});

describe("the prior that games will come to", () => {
  test.for([2, 3, 8, 16])("is that of %s games whose noise differs as much", (games) => {
    const alike = Array.from({ length: games }, () => ({ u: 1e-4, nu: 4 }));
    expectClose(imaginaryPriorDf(games, 0), fitVariancePrior(alike)?.priorDf ?? null, 1e-14);
    const unlike = fitVariancePrior(alike.map((game, i) => ({ ...game, u: 1e-4 * 30 ** i })));
    expectClose(imaginaryPriorDf(games, unlike?.spreadRaw ?? 0), unlike?.priorDf ?? null, 1e-14);
    expect(unlike?.priorDf).toBeLessThan(imaginaryPriorDf(games, 0));
  });

  test("weighs more for more games that agree", () => {
    expect(imaginaryPriorDf(3, 0)).toBeGreaterThan(imaginaryPriorDf(2, 0));
  });
});
