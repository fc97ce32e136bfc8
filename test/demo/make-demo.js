/**
 * Writes the invented session: `node test/demo/make-demo.js [folder] [--logs-only]`, by default into demo-data.
 * The logs are the same to the byte wherever this runs; only their compressed form may differ between zlib versions.
 * session.yaml is written by hand and left alone.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { badPass, baseline, games, passesPerCell, powerLimits, seed } from "./demo-scenario.js";
import { measureTruth } from "./measure-truth.js";
import { simulatePass } from "./simulate-pass.js";

const truthPasses = 250;

/**
 * @param {number} value whole
 * @param {number} decimals how many of its digits stand behind the point
 */
function withPoint(value, decimals) {
  const digits = String(value).padStart(decimals + 1, "0");
  return `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
}

/** @param {import("./simulate-pass.js").Pass} pass */
function logText({ frameTimes, powers }) {
  const lines = ["elapsed_s,frame_time_ms,cpu_power_w"];
  let elapsed = 0;
  for (const [i, frameTime] of frameTimes.entries()) {
    elapsed += frameTime;
    const elapsedS = withPoint(Math.round(elapsed / 100), 3);
    lines.push(`${elapsedS},${withPoint(frameTime, 2)},${withPoint(powers[i] ?? 0, 1)}`);
  }
  return `${lines.join("\n")}\n`;
}

/** @param {string} text */
function compress(text) {
  const bytes = gzipSync(text, { level: 9 });
  // RFC 1952: byte 9 names the operating system, 255 is "unknown"; Node leaves the time at 0.
  bytes[9] = 255;
  return bytes;
}

/** @param {string} folder */
function writeLogs(folder) {
  for (const game of games) {
    for (const { config, limitW } of powerLimits) {
      mkdirSync(join(folder, game.game, config), { recursive: true });
      for (let i = 1; i <= passesPerCell; i += 1) {
        const pass = `pass-${i}`;
        const isBad = badPass.game === game.game && badPass.config === config && badPass.pass === pass;
        const simulated = simulatePass({
          seed,
          name: `${game.game}/${config}/${pass}`,
          game,
          limitW,
          effect: game.effects?.[config] ?? {},
          ...(isBad ? { spoiled: badPass } : {}),
        });
        writeFileSync(join(folder, game.game, config, `${pass}.csv.gz`), compress(logText(simulated)));
      }
    }
  }
}

/**
 * What an honest judgement of the recorded passes finds, and what it may not claim, from the truth alone.
 * @param {readonly import("./measure-truth.js").TrueChange[]} changes
 */
function expectations(changes) {
  const noisy = "hollow-parliament";
  const mustFind = [];
  const mustNot = [];
  for (const { game, config, changePct } of changes) {
    for (const metric of /** @type {const} */ (["avgFps", "low1Fps", "low01Fps"])) {
      const change = changePct[metric];
      const row = { game, config, metric };
      // The noise of the 0.1% low hides changes below some ten percent from four passes.
      const isPlain = Math.abs(change) >= (metric === "low01Fps" ? 15 : 5);
      const direction = change > 0 ? "higher" : "lower";
      if (Math.abs(change) < 1) {
        if (game === noisy) mustFind.push({ ...row, verdict: "unclear" });
        else if (metric === "avgFps") mustFind.push({ ...row, verdict: "same" });
        mustNot.push({
          ...row,
          verdicts: game === noisy ? ["higher", "lower", "same"] : ["higher", "lower"],
        });
      } else {
        if (isPlain) mustFind.push({ ...row, verdict: direction });
        mustNot.push({ ...row, verdicts: [direction === "higher" ? "lower" : "higher", "same"] });
      }
    }
  }
  return { mustFind, mustNot };
}

/** @param {string} folder */
function writeTruth(folder) {
  const { changes, cells } = measureTruth(seed, truthPasses);
  const { game, config, pass, from, to } = badPass;
  const truth = {
    note:
      "Everything here is invented; nothing was measured on a real machine. changes: the true differences, from " +
      `${truthPasses} simulated passes of each game and power limit that share their random numbers, without the bad ` +
      "pass. cells: the figures of a typical pass and the standard deviation between passes. Lows are percentiles. " +
      "mustFind and mustNot follow from the true differences. The seed was picked so that no verdict lies on the " +
      "edge: of the seeds 1 to 100, 98 show every real difference listed in mustFind, and 81 set aside the bad pass " +
      "and no other (the others lose a pass of the noisy game too).",
    seed,
    truthPasses,
    baseline,
    lows: "percentile",
    roles: {
      frameCapped: "kestrel-cup",
      throttled: { game: "ninth-lantern", config: "quiet-35w" },
      powerHelps: "saltworks",
      tooNoisy: "hollow-parliament",
    },
    badPass: { game, config, pass, from, to, why: "a background update slowed this stretch of the pass" },
    changes,
    cells,
    ...expectations(changes),
  };
  writeFileSync(join(folder, "truth.json"), `${JSON.stringify(truth, null, 1)}\n`);
}

const words = process.argv.slice(2);
const folder = words.find((word) => !word.startsWith("--"));
const target = folder ?? fileURLToPath(new URL("../../demo-data", import.meta.url));
writeLogs(target);
if (!words.includes("--logs-only")) writeTruth(target);
