import { spawnSync } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const runner = fileURLToPath(new URL("./run-measured.js", import.meta.url));

/**
 * Runs a script as a process of its own, start included.
 * @returns seconds on the wall, seconds of all cores, peak memory in MB and what it printed
 * @throws Error if it fails
 */
export function runScript(script, args) {
  const note = path.join(os.tmpdir(), `bench-note-${process.pid}`);
  const started = process.hrtime.bigint();
  const { status, stdout, stderr } = spawnSync(process.execPath, [runner, note, script, ...args], {
    encoding: "utf8",
    maxBuffer: 1 << 30,
  });
  const wallS = Number(process.hrtime.bigint() - started) / 1e9;
  if (status !== 0) throw new Error(`${script} ${args.join(" ")}: ${stderr}`);
  const figures = JSON.parse(readFileSync(note, "utf8"));
  rmSync(note);
  return { wallS, ...figures, stdout };
}

/** Runs all contenders in turn, round by round, so that what else the machine does meets all of them. */
export function runByTurns(contenders, rounds) {
  const results = contenders.map(() => []);
  for (let round = 0; round < rounds; round++) {
    for (const [i, { before, script, args, check }] of contenders.entries()) {
      before?.(round);
      const result = runScript(script, typeof args === "function" ? args(round) : args);
      check?.(result.stdout, round);
      delete result.stdout;
      results[i].push(result);
    }
  }
  return contenders.map(({ name }, i) => ({ name, rounds: results[i] }));
}

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}

/** Median of what one took over what another took in the same round. */
export function ratioOf(one, other, key = "wallS") {
  return median(one.rounds.map((result, i) => result[key] / other.rounds[i][key]));
}

/** A line per contender: median and range on the wall, median of all cores, largest peak. */
export function printResults(results) {
  for (const { name, rounds } of results) {
    const wall = rounds.map(({ wallS }) => wallS);
    const range = `${Math.min(...wall).toFixed(2)} to ${Math.max(...wall).toFixed(2)}`;
    console.log(
      `  ${name.padEnd(34)} ${median(wall).toFixed(2)} s (${range}), ` +
        `${median(rounds.map(({ cpuS }) => cpuS)).toFixed(2)} s of all cores, ` +
        `${Math.max(...rounds.map(({ peakMb }) => peakMb)).toFixed(0)} MB`,
    );
  }
}
