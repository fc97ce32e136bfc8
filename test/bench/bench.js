// Wall time and peak memory of the main job on a session of ordinary size, as whole processes:
//   npm run bench [runs]
// Writes 16 games x 3 configs x 5 passes x 20,000 frames into a temporary folder, as narrow logs (3 columns), and one
// wide log of 500 MB (20 columns).
import { spawnSync } from "node:child_process";
import {
  closeSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from "node:fs";
import os from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { createRandom } from "../demo/random-source.js";

const here = path.dirname(fileURLToPath(import.meta.url));
const program = path.resolve(here, "../../bin/runjury.js");
const runner = path.join(here, "run-measured.js");
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
  const all = games * configs.length * passes;
  const readsAll = (stdout) => JSON.parse(stdout).passes.length === all;
  report("judge --format json", ["judge", folder, "--format", "json"], readsAll);
  report("the same on one thread", ["judge", folder, "--format", "json", "--threads", "1"], readsAll);
  const wide = path.join(folder, "wide.csv");
  writeWideLog(wide, 500e6);
  console.log(
    `a log of ${megabytes(statSync(wide).size)} MB: reading its bytes alone takes ${readBytes(wide).toFixed(2)} s`,
  );
  report(
    "inspect --format json",
    ["inspect", wide, "--format", "json"],
    (stdout) => JSON.parse(stdout).rows.frames > 1e6,
  );
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

/** Twenty columns, of which three or four matter. */
function writeWideLog(file, bytes) {
  const random = createRandom(1, "wide");
  const handle = openSync(file, "w");
  let size = writeSync(
    handle,
    "frame,elapsed_s,frame_time_ms,cpu load [%],gpu load [%],cpu power [W],state,a,b,c,d,e,f,g,h,i,j,k,l,m\n",
  );
  let elapsedMs = 0;
  for (let frame = 1; size < bytes; ) {
    const rows = [];
    for (let i = 0; i < 20_000; i++, frame++) {
      const ms = 5 + 2 * random.uniform();
      elapsedMs += ms;
      const slow = frame >> 8;
      rows.push(
        `${frame},${(elapsedMs / 1000).toFixed(7)},${ms.toFixed(6)},${40 + (slow % 9)}.5,${85 + (slow % 7)}.1,` +
          `${(54 + (slow % 5) / 3).toFixed(2)},flyover,0,1,2,3.5,65.2,44.1,33.000,8.12345,9.1234,1234,1500,22.5,7`,
      );
    }
    size += writeSync(handle, `${rows.join("\n")}\n`);
  }
  closeSync(handle);
}

/** Seconds that reading a file's bytes takes, one block at a time, nothing done with them. */
function readBytes(file) {
  const block = new Uint8Array(1 << 20);
  const started = process.hrtime.bigint();
  const handle = openSync(file, "r");
  while (readSync(handle, block, 0, block.length, null) > 0);
  closeSync(handle);
  return Number(process.hrtime.bigint() - started) / 1e9;
}

function report(name, args, isRight) {
  const seconds = [];
  const peaks = [];
  for (let run = 0; run < runs; run++) {
    const { wallS, peakMb, stdout } = measure(args);
    if (!isRight(stdout)) throw new Error(`${name}: not everything was read`);
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
  const started = process.hrtime.bigint();
  const { status, stdout, stderr } = spawnSync(process.execPath, [runner, note, program, ...args], {
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
