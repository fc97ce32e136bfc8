/**
 * Pseudo-random numbers for simulations: xoshiro128** 1.1 by D. Blackman and S. Vigna (2018, public domain,
 * prng.di.unimi.it), its state filled by SplitMix32 steps.
 */
export interface SeededRandom {
  /** Unsigned 32-bit integer. */
  nextUint32(): number;
  /** Uniform, strictly between 0 and 1, 53 bits. */
  uniform(): number;
  /** Standard normal deviate (Box & Muller 1958). */
  normal(): number;
}

export function randomFromState(state: readonly [number, number, number, number]): SeededRandom {
  let [s0, s1, s2, s3] = state;
  let spare: number | null = null;
  const rotate = (x: number, k: number) => (x << k) | (x >>> (32 - k));
  const nextUint32 = () => {
    const result = Math.imul(rotate(Math.imul(s1, 5), 7), 9) >>> 0;
    const t = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= t;
    s3 = rotate(s3, 11);
    return result;
  };
  const uniform = () => ((nextUint32() >>> 5) * 2 ** 26 + (nextUint32() >>> 6) + 0.5) / 2 ** 53;
  const normal = () => {
    if (spare !== null) {
      const ready = spare;
      spare = null;
      return ready;
    }
    const radius = Math.sqrt(-2 * Math.log(uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { nextUint32, uniform, normal };
}

export function seededRandom(seed: number): SeededRandom {
  let z = seed >>> 0;
  const split = () => {
    z = (z + 0x9e3779b9) >>> 0;
    let x = z;
    x = Math.imul(x ^ (x >>> 16), 0x21f0aaad);
    x = Math.imul(x ^ (x >>> 15), 0x735a2d97);
    return (x ^ (x >>> 15)) >>> 0;
  };
  return randomFromState([split(), split(), split(), split()]);
}
