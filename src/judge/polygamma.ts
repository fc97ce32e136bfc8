/*
 * The first three derivatives of ln Gamma for x > 0: recurrence up to x >= 12, then the asymptotic series
 * (Abramowitz & Stegun 6.3.18, 6.4.11 to 6.4.14). Relative error about 1e-14 away from a zero of the function.
 */

const largeEnough = 12;

/** Digamma, the derivative of ln Gamma. */
export function digamma(x: number): number {
  requirePositive(x);
  let sum = 0;
  let z = x;
  for (; z < largeEnough; z++) sum -= 1 / z;
  const r = 1 / (z * z);
  const series =
    r * (1 / 12 - r * (1 / 120 - r * (1 / 252 - r * (1 / 240 - r * (1 / 132 - r * (691 / 32760 - r / 12))))));
  return sum + Math.log(z) - 1 / (2 * z) - series;
}

/** Trigamma, the derivative of digamma. */
export function trigamma(x: number): number {
  requirePositive(x);
  let sum = 0;
  let z = x;
  for (; z < largeEnough; z++) sum += 1 / (z * z);
  const r = 1 / (z * z);
  const series =
    (r / z) *
    (1 / 6 - r * (1 / 30 - r * (1 / 42 - r * (1 / 30 - r * (5 / 66 - r * (691 / 2730 - (r * 7) / 6))))));
  return sum + 1 / z + r / 2 + series;
}

/** Tetragamma, the derivative of trigamma; negative. */
export function tetragamma(x: number): number {
  requirePositive(x);
  let sum = 0;
  let z = x;
  for (; z < largeEnough; z++) sum -= 2 / (z * z * z);
  const r = 1 / (z * z);
  const series =
    r * r * (1 / 2 - r * (1 / 6 - r * (1 / 6 - r * (3 / 10 - r * (5 / 6 - r * (691 / 210 - (r * 35) / 2))))));
  return sum - r - r / z - series;
}

/**
 * The x with trigamma(x) = y, by Newton's method on 1 / trigamma, which is nearly linear.
 * @see Smyth 2004, Statistical Applications in Genetics and Molecular Biology 3(1):3, appendix
 * @throws RangeError if y is not above 0
 */
export function inverseTrigamma(y: number): number {
  requirePositive(y);
  if (y > 1e7) return 1 / Math.sqrt(y);
  if (y < 1e-6) return 1 / y;
  let x = 0.5 + 1 / y;
  for (let step = 0; step < 50; step++) {
    const value = trigamma(x);
    const delta = (value * (1 - value / y)) / tetragamma(x);
    x += delta;
    if (-delta / x < 1e-8) break;
  }
  return x;
}

function requirePositive(x: number): void {
  if (!(x > 0)) throw new RangeError(`polygamma functions need an argument above 0, got ${x}`);
}
