/**
 * Invented passes whose pace has a known cause, with sensors as real ones are: read a few times a second, late, noisy.
 * A scene runs the same course in every pass of a game; frame times carry over, lean to the slow side and stutter.
 */
import { createRandom } from "../demo/random-source.js";

/**
 * @typedef {import("../demo/random-source.js").Random} Random
 *
 * @typedef {object} Machine what is the same for all passes of a session
 * @property {number} typicalMs
 * @property {number} lengthS
 * @property {number} sceneSpread
 * @property {number} quickSpread
 * @property {number} stutterChance
 * @property {number} readingS seconds between two readings of a sensor
 * @property {number} lateS by which the sensors lag
 * @property {number} clockNoise
 * @property {number} powerNoise
 * @property {number} grainMs what frame times are rounded to
 * @property {(fraction: number) => number} scene
 *
 * @typedef {object} Effect
 * @property {number} [calm] share of the scene's usual changes and unrest; 1 where left out
 * @property {number} [capFps] no frame is faster
 * @property {number} [capJitter] SD of a frame at the cap, as a fraction
 * @property {number} [syncHz] every frame ends on a refresh of the display
 * @property {number} [gpuLoad] mean GPU load, percent; left out: no such sensor
 * @property {readonly (readonly [number, number])[]} [drops] as fractions of the pass
 * @property {number} [clockDrop] by what share the clock falls in them
 * @property {number} [slower] by what share frames take longer in them
 * @property {boolean} [loadFalls] whether the load falls in them too
 * @property {number} [boostS] seconds of a higher clock at the start
 * @property {number} [ramp] share that the clock loses over the pass
 * @property {number} [wholePass] share by which clock and speed lie lower throughout
 * @property {boolean} [hasConstantClock] as virtual machines report it
 * @property {boolean} [hasClock] false: power alone tells
 * @property {boolean} [hasLoad]
 * @property {number} [powerLimit] what power is held below, as a share of what the scene asks for on average
 */

/** @type {(random: Random, low: number, high: number) => number} */
export const between = (random, low, high) => low + (high - low) * random.uniform();

/** @type {(random: Random) => Machine} */
export function createMachine(random) {
  const sceneSpread = between(random, 0.04, 0.15);
  const knots = Array.from({ length: 22 }, () => 1 + sceneSpread * 1.5 * (2 * random.uniform() - 1));
  return {
    typicalMs: 3 * 5 ** random.uniform(),
    lengthS: between(random, 30, 60),
    sceneSpread,
    quickSpread: between(random, 0.015, 0.06),
    stutterChance: between(random, 0.0005, 0.004),
    readingS: random.uniform() < 0.8 ? 0.1 : 0.5,
    lateS: between(random, 0, 0.15),
    clockNoise: between(random, 0.002, 0.02),
    powerNoise: between(random, 0.005, 0.03),
    grainMs: random.uniform() < 0.5 ? 0.01 : 0.001,
    scene: (fraction) => {
      const place = Math.min(Math.max(fraction, 0), 0.999999) * (knots.length - 1);
      const left = Math.floor(place);
      const x = place - left;
      const from = knots[left] ?? 1;
      return from + ((knots[left + 1] ?? from) - from) * x * x * (3 - 2 * x);
    },
  };
}

/**
 * @param {Machine} machine
 * @param {Effect} effect
 * @param {Random} random
 * @returns a log as the reader gives it, as far as measuring needs it
 */
export function simulatePace(machine, effect, random) {
  const { lengthS, typicalMs, scene } = machine;
  const calm = effect.calm ?? 1;
  const passFactor = 1 + 0.006 * random.normal();
  const times = [];
  let atS = 0;
  let quick = random.normal();
  let drift = random.normal();
  let afterMs = 0;
  let refresh = 0;
  while (atS < lengthS) {
    const fraction = atS / lengthS;
    quick = 0.6 * quick + 0.8 * random.normal();
    drift = 0.995 * drift + 0.1 * random.normal();
    const unrest = 1 + calm * (machine.quickSpread * (quick + (quick * quick - 1) / 3) + 0.012 * drift);
    const weight = 1 + calm * (scene(fraction) - 1);
    let ms = typicalMs * passFactor * weight * Math.max(0.5, unrest) * (1 + (effect.wholePass ?? 0));
    if (isInside(effect.drops, fraction)) ms *= 1 + (effect.slower ?? 0);
    const heldUpMs =
      random.uniform() < machine.stutterChance ? 0.6 * ms * Math.min(6, random.uniform() ** -0.25) : 0;
    ms += heldUpMs + afterMs;
    afterMs = 0.25 * heldUpMs;
    if (effect.capFps !== undefined) {
      const capMs = 1000 / effect.capFps;
      if (ms < capMs) ms = capMs * (1 + (effect.capJitter ?? 0) * random.normal());
    }
    if (effect.syncHz !== undefined) {
      const next = Math.max(refresh + 1, Math.ceil(refresh + (ms * effect.syncHz) / 1000 - 1e-9));
      ms = ((next - refresh) * 1000) / effect.syncHz + 0.004 * (1000 / effect.syncHz) * random.normal();
      refresh = next;
    }
    ms = Math.max(0.1, Math.round(ms / machine.grainMs) * machine.grainMs);
    times.push(ms);
    atS += ms / 1000;
  }
  return {
    file: "",
    frameTimesMs: Float64Array.from(times),
    frameEndsS: null,
    sensors: simulateSensors(machine, effect, atS, random),
    flags: [],
    startedAt: null,
  };
}

/** @type {(stretches: Effect["drops"], fraction: number) => boolean} */
function isInside(stretches, fraction) {
  return stretches?.some(([from, to]) => fraction >= from && fraction < to) ?? false;
}

/** @type {(machine: Machine, effect: Effect, endS: number, random: Random) => object[]} */
function simulateSensors(machine, effect, endS, random) {
  const { lengthS, readingS, lateS, scene } = machine;
  const at = [];
  const clock = [];
  const power = [];
  const load = [];
  const gpu = [];
  let clockWander = 0;
  let powerWander = 0;
  for (let atS = 0; atS < endS; atS += readingS * between(random, 0.9, 1.1)) {
    const fraction = Math.max(0, atS - lateS) / lengthS;
    const isLow = isInside(effect.drops, fraction);
    clockWander = 0.6 * clockWander + 0.8 * random.normal();
    powerWander = 0.8 * powerWander + 0.6 * random.normal();
    const boost = effect.boostS !== undefined && fraction * lengthS < effect.boostS ? 1.1 : 1;
    const level =
      boost *
      (1 - (effect.ramp ?? 0) * fraction) *
      (1 - (isLow ? (effect.clockDrop ?? 0) : 0)) *
      (1 - (effect.wholePass ?? 0) * 1.2);
    at.push(atS);
    clock.push(effect.hasConstantClock ? 2600 : 4700 * level * (1 + machine.clockNoise * clockWander));
    // Power goes with the clock by more than its first power, and with what the scene asks for.
    const asked = 55 * level ** 1.7 * (0.5 + 0.5 * scene(fraction));
    const limitW = 55 * (effect.powerLimit ?? Number.POSITIVE_INFINITY);
    power.push(
      asked < limitW ? asked * (1 + machine.powerNoise * powerWander) : limitW * (1 + 0.003 * powerWander),
    );
    const shareOfLoad = isLow && effect.loadFalls ? 0.55 : 1;
    load.push(Math.min(100, Math.max(0, 45 * shareOfLoad * scene(fraction) + 4 * random.normal())));
    gpu.push(Math.min(100, Math.max(0, (effect.gpuLoad ?? 0) + 2.5 * random.normal())));
  }
  /** @type {(role: string, unit: string, values: number[]) => object} */
  const series = (role, unit, values) => ({
    role,
    unit,
    column: role,
    atS: Float64Array.from(at),
    values: Float64Array.from(values),
  });
  return [
    ...(effect.hasClock === false ? [] : [series("cpu-clock", "MHz", clock)]),
    series("cpu-power", "W", power),
    ...(effect.hasLoad === false ? [] : [series("cpu-load", "%", load)]),
    ...(effect.gpuLoad === undefined ? [] : [series("gpu-load", "%", gpu)]),
  ];
}

/** @type {(seed: number, name: string) => Random} */
export function randomFor(seed, name) {
  return createRandom(seed, name);
}
