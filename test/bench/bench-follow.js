// What following costs with thousands of captures in the folder: the start with and without what an earlier run kept,
// processor time while nothing happens, and what a new pass costs: the time from a whole log to its line, which depends
// on what else the machine does, and processor time, which hardly does. Prints its table and the load.
import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { loadavg, tmpdir } from "node:os";
import path from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { createRandom } from "../demo/random-source.js";

const program = fileURLToPath(new URL("../../bin/runjury.js", import.meta.url));
const [games, configs, passes, frames] = [100, 5, 10, 3000];
const settleS = 0.5;
const idleS = 10;
const newPasses = 5;

const folder = mkdtempSync(path.join(tmpdir(), "bench-follow-"));
try {
  const captures = path.join(folder, "captures");
  writeCaptures(captures);
  console.log(`${games * configs * passes} captures of ${frames} frames`);
  await follow("start, nothing kept", captures);
  await follow("start again", captures);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function follow(name, captures) {
  const started = performance.now();
  const options = ["--format", "jsonl", "--quiet", "--settle", String(settleS)];
  const cache = ["--cache-dir", path.join(folder, "cache")];
  const child = spawn(process.execPath, [program, "follow", captures, ...options, ...cache], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const told = async (isWanted) => {
    for (;;) {
      const { value, done } = await lines.next();
      if (done) throw new Error("ended too soon");
      const event = JSON.parse(value);
      if (isWanted(event)) return event;
    }
  };
  const { captures: there } = await told(({ event }) => event === "start");
  if (there < games * configs * passes) throw new Error(`only ${there} captures were there`);
  const startS = (performance.now() - started) / 1000;
  await new Promise((resolve) => setTimeout(resolve, 3000));
  const before = processorS(child.pid);
  await new Promise((resolve) => setTimeout(resolve, 1000 * idleS));
  const idlePct = (100 * (processorS(child.pid) - before)) / idleS;
  const waits = [];
  const costs = [];
  for (let i = 0; i < newPasses; i++) {
    const file = path.join(captures, `game-${i + 1}`, "stock", "new.csv");
    const draft = path.join(folder, "draft");
    writeFileSync(draft, writeLog(createRandom(1, `${name} ${i}`), 6));
    const processorBefore = processorS(child.pid);
    const whole = performance.now();
    renameSync(draft, file);
    await told(({ event, pass }) => event === "pass" && pass.file === file);
    waits.push((performance.now() - whole) / 1000 - settleS);
    costs.push(processorS(child.pid) - processorBefore);
    rmSync(file);
    await told(({ event }) => event === "gone");
  }
  child.kill("SIGTERM");
  await new Promise((resolve) => child.on("close", resolve));
  console.log(
    `${name}: ${startS.toFixed(1)} s; ${idlePct.toFixed(1)}% of a core while nothing happens; ` +
      `a new pass is told ${secondsText(waits)} s after it is whole, ` +
      `${secondsText(costs)} s of processor time; load ${loadavg()[0].toFixed(1)}`,
  );
}

function secondsText(values) {
  return values.map((value) => value.toFixed(2)).join(", ");
}

/** Processor time of a process so far; Linux counts it in hundredths of a second. */
function processorS(pid) {
  const fields = readFileSync(`/proc/${pid}/stat`, "utf8").split(") ")[1].split(" ");
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

function writeCaptures(captures) {
  for (let game = 1; game <= games; game++) {
    for (let config = 0; config < configs; config++) {
      const cell = path.join(captures, `game-${game}`, config === 0 ? "stock" : `config-${config}`);
      mkdirSync(cell, { recursive: true });
      for (let pass = 1; pass <= passes; pass++) {
        const file = path.join(cell, `pass-${pass}.csv`);
        writeFileSync(file, writeLog(createRandom(1, file), 5 + game / 20));
        utimesSync(file, 1_700_000_000, 1_700_000_000);
      }
    }
  }
}

function writeLog(random, meanMs) {
  const passFactor = Math.exp(0.006 * random.normal());
  const rows = ["frame,elapsed_s,frame_time_ms"];
  let elapsedMs = 0;
  for (let frame = 1; frame <= frames; frame++) {
    const ms = meanMs * passFactor * (1 + 0.05 * Math.abs(random.normal()));
    elapsedMs += ms;
    rows.push(`${frame},${(elapsedMs / 1000).toFixed(6)},${ms.toFixed(4)}`);
  }
  return `${rows.join("\n")}\n`;
}
