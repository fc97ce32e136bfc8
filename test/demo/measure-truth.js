/**
 * What is true of the invented session, from many more passes than were recorded. The passes of one game use the same
 * random numbers under every power limit, so that where a limit changes nothing the difference is exactly nil.
 */
import { baseline, games, powerLimits } from "./demo-scenario.js";
import { simulatePass } from "./simulate-pass.js";

/**
 * @typedef {{ avgFps: number, low1Fps: number, low01Fps: number, cpuPowerW: number }} Figures
 * @typedef {{ game: string, config: string, against: string, changePct: Figures, standardErrorPct: Figures }} TrueChange
 * @typedef {{ game: string, config: string, typical: Figures, spreadPct: Figures }} TrueCell
 */

/** @type {readonly (keyof Figures)[]} */
const metrics = ["avgFps", "low1Fps", "low01Fps", "cpuPowerW"];

/**
 * Average FPS, percentile lows (Hyndman and Fan 1996, definition 7) and mean power over time of one pass. Written out
 * here on purpose: the program under test must not have a say in what is true.
 * @param {import("./simulate-pass.js").Pass} pass
 * @returns {Figures}
 */
function measurePass({ frameTimes, powers }) {
  const sorted = Int32Array.from(frameTimes).sort();
  const lowFps = (/** @type {number} */ p) => {
    const place = (sorted.length - 1) * p;
    const left = Math.floor(place);
    const from = sorted[left] ?? 0;
    return 100_000 / (from + (place - left) * ((sorted[left + 1] ?? from) - from));
  };
  let sum = 0;
  let energy = 0;
  for (let i = 0; i < frameTimes.length; i += 1) {
    sum += frameTimes[i] ?? 0;
    energy += (frameTimes[i] ?? 0) * (powers[i] ?? 0);
  }
  return {
    avgFps: (100_000 * frameTimes.length) / sum,
    low1Fps: lowFps(0.99),
    low01Fps: lowFps(0.999),
    cpuPowerW: energy / sum / 10,
  };
}

/** @param {readonly number[]} values */
function meanAndSpread(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) * (value - mean), 0);
  return { mean, spread: Math.sqrt(squares / (values.length - 1)) };
}

/** @param {(metric: keyof Figures) => number} figure */
function figuresOf(figure) {
  return /** @type {Figures} */ (Object.fromEntries(metrics.map((metric) => [metric, figure(metric)])));
}

/** Four decimals, so that the last bits of a logarithm do not show in the committed file. */
const round = (/** @type {number} */ value) => Math.round(value * 10_000) / 10_000 + 0;

/**
 * @param {number} seed
 * @param {number} passes how many to simulate for each game and limit, at least 2
 * @param {readonly string[]} [only] games; all where absent
 * @returns {{ changes: TrueChange[], cells: TrueCell[] }} changes of the geometric means, in percent of the baseline's;
 *   typical figures and the standard deviation of one pass, in percent
 */
export function measureTruth(seed, passes, only = games.map(({ game }) => game)) {
  /** @type {TrueChange[]} */
  const changes = [];
  /** @type {TrueCell[]} */
  const cells = [];
  for (const game of games.filter((candidate) => only.includes(candidate.game))) {
    const logs = new Map(
      powerLimits.map(({ config, limitW }) => [
        config,
        Array.from({ length: passes }, (_, i) => {
          const name = `${game.game}/truth-${i + 1}`;
          const figures = measurePass(
            simulatePass({ seed, name, game, limitW, effect: game.effects?.[config] ?? {} }),
          );
          return figuresOf((metric) => Math.log(figures[metric]));
        }),
      ]),
    );
    const reference = logs.get(baseline) ?? [];
    for (const [config, cell] of logs) {
      const own = figuresOf((metric) => meanAndSpread(cell.map((pass) => pass[metric])).mean);
      const spread = figuresOf((metric) => meanAndSpread(cell.map((pass) => pass[metric])).spread);
      cells.push({
        game: game.game,
        config,
        typical: figuresOf((metric) => round(Math.exp(own[metric]))),
        spreadPct: figuresOf((metric) => round(100 * spread[metric])),
      });
      if (config === baseline) continue;
      const differences = figuresOf((metric) => {
        return meanAndSpread(cell.map((pass, i) => pass[metric] - (reference[i]?.[metric] ?? 0))).mean;
      });
      const doubts = figuresOf((metric) => {
        return meanAndSpread(cell.map((pass, i) => pass[metric] - (reference[i]?.[metric] ?? 0))).spread;
      });
      changes.push({
        game: game.game,
        config,
        against: baseline,
        changePct: figuresOf((metric) => round(100 * (Math.exp(differences[metric]) - 1))),
        standardErrorPct: figuresOf((metric) => round((100 * doubts[metric]) / Math.sqrt(passes))),
      });
    }
  }
  return { changes, cells };
}
