/**
 * The invented evening: six games at three power limits of a processor of 8 cores and 16 threads, four passes each.
 * Nothing here is measured from any real machine.
 */

/** Picked among the first hundred so that no verdict lies on the edge; truth.json says how often others do as well. */
export const seed = 98;
export const passesPerCell = 4;

/**
 * @typedef {object} PowerLimit
 * @property {string} config
 * @property {number} limitW
 *
 * @typedef {object} Throttle slow frames in short groups where the scene is heavy; the frames queued before and
 *   after make up for most of the time, so that the average hardly moves
 * @property {number} chance per frame of a heavy stretch that a group begins
 * @property {number} depth by what share a frame of the group takes longer at least; some take twice that and more
 * @property {number} repaid share of the lost time made good by the frames that follow
 *
 * @typedef {object} Effect what a power limit does to a game
 * @property {number} [speed] FPS relative to the baseline, 1 where nothing changes
 * @property {Throttle} [throttle]
 *
 * @typedef {object} Game
 * @property {string} game
 * @property {number} typicalMs frame time in a middling part of the scene
 * @property {number} passS length of a pass
 * @property {number} sceneSpread how much the scene's own course moves the frame time, as a fraction
 * @property {number} passSpread SD of a pass's speed, as a fraction
 * @property {number} tailSpread SD of a pass's own unrest, which moves the lows alone, as a fraction
 * @property {number} demandW what the processor would draw without a limit
 * @property {number} [frameCap] FPS
 * @property {Record<string, Effect>} [effects] by config; nothing changes for the others
 */

/** @type {readonly PowerLimit[]} */
export const powerLimits = [
  { config: "quiet-35w", limitW: 35 },
  { config: "balanced-54w", limitW: 54 },
  { config: "full-65w", limitW: 65 },
];

export const baseline = "balanced-54w";

/** @type {readonly Game[]} */
export const games = [
  {
    game: "tide-runner",
    typicalMs: 5.4,
    passS: 68,
    sceneSpread: 0.1,
    passSpread: 0.005,
    tailSpread: 0.06,
    demandW: 58,
  },
  {
    game: "moss-and-marrow",
    typicalMs: 7.3,
    passS: 90,
    sceneSpread: 0.13,
    passSpread: 0.006,
    tailSpread: 0.06,
    demandW: 46,
  },
  {
    game: "hollow-parliament",
    typicalMs: 8.1,
    passS: 105,
    sceneSpread: 0.08,
    passSpread: 0.055,
    tailSpread: 0.12,
    demandW: 51,
  },
  {
    game: "kestrel-cup",
    typicalMs: 5.9,
    passS: 84,
    sceneSpread: 0.1,
    passSpread: 0.006,
    tailSpread: 0.06,
    demandW: 42,
    frameCap: 144,
  },
  {
    game: "ninth-lantern",
    typicalMs: 7.7,
    passS: 96,
    sceneSpread: 0.11,
    passSpread: 0.006,
    tailSpread: 0.06,
    demandW: 50,
    effects: { "quiet-35w": { throttle: { chance: 0.013, depth: 0.33, repaid: 0.85 } } },
  },
  {
    game: "saltworks",
    typicalMs: 8.6,
    passS: 108,
    sceneSpread: 0.1,
    passSpread: 0.007,
    tailSpread: 0.06,
    demandW: 74,
    effects: { "quiet-35w": { speed: 0.91 }, "full-65w": { speed: 1.07 } },
  },
];

/** The pass that a background update spoiled: a stretch of it, as fractions of its length. */
export const badPass = {
  game: "moss-and-marrow",
  config: "full-65w",
  pass: "pass-3",
  from: 0.31,
  to: 0.66,
  factor: 1.35,
  stutterTimes: 8,
};
