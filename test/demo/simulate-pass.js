/**
 * One pass of an invented game, frame by frame. What makes frame times look real: a scene that runs the same course
 * in every pass, slow drift and quick unrest that carry over from frame to frame, a skew to the slow side, stutters
 * that come in clusters and have a heavy tail, and now and then a long hitch.
 */
import { createRandom } from "./random-source.js";

/** Frame to frame carry-over of the quick unrest and of the slow drift. */
const quickMemory = 0.6;
const driftMemory = 0.995;
const quickSpread = 0.035;
const skewSpread = 0.02;
const driftSpread = 0.012;
/** Chance of a stutter per frame, in calm stretches and in clusters; how clusters begin and end, per frame. */
const calmStutter = 0.0015;
const clusterStutter = 0.04;
const clusterBegins = 1 / 1500;
const clusterEnds = 1 / 50;
const hitch = 1 / 12_000;
/** A power reading is renewed ten times a second. */
const readingsPerS = 10;

/**
 * @typedef {import("./demo-scenario.js").Game} Game
 * @typedef {import("./demo-scenario.js").Effect} Effect
 *
 * @typedef {object} Pass
 * @property {number[]} frameTimes in hundredths of a millisecond, whole
 * @property {number[]} powers one for each frame, in tenths of a watt, whole
 */

/**
 * The course of a game's scene: how much heavier or lighter than middling, smooth between knots.
 * @param {number} seed
 * @param {Game} game
 * @returns {(fraction: number) => number} factor on the frame time at a fraction of the pass
 */
function createScene(seed, game) {
  const random = createRandom(seed, `${game.game}/scene`);
  const knots = Array.from({ length: 22 }, () => 1 + game.sceneSpread * (2 * random.uniform() - 1) * 1.5);
  return (fraction) => {
    const place = Math.min(Math.max(fraction, 0), 0.999999) * (knots.length - 1);
    const left = Math.floor(place);
    const x = place - left;
    const from = knots[left] ?? 1;
    const to = knots[left + 1] ?? from;
    return from + (to - from) * x * x * (3 - 2 * x);
  };
}

/**
 * @param {object} request
 * @param {number} request.seed
 * @param {string} request.name names the pass's own random numbers; the same name gives the same noise
 * @param {Game} request.game
 * @param {number} request.limitW
 * @param {Effect} request.effect
 * @param {typeof import("./demo-scenario.js").badPass} [request.spoiled]
 * @returns {Pass}
 */
export function simulatePass({ seed, name, game, limitW, effect, spoiled }) {
  const scene = createScene(seed, game);
  const ofPass = createRandom(seed, `${name}/pass`);
  const unrest = createRandom(seed, `${name}/unrest`);
  const stutters = createRandom(seed, `${name}/stutters`);
  const throttling = createRandom(seed, `${name}/throttling`);
  const meter = createRandom(seed, `${name}/meter`);

  const passFactor = 1 + game.passSpread * ofPass.normal();
  const tailFactor = Math.max(0.2, 1 + game.tailSpread * ofPass.normal());
  const lengthS = game.passS + 0.5 * (ofPass.uniform() - 0.5);
  const meterFactor = 1 + 0.003 * ofPass.normal();
  const middlingMs = (game.typicalMs * passFactor) / (effect.speed ?? 1);
  const capMs = game.frameCap === undefined ? 0 : 1000 / game.frameCap;
  const quickFresh = Math.sqrt(1 - quickMemory * quickMemory);
  const driftFresh = Math.sqrt(1 - driftMemory * driftMemory);

  /** @type {number[]} */
  const frameTimes = [];
  /** @type {number[]} */
  const powers = [];
  let quick = unrest.normal();
  let drift = unrest.normal();
  let inCluster = false;
  let afterMs = 0;
  let slowLeft = 0;
  let slowFactor = 1;
  let owedMs = 0;
  let meterNoise = 0;
  let reading = 0;
  let readingAt = -1;
  let elapsed = 0;

  while (elapsed < lengthS * 100_000) {
    const elapsedS = elapsed / 100_000;
    const fraction = elapsedS / game.passS;
    const weight = scene(fraction);
    const isSpoiled = spoiled !== undefined && fraction >= spoiled.from && fraction < spoiled.to;

    quick = quickMemory * quick + quickFresh * unrest.normal();
    drift = driftMemory * drift + driftFresh * unrest.normal();
    const skew = (quick * quick - 1) / Math.SQRT2;
    const unrestFactor = 1 + tailFactor * (quickSpread * quick + skewSpread * skew);
    const smoothMs = middlingMs * weight * (1 + driftSpread * drift) * unrestFactor;
    let ms = isSpoiled ? smoothMs * spoiled.factor : smoothMs;

    inCluster = stutters.uniform() < (inCluster ? 1 - clusterEnds : clusterBegins);
    const stutterChance = (inCluster ? clusterStutter : calmStutter) * (isSpoiled ? spoiled.stutterTimes : 1);
    // Pareto with index 4: the fourth root of a uniform, taken with square roots alone.
    const pareto = Math.min(4, 1 / Math.sqrt(Math.sqrt(stutters.uniform())));
    const draw = stutters.uniform();
    let heldUpMs = 0;
    if (draw < hitch) heldUpMs = 5 * smoothMs * pareto;
    else if (draw < hitch + stutterChance) heldUpMs = 0.45 * smoothMs * pareto;
    // What held up a frame often holds up the next one too.
    ms += heldUpMs + afterMs;
    afterMs = 0.25 * heldUpMs;

    if (effect.throttle !== undefined) {
      const { chance, depth, repaid } = effect.throttle;
      const begins = throttling.uniform() < (weight > 1 ? chance : chance / 5);
      const frames = 2 + Math.floor(3 * throttling.uniform());
      const howDeep = Math.min(2.6, 1 / Math.sqrt(throttling.uniform()));
      if (begins) {
        slowLeft = frames;
        slowFactor = 1 + depth * howDeep;
      }
      if (slowLeft > 0) {
        slowLeft -= 1;
        owedMs += repaid * ms * (slowFactor - 1);
        ms *= slowFactor;
      } else if (owedMs > 0) {
        const back = Math.min(owedMs, 0.12 * ms);
        owedMs -= back;
        ms -= back;
      }
    }
    if (ms < capMs) ms = capMs + 0.03 * unrest.normal();

    if (Math.floor(elapsedS * readingsPerS) !== readingAt) {
      readingAt = Math.floor(elapsedS * readingsPerS);
      meterNoise = 0.8 * meterNoise + 0.6 * meter.normal();
      // A limit holds on average; the first seconds of load may go beyond it.
      const allowedW = limitW * (1 + 0.12 * Math.max(0, 1 - elapsedS / 6));
      const wantedW = game.demandW * (0.5 + 0.5 * weight);
      const watts =
        wantedW < allowedW ? wantedW * (1 + 0.015 * meterNoise) : allowedW * (1 + 0.004 * meterNoise);
      reading = Math.round(10 * watts * meterFactor);
    }
    const rounded = Math.round(ms * 100);
    elapsed += rounded;
    frameTimes.push(rounded);
    powers.push(reading);
  }
  return { frameTimes, powers };
}
