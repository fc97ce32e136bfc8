/**
 * How often the pace of a pass is told right: effects that are clear must be found, clean sessions must not be flagged.
 * A session here is two games under two configs with three passes each; an effect touches the second config alone unless
 * its scenario says otherwise.
 */
import { between, createMachine, randomFor, simulatePace } from "./simulate-pace.js";

/**
 * @typedef {import("../demo/random-source.js").Random} Random
 * @typedef {import("./simulate-pace.js").Machine} Machine
 *
 * @typedef {object} Scenario
 * @property {string} name
 * @property {string | null} code the flag that most passes of the second config must get; null: a clean session
 * @property {string[]} [allowed] other flags that are true here too
 * @property {boolean} [onlyThird] the effect touches one pass alone, which then must get the flag
 * @property {(machine: Machine, random: Random) => { first?: object, second?: object }} effects
 */

/** @type {(random: Random) => [number, number][]} some stretches that do not touch, 6 to 35% of the pass together */
function drawStretches(random) {
  const count = 1 + Math.floor(4 * random.uniform());
  const share = between(random, 0.06, 0.35) / count;
  return Array.from({ length: count }, (_, i) => {
    const from = 0.08 + (i * 0.9) / count + random.uniform() * Math.max(0, 0.85 / count - share);
    return [from, Math.min(0.99, from + share)];
  });
}

/** @type {(random: Random) => object} a clear one: the clock 10 to 30% down, frames 30 to 60% longer */
function drawThrottling(random) {
  return {
    drops: drawStretches(random),
    clockDrop: between(random, 0.1, 0.3),
    slower: between(random, 0.3, 0.6),
  };
}

/** @type {(machine: Machine, share: number) => number} FPS that the scene would pass for about this share of it */
function capFor(machine, share) {
  const weights = Array.from({ length: 1000 }, (_, i) => machine.scene(i / 1000)).sort((a, b) => a - b);
  return 1000 / (machine.typicalMs * (weights[Math.min(999, Math.floor(share * 1000))] ?? 1));
}

/** @type {readonly Scenario[]} */
export const scenarios = [
  {
    name: "capped: 80% of the scene or more would run faster, jitter up to 1%",
    code: "capped",
    effects: (machine, random) => {
      const cap = {
        capFps: capFor(machine, between(random, 0.8, 1)),
        capJitter: between(random, 0.001, 0.01),
      };
      return random.uniform() < 0.5 ? { first: cap, second: cap } : { second: cap };
    },
  },
  {
    name: "display sync: frames end on a refresh, some take two or three",
    code: "capped",
    effects: (machine, random) => {
      const sync = { syncHz: 1000 / (machine.typicalMs * between(random, 0.45, 0.95)) };
      return { first: sync, second: sync };
    },
  },
  {
    name: "GPU-bound: mean load 97% or more",
    code: "gpu-bound",
    effects: (_, random) => {
      const busy = { gpuLoad: between(random, 98, 100) };
      return { first: busy, second: busy };
    },
  },
  {
    name: "throttled: clock and load known",
    code: "throttled",
    effects: (_, random) => ({ second: drawThrottling(random) }),
  },
  {
    name: "throttled: after a boost at the start",
    code: "throttled",
    effects: (machine, random) => {
      const boostS = between(random, 0.02, 0.07) * machine.lengthS;
      return { first: { boostS }, second: { ...drawThrottling(random), boostS } };
    },
  },
  {
    name: "throttled: power alone, no clock, no load",
    code: "throttled",
    effects: (_, random) => {
      const blind = { hasClock: false, hasLoad: false };
      return { first: blind, second: { ...drawThrottling(random), ...blind } };
    },
  },
  {
    name: "throttled: constant clock, power tells",
    code: "throttled",
    effects: (_, random) => {
      const constant = { hasConstantClock: true };
      return { first: constant, second: { ...drawThrottling(random), ...constant } };
    },
  },
  {
    name: "throttled: one whole pass, against its siblings",
    code: "throttled",
    onlyThird: true,
    effects: (_, random) => ({ second: { wholePass: between(random, 0.08, 0.2) } }),
  },
  {
    name: "power limit: 65 to 85% of what the scenes ask for",
    code: "power-limited",
    effects: () => ({ second: { powerLimit: 0.75 } }),
  },
  { name: "clean", code: null, effects: () => ({}) },
  {
    name: "clean: a scene that hardly changes",
    code: null,
    effects: (_, random) => {
      const calm = { calm: between(random, 0.05, 0.3) };
      return { first: calm, second: calm };
    },
  },
  {
    name: "clean: boost at the start",
    code: null,
    effects: (machine, random) => {
      const boost = { boostS: between(random, 0.03, 0.3) * machine.lengthS };
      return { first: boost, second: boost };
    },
  },
  {
    name: "clean: clock sinks slowly by 4 to 10%",
    code: null,
    effects: (_, random) => {
      const ramp = { ramp: between(random, 0.04, 0.1) };
      return { first: ramp, second: ramp };
    },
  },
  {
    name: "clean: constant clock",
    code: null,
    effects: () => ({ first: { hasConstantClock: true }, second: { hasConstantClock: true } }),
  },
  {
    name: "clean: power alone, which follows the scene",
    code: null,
    effects: () => ({
      first: { hasClock: false, hasLoad: false },
      second: { hasClock: false, hasLoad: false },
    }),
  },
  {
    name: "clean: clock falls with the load where less is asked for",
    code: null,
    effects: (_, random) => {
      const idle = { drops: drawStretches(random), clockDrop: 0.2, slower: 0, loadFalls: true };
      return { first: idle, second: idle };
    },
  },
  {
    name: "clean: a heavy stretch of the scene, clock and power down in every config",
    code: null,
    effects: (_, random) => {
      const heavy = { ...drawThrottling(random), hasLoad: false };
      return { first: heavy, second: heavy };
    },
  },
  {
    name: "clean: clock falls while the load stays, but frames do not care",
    code: null,
    effects: (_, random) => ({ second: { ...drawThrottling(random), slower: 0 } }),
  },
  {
    name: "clean: GPU load 60 to 90%",
    code: null,
    effects: (_, random) => {
      const load = { gpuLoad: between(random, 60, 90) };
      return { first: load, second: load };
    },
  },
];

const paceCodes = ["capped", "gpu-bound", "throttled", "power-limited"];
const passesPerCell = 3;
const settings = { lows: "percentile", trim: null };

/**
 * @param {{ summarisePass: Function, listPasses: Function }} api
 * @param {Scenario} scenario
 * @param {number} sessions
 * @param {number} seed
 * @returns {{ name: string, code: string | null, sessions: number, cells: number, found: number, falseSessions: number, falsePasses: number, passes: number }}
 */
export function measureDetection({ summarisePass, listPasses }, scenario, sessions, seed) {
  const result = {
    name: scenario.name,
    code: scenario.code,
    sessions,
    cells: 0,
    found: 0,
    falseSessions: 0,
    falsePasses: 0,
    passes: 0,
  };
  for (let session = 0; session < sessions; session++) {
    const random = randomFor(seed, `${scenario.name}/${session}`);
    const isFirstMeant = ["capped", "gpu-bound"].includes(scenario.code ?? "");
    /** @type {Set<string>} */
    const touched = new Set();
    const summaries = ["saltworks", "ninth-lantern"].flatMap((game) => {
      const machine = createMachine(random);
      const { first, second } = scenario.effects(machine, random);
      return ["first", "second"].flatMap((config) =>
        Array.from({ length: passesPerCell }, (_, i) => {
          const isTouched = scenario.onlyThird !== true || i === passesPerCell - 1;
          const own = config === "first" ? first : isTouched ? second : undefined;
          const key = { game, config, pass: `pass-${i + 1}`, boot: null };
          if (scenario.code !== null && own !== undefined && (config === "second" || isFirstMeant))
            touched.add(`${game}/${config}/${key.pass}`);
          return summarisePass(simulatePace(machine, own ?? {}, random), key, settings);
        }),
      );
    });
    const passes = listPasses(summaries, { keepAll: false, setAside: [] });
    /** @type {(pass: any, code: string) => boolean} */
    const has = (pass, code) => pass.flags.some((/** @type {any} */ flag) => flag.code === code);
    const isMeant = (/** @type {any} */ pass) => touched.has(`${pass.game}/${pass.config}/${pass.pass}`);
    const meant = passes.filter((/** @type {any} */ pass) => pass.config === "second" && isMeant(pass));
    for (const game of new Set(meant.map((/** @type {any} */ pass) => pass.game))) {
      const own = meant.filter((/** @type {any} */ pass) => pass.game === game);
      result.cells++;
      if (2 * own.filter((/** @type {any} */ pass) => has(pass, scenario.code ?? "")).length > own.length)
        result.found++;
    }
    const wrong = passes.filter((/** @type {any} */ pass) =>
      paceCodes.some((code) => has(pass, code) && !(code === scenario.code && isMeant(pass))),
    ).length;
    result.passes += passes.length;
    result.falsePasses += wrong;
    if (wrong > 0) result.falseSessions++;
  }
  return result;
}
