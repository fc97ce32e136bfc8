/**
 * Mean and sample variance of doubles in exact rational arithmetic: a double is an integer times a power of two, so
 * sums and squares are exact in BigInt. Rounded to a double only at the very end.
 */
export function exactMoments(values: readonly number[]): { mean: number; variance: number } {
  const shift = 1074n;
  const scaled = values.map(toScaledInteger);
  const n = BigInt(values.length);
  const sum = scaled.reduce((total, value) => total + value, 0n);
  // Sum of squared deviations = (n * sum of squares - square of the sum) / n.
  const squares = scaled.reduce((total, value) => total + value * value, 0n);
  const spread = n * squares - sum * sum;
  return {
    mean: divide(sum, n << shift),
    variance: values.length < 2 ? 0 : divide(spread, (n * (n - 1n)) << (2n * shift)),
  };
}

/** value * 2^1074, an integer for every double. */
function toScaledInteger(value: number): bigint {
  const view = new DataView(new ArrayBuffer(8));
  view.setFloat64(0, value);
  const bits = view.getBigUint64(0);
  const exponent = (bits >> 52n) & 0x7ffn;
  const fraction = bits & 0xfffffffffffffn;
  const magnitude = exponent === 0n ? fraction : (fraction | (1n << 52n)) << (exponent - 1n);
  return bits >> 63n === 1n ? -magnitude : magnitude;
}

/** The quotient to more than 60 decimal digits, then as the nearest double. */
function divide(numerator: bigint, denominator: bigint): number {
  const digits = 60n;
  const negative = numerator < 0n;
  const size = negative ? -numerator : numerator;
  if (size === 0n) return 0;
  const lift = BigInt(Math.max(0, denominator.toString().length - size.toString().length)) + digits;
  const quotient = (size * 10n ** lift) / denominator;
  return Number(`${negative ? "-" : ""}${quotient}e-${lift}`);
}
