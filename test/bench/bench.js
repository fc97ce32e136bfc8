// Wall time and peak memory of the main job on a session of ordinary size, as whole processes:
//   npm run bench [runs]
// Writes 16 games x 3 configs x 5 passes x 20,000 frames into a temporary folder, as narrow logs (3 columns).
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { createRandom } from "../demo/random-source.js";

const here = path.dirname(fileURLToPath(import.meta.url));
const program = path.resolve(here, "../../bin/runjury.js");
const runs = Number(process.argv[2] ?? 3);
const games = 16;
const configs = ["stock", "parked", "no-threads"];
const passes = 5;
const frames = 20_000;

const folder = mkdtempSync(path.join(os.tmpdir(), "bench-"));
try {
  const bytes = writeSession(folder);
  console.log(
    `${games} games x ${configs.length} configs x ${passes} passes x ${frames} frames, ${megabytes(bytes)} MB`,
  );
  console.log(`${os.cpus().length} cores, Node ${process.version}`);
  report("judge --format json", ["judge", folder, "--format", "json"], games * configs.length * passes);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

function writeSession(folder) {
  let bytes = 0;
  for (let game = 0; game < games; game++) {
    for (const config of configs) {
      const cell = path.join(folder, `game-${game + 1}`, config);
      mkdirSync(cell, { recursive: true });
      for (let pass = 1; pass <= passes; pass++) {
        const text = writeLog(createRandom(1, `${game}/${config}/${pass}`), 4 + game);
        bytes += text.length;
        writeFileSync(path.join(cell, `pass-${pass}.csv`), text);
      }
    }
  }
  return bytes;
}

function writeLog(random, meanMs) {
  const rows = ["frame,elapsed_s,frame_time_ms"];
  let elapsedMs = 0;
  let drift = 0;
  for (let frame = 1; frame <= frames; frame++) {
    drift = 0.95 * drift + 0.02 * random.normal();
    const stutter = random.uniform() < 0.004 ? meanMs * random.uniform() * 3 : 0;
    const ms = meanMs * (1 + drift + 0.05 * Math.abs(random.normal())) + stutter;
    elapsedMs += ms;
    rows.push(`${frame},${(elapsedMs / 1000).toFixed(7)},${ms.toFixed(6)}`);
  }
  return `${rows.join("\n")}\n`;
}

function report(name, args, expectedPasses) {
  const seconds = [];
  const peaks = [];
  for (let run = 0; run < runs; run++) {
    const { wallS, peakMb, stdout } = measure(args);
    if (JSON.parse(stdout).passes.length !== expectedPasses) throw new Error("not every pass was read");
    seconds.push(wallS);
    peaks.push(peakMb);
  }
  console.log(
    `${name}: wall ${spread(seconds, 2)} s, peak memory ${spread(peaks, 0)} MB (median, min to max of ${runs})`,
  );
}

/** Runs the program in a process that leaves its own peak memory in a file when it ends. */
function measure(args) {
  const note = path.join(folder, "peak.tmp");
  const code =
    `process.on("exit", () => require("node:fs").writeFileSync(${JSON.stringify(note)}, ` +
    `String(process.resourceUsage().maxRSS)));` +
    `process.argv.splice(1, 0, ${JSON.stringify(program)});` +
    `import(${JSON.stringify(pathToFileURL(program).href)});`;
  const started = process.hrtime.bigint();
  const { status, stdout, stderr } = spawnSync(process.execPath, ["-e", code, ...args], {
    encoding: "utf8",
    maxBuffer: 1 << 28,
  });
  const wallS = Number(process.hrtime.bigint() - started) / 1e9;
  if (status !== 0) throw new Error(stderr);
  return { wallS, peakMb: Number(readFileSync(note, "utf8")) / 1024, stdout };
}

function spread(values, decimals) {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted[Math.floor(sorted.length / 2)];
  return `${middle.toFixed(decimals)} (${sorted[0].toFixed(decimals)} to ${sorted.at(-1).toFixed(decimals)})`;
}

function megabytes(bytes) {
  return (bytes / 1e6).toFixed(0);
}
