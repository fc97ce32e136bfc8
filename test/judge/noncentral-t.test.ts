import { describe, expect, test } from "vitest";
import { normalCdf, studentTCdf, studentTQuantile } from "../../src/judge/distributions.ts";
import { noncentralTCdf } from "../../src/judge/noncentral-t.ts";
import { readReference } from "../support/read-reference.ts";

const r = readReference<{
  noncentral: { t: number; df: number; ncp: number; p: number }[];
  power: { n: number; delta: number; alpha: number; power: number }[];
}>("test/reference/planning.json");

/** Power of the pooled two-sample t test, both tails. */
const pooledPower = (n: number, delta: number, alpha: number): number => {
  const df = 2 * (n - 1);
  const q = studentTQuantile(1 - alpha / 2, df);
  const ncp = delta * Math.sqrt(n / 2);
  return 1 - noncentralTCdf(q, df, ncp) + noncentralTCdf(-q, df, ncp);
};

describe("the noncentral t", () => {
  test.for(r.noncentral)("agrees with R's pt($t, $df, ncp = $ncp)", ({ t, df, ncp, p }) => {
    // R's own algorithm stops at 1e-12.
    expect(Math.abs(noncentralTCdf(t, df, ncp) - p)).toBeLessThan(1e-10);
  });

  test.for(r.power)(
    "gives the power of R's power.t.test(strict = TRUE): $n, $delta, $alpha",
    ({ n, delta, alpha, power }) => {
      expect(Math.abs(pooledPower(n, delta, alpha) - power)).toBeLessThan(1e-9);
    },
  );

  // Cohen 1992, Psychological Bulletin 112:155, table 2, power 80% (from memory). Made from rounded tables, the
  // numbers may be one too many or too few.
  test.for([
    { delta: 0.2, alpha: 0.01, n: 586 },
    { delta: 0.5, alpha: 0.01, n: 95 },
    { delta: 0.8, alpha: 0.01, n: 38 },
    { delta: 0.2, alpha: 0.05, n: 393 },
    { delta: 0.5, alpha: 0.05, n: 64 },
    { delta: 0.8, alpha: 0.05, n: 26 },
    { delta: 0.2, alpha: 0.1, n: 310 },
    { delta: 0.5, alpha: 0.1, n: 50 },
    { delta: 0.8, alpha: 0.1, n: 20 },
  ])("needs the published $n per group for $delta SD at $alpha", ({ delta, alpha, n }) => {
    let needed = 2;
    while (pooledPower(needed, delta, alpha) < 0.8) needed++;
    expect(Math.abs(needed - n)).toBeLessThanOrEqual(1);
  });

  test("is Student's t without a shift, and mirrors", () => {
    expect(noncentralTCdf(1.3, 4.5, 0)).toBe(studentTCdf(1.3, 4.5));
    expect(noncentralTCdf(-1.3, 4.5, 2)).toBeCloseTo(1 - noncentralTCdf(1.3, 4.5, -2), 12);
  });

  test("goes on beyond the reach of the series", () => {
    expect(noncentralTCdf(40, 30, 36.9)).toBeCloseTo(noncentralTCdf(40, 30, 37.1), 1);
    expect(noncentralTCdf(10, 30, 60)).toBe(0);
  });

  // With very many degrees of freedom it is the normal distribution, shifted; the limit errs by about t^2 / df.
  test.for([
    { t: 60, noncentrality: 60 },
    { t: 61, noncentrality: 60 },
    { t: 38, noncentrality: 40 },
    { t: 2, noncentrality: 1.5 },
    { t: -1, noncentrality: 0.5 },
  ])("of endless degrees of freedom is normal: $t, $noncentrality", ({ t, noncentrality }) => {
    expect(Math.abs(noncentralTCdf(t, 1e9, noncentrality) - normalCdf(t - noncentrality))).toBeLessThan(1e-5);
  });

  // Abramowitz & Stegun 26.7.10, the median: where t (1 - 1 / (4 df)) is the noncentrality, half lies below.
  test.for([4, 10, 50])("beyond the series has its median where the approximation says, with %s df", (df) => {
    const noncentrality = 50;
    expect(noncentralTCdf(noncentrality / (1 - 1 / (4 * df)), df, noncentrality)).toBeCloseTo(0.5, 12);
  });

  test("needs degrees of freedom, and says so", () => {
    for (const df of [0, -1, Number.NaN])
      expect(() => noncentralTCdf(1, df, 1)).toThrow(/^noncentralTCdf needs df above 0, got /);
  });

  test("at 0 has below it what the normal has below its shift", () => {
    for (const noncentrality of [-2, 0.5, 3])
      expect(noncentralTCdf(0, 5, noncentrality)).toBe(normalCdf(-noncentrality));
  });
});
