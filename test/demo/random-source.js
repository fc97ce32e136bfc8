/**
 * A small seeded random source, so that the demo data can be made again to the byte on any machine.
 *
 * Generator: xoshiro128** 1.1 (D. Blackman and S. Vigna 2021, "Scrambled linear pseudorandom number generators",
 * ACM Transactions on Mathematical Software 47(4), 36; reference code in the public domain). Its four words of state
 * come from SplitMix64 (G. L. Steele, D. Lea and C. H. Flood 2014, "Fast splittable pseudorandom number generators",
 * OOPSLA), as its authors advise.
 *
 * Only + - * / and square roots are used on the way to a number: ECMAScript fixes their last bit, which it does not
 * do for exp, log, pow, sin and cos.
 */

const mask64 = (1n << 64n) - 1n;

/**
 * @param {bigint} seed any 64-bit number
 * @returns {() => bigint} the successive 64-bit outputs of SplitMix64
 */
export function createSplitMix64(seed) {
  let state = seed & mask64;
  return () => {
    state = (state + 0x9e3779b97f4a7c15n) & mask64;
    let z = state;
    z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask64;
    z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask64;
    return z ^ (z >> 31n);
  };
}

/**
 * @param {readonly [number, number, number, number]} words state, 32 bits each, not all zero
 * @returns {() => number} the successive outputs of xoshiro128**, whole numbers in [0, 2^32)
 */
export function createXoshiro128(words) {
  let [a, b, c, d] = words;
  return () => {
    const product = Math.imul(b, 5);
    const result = Math.imul((product << 7) | (product >>> 25), 9) >>> 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result;
  };
}

/**
 * FNV-1a, 64 bits (draft-eastlake-fnv): turns a name into a number, so that every stream of random numbers has its
 * own seed whatever order the streams are used in.
 * @param {string} text ASCII
 * @returns {bigint} 64 bits
 */
export function hashName(text) {
  let hash = 0xcbf29ce484222325n;
  for (const character of text) {
    hash = ((hash ^ BigInt(character.charCodeAt(0) & 0xff)) * 0x100000001b3n) & mask64;
  }
  return hash;
}

/**
 * @param {number} seed whole number, the same for all streams of a data set
 * @param {string} name what the stream is for; streams of different names are unrelated
 */
export function createRandom(seed, name) {
  const next64 = createSplitMix64(BigInt(seed) ^ hashName(name));
  const first = next64();
  const second = next64();
  const next = createXoshiro128([
    Number(first & 0xffffffffn),
    Number(first >> 32n),
    Number(second & 0xffffffffn),
    Number(second >> 32n),
  ]);
  return {
    /** Uniform in (0, 1), never 0 nor 1. */
    uniform: () => (next() + 0.5) / 4294967296,
    /**
     * Close to standard normal: the sum of twelve uniforms less six (mean 0, variance 1, never beyond 6). The
     * uniforms have 16 bits each, two from every word. The tails are too light; heavy tails are added elsewhere.
     */
    normal: () => {
      let sum = 0;
      for (let i = 0; i < 6; i += 1) {
        const word = next();
        sum += (word & 0xffff) + (word >>> 16);
      }
      return (sum + 6) / 65536 - 6;
    },
  };
}

/** @typedef {ReturnType<typeof createRandom>} Random */
