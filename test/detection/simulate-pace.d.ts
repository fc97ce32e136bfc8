import type { Log } from "../../src/read/log.ts";
import type { Random } from "../demo/random-source.js";

export interface Machine {
  readonly typicalMs: number;
  readonly lengthS: number;
  readonly scene: (fraction: number) => number;
}
export declare function between(random: Random, low: number, high: number): number;
export declare function createMachine(random: Random): Machine;
export declare function simulatePace(machine: Machine, effect: object, random: Random): Log;
export declare function randomFor(seed: number, name: string): Random;
