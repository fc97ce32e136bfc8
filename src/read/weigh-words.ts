import { timeUnitOfWords } from "./units.ts";

/** Words of the part of a frame that a time may be spent on: such a time is not the frame's. */
const strongParts = new Set([
  "cpu",
  "gpu",
  "driver",
  "wait",
  "waiting",
  "busy",
  "sleep",
  "idle",
  "input",
  "latency",
  "lag",
  "sim",
  "simulation",
  "logic",
  "physics",
  "audio",
  "script",
  "queue",
  "shader",
  "compile",
  "thread",
  "blocked",
  "call",
  "stall",
  "sync",
  "vsync",
  "response",
  "network",
  "net",
  "ping",
  "load",
  "loading",
]);
const weakParts = new Set([
  "render",
  "rendering",
  "rendered",
  "present",
  "presented",
  "display",
  "displayed",
  "game",
  "draw",
  "drawn",
  "update",
  "tick",
  "screen",
  "scanout",
  "flip",
  "submit",
  "app",
  "engine",
  "main",
  "in",
  "host",
  "device",
]);
/** Words of figures that are made from many frames, or are no measurement at all. */
const derived = new Set([
  "avg",
  "average",
  "averaged",
  "mean",
  "median",
  "min",
  "max",
  "minimum",
  "maximum",
  "smoothed",
  "smooth",
  "rolling",
  "moving",
  "ema",
  "target",
  "budget",
  "limit",
  "expected",
  "ideal",
  "percentile",
  "th",
  "low",
  "high",
  "worst",
  "best",
  "std",
  "stdev",
  "jitter",
  "variance",
  "diff",
  "difference",
  "change",
  "variation",
  "deviation",
  "error",
  "spread",
  "range",
  "p",
  "pct",
  "percent",
  "filtered",
  "estimate",
  "estimated",
  "predicted",
  "total",
  "cumulative",
  "accumulated",
  "sum",
]);
const quantities = new Set([
  "power",
  "watt",
  "watts",
  "clock",
  "mhz",
  "ghz",
  "usage",
  "util",
  "utilization",
  "utilisation",
  "temp",
  "temperature",
  "mem",
  "memory",
  "vram",
  "ram",
  "fan",
  "rpm",
  "volt",
  "volts",
  "voltage",
  "current",
  "energy",
  "id",
  "pid",
  "index",
  "count",
  "number",
  "num",
  "width",
  "height",
  "resolution",
  "score",
  "quality",
  "battery",
  "bytes",
  "bitrate",
  "calls",
  "triangles",
  "vertices",
  "x",
  "y",
  "z",
  "seed",
  "level",
  "volume",
  "size",
  "dropped",
  "flags",
  "core",
  "cores",
  "threads",
  "speed",
  "hz",
  "temps",
  "disk",
  "upload",
  "download",
  "distance",
  "position",
  "progress",
  "points",
]);

const devices = new Set([
  "cpu",
  "gpu",
  "core",
  "memory",
  "mem",
  "vram",
  "ram",
  "processor",
  "shader",
  "boost",
  "bus",
]);

/** Words of figures that follow what many frames took on average. */
const averages = new Set([
  "avg",
  "average",
  "averaged",
  "mean",
  "median",
  "smoothed",
  "smooth",
  "rolling",
  "moving",
  "ema",
  "filtered",
]);

/** Whether a name says that its values are averages, which a limit or an extreme is not. */
export function isAverageName(words: readonly string[]): boolean {
  return hasAny(words, averages);
}

/** Whether a name says that its values are of a part of the frame, such as the processor's. */
export function isNameOfPart(words: readonly string[]): boolean {
  return hasAny(words, strongParts);
}

/** Whether a name says of a table's rows that they sum up frames: "bucket (ms)", "percentile". */
export function isNameOfSummary(words: readonly string[]): boolean {
  return hasAny(words, summaries);
}

const summaries = new Set([
  "bucket",
  "buckets",
  "bin",
  "bins",
  "percentile",
  "percentiles",
  "quantile",
  "histogram",
]);

function hasAny(words: readonly string[], set: ReadonlySet<string>): boolean {
  return words.some((word) => set.has(word));
}

/** "time in ms": of nothing that time is spent in. */
function isInUnit(words: readonly string[], at: number): boolean {
  return words[at] === "in" && at + 2 === words.length && timeUnitOfWords(words.slice(at + 1)) !== null;
}

/** What a column's name says about its being the frame time. */
export interface NameWeight {
  /** Higher is stronger; 0 says nothing. */
  readonly weight: number;
  readonly text: string;
  /** A figure made from many frames: never a frame time by itself. */
  readonly derived: boolean;
  /** Another quantity altogether. */
  readonly otherQuantity: boolean;
  /** The time of a part of the frame, certainly or perhaps. */
  readonly partOfFrame: boolean;
}

/** Frame time, seconds per frame and milliseconds per frame; "altitude ft" is none of them. */
const abbreviations = ["ft", "frt", "spf", "mspf"];

/** Weighs a name as that of a frame's duration. */
export function weighDurationName(words: readonly string[], hasTimeUnit: boolean): NameWeight {
  const has = (...options: string[]): boolean => options.some((word) => words.includes(word));
  const frame = has("frame", "frames", "frametime");
  const between =
    has("between", "per", "since") && (frame || has("presents", "present", "swaps", "flips", "last"));
  const duration = has(
    "time",
    "times",
    "duration",
    "delta",
    "interval",
    "period",
    "dt",
    "length",
    "took",
    "spent",
  );
  let weight = 0;
  let text = "the name says nothing of a frame time";
  if (words.length === 1 && has(...abbreviations)) {
    [weight, text] = [2, "the name is short for a frame's time"];
  } else if (between && (duration || hasTimeUnit))
    [weight, text] = [3, "the name speaks of the time between frames"];
  else if (frame && (duration || hasTimeUnit)) [weight, text] = [3, "the name speaks of a frame's time"];
  else if (has("delta", "interval", "duration", "dt", "period", "took")) {
    [weight, text] = [2, "the name speaks of a duration"];
  } else if (duration && hasTimeUnit) [weight, text] = [1.5, "the name speaks of a time"];
  else if (duration || hasTimeUnit) [weight, text] = [1, "the name states a time"];
  else if (frame) [weight, text] = [0.5, "the name speaks of frames"];
  const isPart = hasAny(words, strongParts);
  const mayBePart =
    !isPart && !between && words.some((word, i) => weakParts.has(word) && !isInUnit(words, i));
  if (isPart) {
    weight -= 1.5;
    text += ", but of a part of the frame";
  } else if (mayBePart) {
    weight -= 0.5;
    text += ", perhaps of a part of the frame";
  }
  const isDerived = hasAny(words, derived);
  if (isDerived) text += ", but of a figure made from several frames";
  const otherQuantity = !hasTimeUnit && hasAny(words, quantities) && !(frame && duration);
  if (otherQuantity) text = "the name speaks of another quantity";
  const partOfFrame = (isPart || mayBePart) && !otherQuantity;
  return { weight, text, derived: isDerived, otherQuantity, partOfFrame };
}

/** Whether a name is that of a counter of the machine's own, whose ticks have no length that all machines share. */
export function isNameOfTicks(words: readonly string[]): boolean {
  return words.some((word) => ["tick", "ticks", "counter", "cycles", "cycle"].includes(word));
}

/** Whether a name is one that clocks have. */
export function isClockName(words: readonly string[]): boolean {
  // A processor's clock is a frequency.
  const isOfDevice = words.includes("clock") && hasAny(words, devices);
  return words.some((word) =>
    [
      "time",
      "times",
      "timestamp",
      "stamp",
      "elapsed",
      ...(isOfDevice ? [] : ["clock"]),
      "date",
      "datetime",
      "epoch",
      "unix",
      "t",
      "ts",
      "start",
      "end",
      "uptime",
      "wall",
      "when",
      "at",
      "seconds",
      "since",
      "utc",
      "runtime",
      "offset",
      "begin",
    ].includes(word),
  );
}

/** Whether a name is one that a frame rate has; `derived` where it is an average or the like. */
export function weighRateName(words: readonly string[]): {
  readonly isRate: boolean;
  readonly derived: boolean;
} {
  const has = (...options: string[]): boolean => options.some((word) => words.includes(word));
  const isPerSecond = words.some(
    (word, i) => word === "per" && /^s(?:ec(?:ond)?)?$/.test(words[i + 1] ?? ""),
  );
  const isRate =
    has("fps", "framerate") || (has("frame", "frames") && (has("rate", "hz", "frequency") || isPerSecond));
  const isDerived = hasAny(words, derived) || has("refresh", "cap", "capped");
  return { isRate, derived: isDerived };
}

/** Whether a name is one that a running number of rows or frames has. */
export function isCounterName(words: readonly string[]): boolean {
  return words.some((word) =>
    [
      "frame",
      "frames",
      "index",
      "id",
      "number",
      "num",
      "no",
      "count",
      "row",
      "sample",
      "n",
      "i",
      "seq",
      "sequence",
      "line",
      "nr",
    ].includes(word),
  );
}

/** Whether a name says that its values tell one source of frames from another. */
export function isStreamName(words: readonly string[]): boolean {
  return words.some((word) =>
    [
      "process",
      "processes",
      "proc",
      "application",
      "app",
      "program",
      "executable",
      "exe",
      "pid",
      "window",
      "title",
      "swapchain",
      "swap",
      "chain",
      "stream",
      "source",
      "client",
      "surface",
      "layer",
      "output",
      "monitor",
      "task",
      "module",
      "image",
      "player",
      "producer",
    ].includes(word),
  );
}

/** Whether a name says that its values describe what the one stream of frames was doing. */
export function isStateName(words: readonly string[]): boolean {
  return words.some((word) =>
    [
      "state",
      "mode",
      "scene",
      "level",
      "map",
      "phase",
      "type",
      "flag",
      "flags",
      "reason",
      "limit",
      "limited",
      "status",
      "event",
      "events",
      "marker",
      "markers",
      "comment",
      "comments",
      "remark",
      "remarks",
      "message",
      "description",
      "info",
      "quality",
      "stage",
      "resolution",
      "throttle",
      "throttling",
      "bound",
      "bottleneck",
      "api",
      "note",
      "notes",
      "label",
      "labels",
      "tag",
      "tags",
      "kind",
      "dropped",
      "late",
      "hitch",
      "stutter",
      "area",
      "zone",
      "camera",
      "section",
      "chapter",
      "profile",
      "preset",
      "sync",
      "vsync",
      "tearing",
      "is",
      "has",
      "governor",
      "room",
      "shot",
      "segment",
      "location",
      "weather",
      "action",
      "missed",
      "warning",
    ].includes(word),
  );
}
