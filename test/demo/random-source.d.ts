export declare function createSplitMix64(seed: bigint): () => bigint;
export declare function createXoshiro128(words: readonly [number, number, number, number]): () => number;
export declare function hashName(text: string): bigint;
export interface Random {
  uniform(): number;
  normal(): number;
}
export declare function createRandom(seed: number, name: string): Random;
