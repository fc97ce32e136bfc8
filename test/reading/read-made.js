import { figuresOf, makeLog } from "./make-log.js";

/**
 * Reads one made-up log and holds what was read to what it was made from.
 * @param {(source: object, settings: object) => Promise<{ log: object | null, problems: readonly object[] }>} readLog
 * @param {number} seed of the log
 */
export async function readMade(readLog, seed) {
  const made = makeLog(seed);
  const source = {
    file: `made-${seed}.${made.extension}`,
    bytes: made.bytes.length,
    open: async function* () {
      yield made.bytes;
    },
  };
  const { log, problems } = await readLog(source, {});
  return { made, ...outcomeOf(made, log, problems) };
}

function outcomeOf(made, log, problems) {
  // A log that began again says so, and counts only once somebody has decided.
  const isRestarted = problems.some(({ code }) => code === "log-restarted");
  if (isRestarted || made.isRestarted) {
    if (isRestarted === made.isRestarted || log === null)
      return { outcome: "asked in doubt", why: "log-restarted" };
    return { outcome: isRestarted ? "asked without need" : "wrong in silence", why: "log-restarted" };
  }
  const errors = problems.filter(({ severity }) => severity === "error");
  if (log === null) {
    const codes = errors.map(({ code }) => code).join(" ");
    if (codes === "log-frame-time-unclear")
      return { outcome: made.mayAsk ? "asked in doubt" : "asked without need", why: codes };
    return { outcome: "refused", why: codes };
  }
  const frames = log.frameTimesMs.length;
  const missing = made.frameTimesMs.length - frames;
  // What is missing was cut off.
  const truth = figuresOf(made.frameTimesMs.slice(0, frames));
  const read = figuresOf([...log.frameTimesMs]);
  const off = Math.abs(read.avgFps / truth.avgFps - 1);
  const lowOff = frames < leastForLow ? 0 : Math.abs(read.low1Fps / truth.low1Fps - 1);
  const isRight =
    off <= made.tolerance &&
    lowOff <= 0.02 + 3 * made.tolerance &&
    missing >= -made.mayHaveMore &&
    missing <= made.mayMiss;
  const why = `${shown(read)} for ${shown(truth)}, ${missing} frames missing`;
  return { outcome: isRight ? "right" : "wrong in silence", why };
}

/** Fewer frames have hardly a slowest hundredth. */
const leastForLow = 300;

function shown({ avgFps, low1Fps }) {
  return `${avgFps.toFixed(2)} FPS (1% low ${low1Fps.toFixed(2)})`;
}
