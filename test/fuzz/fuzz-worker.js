// One thread of the fuzzer: makes inputs, runs them, and says what happened. The other thread watches the clock.
import { parentPort, workerData } from "node:worker_threads";
import { runTarget, targets } from "./targets.js";

const { seed, target: name, inputs, replay, clock } = workerData;
const target = targets[name];

/** SplitMix32 (after Steele, Lea and Flood 2014): small, and the same everywhere. */
function seededRandom(start) {
  let state = start >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return (z ^ (z >>> 15)) >>> 0;
  };
}

// What takes long once is no input's fault.
if (target.prepare !== undefined) await target.prepare();

async function runOne(bytes) {
  // The watching thread reads the time and the input from shared memory: this one may be busy for ever.
  clock.input.set(bytes.subarray(0, clock.input.length));
  Atomics.store(clock.state, 1, Math.min(bytes.length, clock.input.length));
  Atomics.add(clock.state, 0, 1);
  try {
    return { told: await runTarget(name, bytes), error: null };
  } catch (error) {
    return { told: "", error: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}

function fail(bytes, error) {
  parentPort.postMessage({ kind: "failure", bytes, error });
}

if (replay !== undefined) {
  for (const bytes of replay) {
    const { error } = await runOne(bytes);
    if (error !== null) fail(bytes, error);
  }
} else {
  const random = seededRandom(seed);
  const corpus = (await target.corpus()).map((bytes) => Uint8Array.from(bytes));
  const known = new Set();
  for (const bytes of corpus) {
    const { told, error } = await runOne(bytes);
    known.add(told);
    if (error !== null) fail(bytes, error);
  }
  const mostKept = 4000;
  for (let i = 0; i < inputs; i++) {
    const parent = corpus[random() % corpus.length];
    const other = corpus[random() % corpus.length];
    const bytes = target.mutate(parent, random, other);
    const { told, error } = await runOne(bytes);
    if (error !== null) fail(bytes, error);
    // What did something new is mutated further.
    else if (!known.has(told)) {
      known.add(told);
      if (corpus.length < mostKept) corpus.push(Uint8Array.from(bytes));
    }
  }
  parentPort.postMessage({ kind: "corpus", size: corpus.length, outcomes: known.size });
}
parentPort.postMessage({ kind: "done" });
