import { fewRows } from "./column-shapes.ts";
import type { HeadColumn } from "./head-columns.ts";
import { isNameOfPart } from "./weigh-words.ts";

/** Whether two columns say the same of nearly every row. */
export function sameSeries(a: HeadColumn, aUnitS: number, b: HeadColumn, bUnitS: number): boolean {
  let same = 0;
  let count = 0;
  for (let i = 0; i < a.values.length; i++) {
    const left = (a.values[i] ?? Number.NaN) * aUnitS;
    const right = (b.values[i] ?? Number.NaN) * bUnitS;
    if (!Number.isFinite(left + right)) continue;
    count++;
    const printed = 0.51 * (a.precision * aUnitS + b.precision * bUnitS);
    if (Math.abs(left - right) <= printed + 0.001 * Math.abs(left)) same++;
  }
  return count > 0 && same >= 0.99 * count;
}

/** Where a name says that it is a sum, a few rows show it. */
const fewestOfTotal = 3;

/** Whether a column is named as the total of more than a part, and longer than each of the others in nearly every row. */
export function isTotalOver(whole: HeadColumn, parts: readonly HeadColumn[]): boolean {
  if (!isTotalName(whole.words) || isNameOfPart(whole.words)) return false;
  const longer = whole.values.filter((value, i) =>
    parts.every(({ values }) => !((values[i] as number) > value)),
  );
  return whole.shape.count >= fewRows && longer.length >= 0.99 * whole.values.length;
}

function isTotalName(words: readonly string[]): boolean {
  return words.includes("total") || words.includes("sum");
}

/** Whether a column is the sum of the others in nearly every row of many. */
export function isSumOf(whole: HeadColumn, parts: readonly HeadColumn[]): boolean {
  const printed = 0.51 * parts.reduce((sum, { precision }) => sum + precision, whole.precision);
  let same = 0;
  let count = 0;
  for (let i = 0; i < whole.values.length; i++) {
    const sum = parts.reduce((sum, { values }) => sum + (values[i] ?? Number.NaN), 0);
    const value = whole.values[i] ?? Number.NaN;
    if (Number.isNaN(sum + value)) continue;
    count++;
    if (Math.abs(value - sum) <= printed + 1e-9 * sum) same++;
  }
  return count >= (isTotalName(whole.words) ? fewestOfTotal : fewRows) && same >= 0.95 * count;
}

export function isInverseOf({ values, precision }: HeadColumn, rate: HeadColumn): boolean {
  for (const perSecond of [1, 1e3, 1e6, 1e9]) {
    let same = 0;
    let count = 0;
    for (let i = 0; i < values.length; i++) {
      const expected = perSecond / (rate.values[i] ?? Number.NaN);
      const value = values[i] ?? Number.NaN;
      // A rate of 0 has no inverse.
      if (!Number.isFinite(expected + value)) continue;
      count++;
      const printed = precision + (rate.precision * expected * expected) / perSecond;
      // Digits as coarse as the values themselves agree with anything.
      const isTold = printed <= 0.5 * expected;
      if (isTold && Math.abs(value - expected) <= printed + 0.001 * expected) same++;
    }
    if (count > 0 && same >= 0.9 * count) return true;
  }
  return false;
}
