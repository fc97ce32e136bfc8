// Mutated logs, session files, scripts, claims and saved judgements against what the program promises of any bytes:
//   npm run fuzz -- [--inputs 1000000] [--seed 1] [--target log] [--keep <folder for inputs that fail>]
//     [--seconds 5]
//   node test/fuzz/fuzz.js --replay fixtures/fuzz      the inputs that failed once
// Each input has 5 seconds of a processor, unless told otherwise (ten times that on the wall, where a busy machine
// keeps it waiting), and each kind 512 MB of heap. Inputs that do something new are mutated further; "new" is
// told by the findings and the reading that come out, which for this program says more than lines covered.
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";

const heapMb = 512;
const longestInput = 1 << 20;
const shares = { log: 5, session: 2, script: 1, claims: 1, judgement: 1 };

const { values: options } = parseArgs({
  options: {
    inputs: { type: "string", default: "1000000" },
    seed: { type: "string", default: "1" },
    target: { type: "string" },
    keep: { type: "string", default: "fuzz-failures" },
    replay: { type: "string" },
    seconds: { type: "string", default: "5" },
  },
});

const mostMs = 1000 * Number(options.seconds);
const mostWaitingMs = 10 * mostMs;

/** Milliseconds of processors that all threads have taken. */
function processorMs() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Runs one kind of input on a thread of its own, which is ended when an input takes too long. */
function fuzz(target, work) {
  const clock = {
    state: new Int32Array(new SharedArrayBuffer(8)),
    input: new Uint8Array(new SharedArrayBuffer(longestInput)),
  };
  const outcome = { target, ran: 0, failures: [], slowestMs: 0, corpus: null };
  const worker = new Worker(new URL("./fuzz-worker.js", import.meta.url), {
    workerData: { ...work, target, clock },
    resourceLimits: { maxOldGenerationSizeMb: heapMb },
  });
  const current = () => Uint8Array.from(clock.input.subarray(0, Atomics.load(clock.state, 1)));
  return new Promise((resolve) => {
    let count = 0;
    let since = processorMs();
    let sinceOnWall = performance.now();
    const watch = setInterval(() => {
      const now = Atomics.load(clock.state, 0);
      if (now !== count) {
        count = now;
        since = processorMs();
        sinceOnWall = performance.now();
      }
      const spentMs = processorMs() - since;
      const isOver = spentMs > mostMs || performance.now() - sinceOnWall > mostWaitingMs;
      if (count > 0) outcome.slowestMs = Math.max(outcome.slowestMs, spentMs);
      if (count > 0 && isOver) {
        clearInterval(watch);
        outcome.failures.push({ bytes: current(), error: `no end within ${mostMs} ms` });
        void worker.terminate();
      }
    }, 50);
    worker.on("message", (message) => {
      if (message.kind === "failure") outcome.failures.push(message);
      if (message.kind === "corpus") outcome.corpus = message;
    });
    worker.on("error", (error) => outcome.failures.push({ bytes: current(), error: String(error) }));
    worker.on("exit", () => {
      clearInterval(watch);
      outcome.ran = Atomics.load(clock.state, 0);
      resolve(outcome);
    });
  });
}

/** Failures by where they were thrown, so that one fault is told once. */
function distinct(failures) {
  const byPlace = new Map();
  for (const failure of failures) {
    const place = failure.error.split("\n").slice(0, 2).join(" ").replace(/\d+/g, "0");
    const known = byPlace.get(place);
    if (known === undefined || failure.bytes.length < known.bytes.length)
      byPlace.set(place, { ...failure, count: (known?.count ?? 0) + 1 });
    else known.count++;
  }
  return [...byPlace.values()];
}

function keep(target, bytes) {
  const folder = path.join(options.keep, target);
  mkdirSync(folder, { recursive: true });
  const file = path.join(folder, createHash("sha256").update(bytes).digest("hex").slice(0, 12));
  writeFileSync(file, bytes);
  return file;
}

function workOf(target) {
  if (options.replay === undefined) {
    const sum = Object.values(shares).reduce((a, b) => a + b);
    const inputs = Number(options.inputs) * (options.target === undefined ? shares[target] / sum : 1);
    return { seed: Number(options.seed), inputs: Math.ceil(inputs) };
  }
  const folder = path.join(options.replay, target);
  const names = readdirSync(folder).sort();
  return { replay: names.map((name) => Uint8Array.from(readFileSync(path.join(folder, name)))) };
}

const isWanted = (target) =>
  options.replay === undefined
    ? [undefined, target].includes(options.target)
    : existsSync(path.join(options.replay, target));

let failed = 0;
for (const target of Object.keys(shares).filter(isWanted)) {
  const startedMs = performance.now();
  const { ran, failures, slowestMs, corpus } = await fuzz(target, workOf(target));
  const seconds = (performance.now() - startedMs) / 1000;
  const kinds = distinct(failures);
  failed += kinds.length;
  const learnt = corpus === null ? "" : `, ${corpus.outcomes} different outcomes`;
  console.log(
    `${target}: ${ran} inputs in ${seconds.toFixed(0)} s${learnt}, slowest about ${slowestMs.toFixed(0)} ms, ` +
      `peak ${(process.resourceUsage().maxRSS / 1024).toFixed(0)} MB, ${kinds.length} faults`,
  );
  for (const { bytes, error, count } of kinds) {
    console.log(`  ${count} times, ${bytes.length} bytes: ${error.split("\n").slice(0, 4).join("\n    ")}`);
    if (options.replay === undefined) console.log(`  kept as ${keep(target, bytes)}`);
  }
}
process.exitCode = failed === 0 ? 0 : 1;
