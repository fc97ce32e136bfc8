import { expect } from "vitest";

/** |actual - expected| / |expected|; 0 for two nulls or two equal numbers, Infinity where only one exists. */
function relativeError(actual: number | null | undefined, expected: number | null): number {
  if (actual === expected) return 0;
  if (actual === null || actual === undefined || expected === null || !Number.isFinite(actual))
    return Infinity;
  return Math.abs(actual - expected) / Math.abs(expected);
}

/** Fails unless the relative error is at most `limit`, or the absolute one at most `zero`; names what was compared. */
export function expectClose(
  actual: number | null | undefined,
  expected: number | null,
  limit: number,
  what = "value",
  zero = 0,
): void {
  if (typeof actual === "number" && expected !== null && Math.abs(actual - expected) <= zero) return;
  const error = relativeError(actual, expected);
  if (!(error <= limit)) {
    expect.fail(`${what}: ${actual} instead of ${expected}, relative error ${error} above ${limit}`);
  }
  expect(error).toBeLessThanOrEqual(limit);
}

/** Limit for a figure that comes through Student's t: 1e-8, and 1e-6 for a p below 1e-12. */
export function limitForP(p: number | null): number {
  return p !== null && p < 1e-12 ? 1e-6 : 1e-8;
}
