/*
 * Logs that nobody has seen before, with the frames they were made from: a recorder is put together at random (what it
 * writes, in which units, digits, order, words, encoding), runs over simulated frames, and what the file can tell is
 * known. Same seed, same log.
 */
import { createRandom } from "../demo/random-source.js";

/** Words of general English that a recorder might head a column with; none of them is one program's own. */
const names = {
  frameTime: [
    "frame time",
    "Frame Time",
    "frametime",
    "FrameTime",
    "frame_time",
    "frame duration",
    "Frame duration",
  ],
  vagueTime: ["delta", "dt", "delta time", "interval", "duration", "Delta"],
  clock: [
    "time",
    "elapsed",
    "Elapsed time",
    "timestamp",
    "TimeStamp",
    "t",
    "clock",
    "time since start",
    "time_elapsed",
  ],
  rate: ["fps", "FPS", "frame rate", "Frames per second", "framerate", "instant fps"],
  counter: ["frame", "Frame", "frame number", "index", "#", "n", "frame_index", "No."],
  cpuPart: ["cpu time", "CPU busy", "game logic time", "main thread time"],
  gpuPart: ["gpu time", "GPU busy", "render thread time"],
  later: ["display latency", "input latency", "time to display"],
  text: ["scene", "state", "map", "camera", "marker"],
};

/** The same in other languages, as a machine there or a spreadsheet filled by hand would have it. */
const foreignNames = [
  {
    frameTime: ["Bildzeit", "Zeit pro Bild", "Bilddauer"],
    clock: ["Zeit", "Zeitstempel"],
    rate: ["Bildrate", "Bilder pro Sekunde"],
    counter: ["Bild", "Nr."],
  },
  {
    frameTime: ["temps d'image", "durée de trame"],
    clock: ["temps écoulé", "horodatage"],
    rate: ["images par seconde"],
    counter: ["trame", "numéro"],
  },
  {
    frameTime: ["tiempo de fotograma", "duración del cuadro"],
    clock: ["tiempo transcurrido"],
    rate: ["fotogramas por segundo"],
    counter: ["cuadro", "número"],
  },
  { frameTime: ["czas klatki"], clock: ["czas"], rate: ["FPS"], counter: ["klatka", "numer"] },
  {
    frameTime: ["время кадра", "длительность кадра"],
    clock: ["время"],
    rate: ["кадров в секунду"],
    counter: ["кадр", "номер"],
  },
  { frameTime: ["フレーム時間", "フレームタイム"], clock: ["時間"], rate: ["FPS"], counter: ["フレーム"] },
  { frameTime: ["帧时间"], clock: ["时间"], rate: ["帧率"], counter: ["帧"] },
];

const sensors = [
  { names: ["CPU load", "cpu usage", "cpu_load"], unit: "%", from: 20, to: 95, digits: 1 },
  { names: ["GPU load", "gpu usage", "gpu_util"], unit: "%", from: 40, to: 99, digits: 0 },
  { names: ["CPU power", "cpu package power"], unit: "W", from: 30, to: 110, digits: 2 },
  { names: ["GPU power", "gpu board power"], unit: "W", from: 90, to: 310, digits: 1 },
  { names: ["CPU clock", "cpu frequency"], unit: "MHz", from: 3000, to: 5200, digits: 0 },
  { names: ["CPU temperature", "cpu temp"], unit: "°C", from: 45, to: 92, digits: 0 },
  { names: ["memory used", "RAM usage"], unit: "MB", from: 4000, to: 15000, digits: 0 },
  { names: ["fan speed", "fan"], unit: "rpm", from: 800, to: 2200, digits: 0 },
];

const perSecond = { s: 1, ms: 1e3, us: 1e6, ns: 1e9 };
const unitSpellings = {
  s: ["s", "sec", "seconds"],
  ms: ["ms", "msec", "milliseconds"],
  us: ["us", "µs", "microseconds"],
  ns: ["ns", "nanoseconds"],
};

/**
 * @param {number} seed
 * @returns {MadeLog}
 *
 * @typedef {object} MadeLog
 * @property {Uint8Array} bytes
 * @property {string} extension
 * @property {number[]} frameTimesMs of every frame that the log tells of, as they were
 * @property {number} tolerance share by which rounding in print may move the average
 * @property {number} mayMiss frames that the log may rightly be read without
 * @property {number} mayHaveMore
 * @property {boolean} isRestarted
 * @property {boolean} mayAsk whether an honest reader could be in doubt
 * @property {string[]} traits what the recorder does, for the table
 */
export function makeLog(seed) {
  const random = createRandom(seed, "recorder");
  const chance = (p) => random.uniform() < p;
  const pick = (list) => list[Math.floor(random.uniform() * list.length)];
  const between = (from, to) => from + (to - from) * random.uniform();
  const whole = (from, to) => Math.floor(between(from, to + 1));
  const traits = [];
  const trait = (name, value = true) => {
    if (value) traits.push(name);
    return value;
  };

  // Drawn apart from the rest, so that what is added here leaves the recorders of a seed as they are.
  const more = createRandom(seed, "odd recorder");
  const oddly = (p) => more.uniform() < p;
  const oneOf = (list) => list[Math.floor(more.uniform() * list.length)];

  // What happened.
  const count = pick([whole(25, 400), whole(400, 3000), whole(400, 3000), whole(3000, 8000)]);
  const usualMs = 1000 / Math.exp(between(Math.log(18), Math.log(420)));
  const frameTimesMs = simulate(random, count, usualMs);

  // What the recorder writes of time.
  const kinds = pick([
    ["duration"],
    ["duration"],
    ["duration", "clock"],
    ["duration", "clock"],
    ["duration", "clock", "rate"],
    ["duration", "rate"],
    ["clock"],
    ["clock", "rate"],
    ["rate"],
    ["counter", "duration"],
    ["counter", "clock"],
    ["counter", "duration", "clock"],
  ]);
  for (const kind of kinds) trait(kind);
  const hasHeader = !trait("no header", chance(0.1));
  const unitStyle = pick(["brackets", "brackets", "square", "suffix", "comma", "line", "cells", "none"]);
  const isUnitSaid = hasHeader && unitStyle !== "none";
  trait(`units ${hasHeader ? unitStyle : "none"}`);

  const isForeign = trait("foreign words", hasHeader && oddly(0.15));
  const spoken = isForeign ? { ...names, ...oneOf(foreignNames) } : names;

  const columns = [];
  const durationUnit = pick(["ms", "ms", "ms", "s", "us", "ns"]);
  const clockUnit = pick(["s", "s", "ms", "us", "ns"]);
  let tolerance = 0.002;
  let isVague = false;
  let hasMoments = false;
  const isStart = chance(0.3);
  const endsMs = running(frameTimesMs);
  if (kinds.includes("duration")) {
    const digits = digitsFor(durationUnit, usualMs, random);
    const rounding = 10 ** -digits / 2 / ((usualMs / 1000) * perSecond[durationUnit]);
    tolerance = Math.max(tolerance, rounding);
    isVague = chance(0.15);
    trait("vague name", isVague && hasHeader);
    trait(`duration in ${durationUnit}`);
    columns.push({
      name: pick(isVague ? names.vagueTime : spoken.frameTime),
      unit: durationUnit,
      cells: frameTimesMs.map((ms) => ((ms / 1000) * perSecond[durationUnit]).toFixed(digits)),
      isTime: true,
      isDuration: true,
    });
  }
  if (kinds.includes("clock")) {
    const zero = pick(["none", "none", "uptime", "epoch", "date", "time of day"]);
    trait(`clock in ${clockUnit}`);
    trait(`clock from ${zero}`);
    const finest = { s: 7, ms: 4, us: 1, ns: 0 }[clockUnit];
    const coarsest = { s: 4, ms: 1, us: 0, ns: 0 }[clockUnit];
    const digits = kinds.includes("duration") ? pick([coarsest, finest]) : finest;
    const zeroUs =
      zero === "none"
        ? 0n
        : zero === "uptime"
          ? BigInt(whole(1e8, 9e10))
          : 1773519300000000n + BigInt(whole(0, 1e12));
    const clockMs = isStart ? endsMs.map((endMs, i) => endMs - frameTimesMs[i]) : endsMs;
    const isMoment = zero === "date" || zero === "time of day";
    hasMoments = isMoment;
    const momentDigits = kinds.includes("duration") ? pick([3, 6]) : pick([6, 7, 9]);
    const parting = pick(["T", " "]);
    const zone = parting === "T" ? pick(["", "Z", "+02:00"]) : "";
    columns.push({
      name: pick(spoken.clock),
      unit: isMoment ? null : clockUnit,
      cells: clockMs.map((ms) =>
        isMoment
          ? printMoment(ms, zero === "date" ? parting : null, zone, momentDigits)
          : printClock(zeroUs, ms, clockUnit, digits),
      ),
      isTime: true,
      isClock: true,
    });
  }
  if (kinds.includes("rate")) {
    const digits = kinds.length > 1 ? pick([0, 1, 2, 3]) : pick([2, 3, 4]);
    columns.push({
      name: pick(spoken.rate),
      unit: null,
      cells: frameTimesMs.map((ms) => (1000 / ms).toFixed(digits)),
      isTime: true,
    });
    if (kinds.length === 1) tolerance = Math.max(tolerance, 0.005);
  }
  if (kinds.includes("counter")) {
    const first = pick([0, 1, whole(100, 90000)]);
    columns.unshift({
      name: pick(spoken.counter),
      unit: null,
      cells: frameTimesMs.map((_, i) => String(first + i)),
    });
  }
  // Parts of the frame, which are no frame times.
  if (hasHeader && kinds.includes("duration") && trait("parts of a frame", chance(0.3))) {
    for (const kind of ["cpuPart", "gpuPart", "later"]) {
      if (chance(0.4)) continue;
      const share = kind === "later" ? between(1.5, 2.5) : between(0.4, 0.97);
      const digits = digitsFor(durationUnit, usualMs, random);
      columns.push({
        name: pick(names[kind]),
        unit: durationUnit,
        cells: frameTimesMs.map((ms) =>
          ((ms * share * (1 + 0.03 * random.normal()) * perSecond[durationUnit]) / 1000).toFixed(digits),
        ),
      });
    }
  }
  if (hasHeader && trait("averages", chance(0.12))) {
    let mean = frameTimesMs[0];
    const means = frameTimesMs.map((ms) => {
      mean += (ms - mean) / 60;
      return mean;
    });
    columns.push(
      pick([
        { name: "average fps", unit: null, cells: means.map((ms) => (1000 / ms).toFixed(1)) },
        { name: "Average frame time", unit: "ms", cells: means.map((ms) => ms.toFixed(3)) },
        { name: "fps (avg)", unit: null, cells: means.map((ms) => (1000 / ms).toFixed(0)) },
      ]),
    );
  }
  if (hasHeader && trait("sensors", chance(0.4))) {
    for (const sensor of sensors) {
      if (chance(0.6)) continue;
      columns.push({
        name: pick(sensor.names),
        unit: sensor.unit,
        cells: slowly(random, endsMs, between(sensor.from, sensor.to), sensor.digits),
      });
    }
  }
  if (hasHeader && trait("text column", chance(0.25))) {
    const words = ["harbour", "market", "ridge"];
    columns.push({
      name: pick(names.text),
      unit: null,
      cells: endsMs.map((endMs) => words[Math.floor(endMs / 9000) % 3]),
    });
  }
  if (trait("shuffled", chance(0.4))) shuffle(columns, random);
  // Frames whose time was not written, or not as a time.
  const isLost = frameTimesMs.map(() => false);
  if (trait("lost frames", kinds.includes("duration") && oddly(0.15))) {
    const { cells } = columns.find(({ isDuration }) => isDuration);
    for (let i = 3; i < count - 3; i++) {
      if (!oddly(0.02)) continue;
      isLost[i] = true;
      cells[i] = oneOf(["NaN", "0", "-1", "n/a", "inf"]);
    }
  }

  // How it writes them.
  const usualDelimiter = pick([",", ",", ",", ";", "\t", "|"]);
  const canAlign = unitStyle !== "cells" && unitStyle !== "line" && columns.length > 1;
  const delimiter = canAlign && oddly(0.08) ? "   " : usualDelimiter;
  const hasComma = trait("decimal comma", delimiter !== "," && chance(0.35));
  const isQuoted = trait("quoted", chance(0.1) && delimiter !== "   ");
  trait(`delimiter ${JSON.stringify(delimiter)}`);
  const lineEnd = pick(["\n", "\n", "\r\n", "\r"]);
  trait(`line end ${JSON.stringify(lineEnd)}`);
  const usualEncoding = pick(["utf-8", "utf-8", "utf-8", "utf-8-bom", "utf-16le", "utf-16be", "latin-1"]);
  // Letters that Latin-1 does not have.
  const encoding = isForeign && usualEncoding === "latin-1" ? "utf-8" : usualEncoding;
  trait(encoding);
  const quote = (text) => (isQuoted ? `"${text}"` : text);
  const cell = (column, row) => {
    const plain = hasComma ? column.cells[row].replace(".", ",") : column.cells[row];
    return quote(
      unitStyle === "cells" && hasHeader && column.unit !== null ? `${plain} ${spell(column)}` : plain,
    );
  };
  const spelling = new Map();
  const spell = (column) => {
    if (!spelling.has(column)) {
      const options = unitSpellings[column.unit] ?? [column.unit];
      const said =
        pick(unitStyle === "suffix" ? options.filter((text) => /^[a-z]+$/i.test(text)) : options) ??
        options[0];
      spelling.set(column, encoding === "latin-1" && said === "µs" ? "us" : said);
    }
    return spelling.get(column);
  };
  const title = (column) => {
    const { name, unit } = column;
    if (unit === null) return name;
    switch (unitStyle) {
      case "brackets":
        return `${name} (${spell(column)})`;
      case "square":
        return `${name} [${spell(column)}]`;
      case "suffix":
        return /^[a-z]+$/i.test(spell(column))
          ? `${name.replaceAll(" ", "_")}_${spell(column)}`
          : `${name} (${spell(column)})`;
      case "comma":
        return `${name}, ${spell(column)}`;
      default:
        return name;
    }
  };
  const quoteTitle = (text) => (isQuoted || text.includes(delimiter) ? `"${text}"` : text);
  const lines = [];
  if (trait("preamble", chance(0.2))) {
    const said = [
      "Session of a long evening",
      "Scene: the old harbour",
      "Machine: bench 2, 32 GB",
      "Started 2026-03-14 20:15:00",
      "",
      "Notes: third try, windows closed",
    ];
    for (let i = whole(1, 5); i > 0; i--) lines.push(pick(said));
  }
  if (trait("comments", chance(0.15))) lines.push("# recorded at night, quiet machine", "# pass 3");
  if (hasHeader) lines.push(columns.map((column) => quoteTitle(title(column))).join(delimiter));
  if (hasHeader && unitStyle === "line")
    lines.push(columns.map((column) => (column.unit === null ? "" : `[${spell(column)}]`)).join(delimiter));
  const headerAt = lines.length;
  for (let row = 0; row < count; row++)
    lines.push(columns.map((column) => cell(column, row)).join(delimiter));
  // The same recorder, started again by the same key: its clock and its numbers begin anew.
  const again = trait("restarted", hasHeader && unitStyle !== "line" && oddly(0.06))
    ? Math.floor(count / 2)
    : 0;
  if (again > 0) lines.push(...lines.slice(headerAt - 1, headerAt + again));
  // What goes wrong on the way, away from the start.
  if (columns.length > 1 && trait("short row", chance(0.05))) {
    lines.splice(headerAt + whole(20, count) - 1, 0, cell(columns[0], 0).slice(0, 2));
  }
  if (trait("blank lines", chance(0.05))) lines.splice(headerAt + whole(5, count), 0, "", "");
  if (trait("cut off", chance(0.1))) {
    const last = lines.length - 1;
    lines[last] = lines[last].slice(0, Math.floor(lines[last].length * between(0.2, 0.8)));
  } else if (!trait("no last line end", chance(0.2))) lines.push("");
  const text = lines.join(lineEnd);

  // The steps of a clock tell nothing of the first frame, or of the last where a row's clock is its start.
  const hasSteps = kinds.includes("clock") && !kinds.includes("duration");
  const toldOf = (times) => {
    if (!hasSteps) return times.filter((_, i) => !isLost[i]);
    return isStart ? times.slice(0, -1) : times.slice(1);
  };
  const told = [...toldOf(frameTimesMs), ...(again === 0 ? [] : toldOf(frameTimesMs.slice(0, again)))];
  // A cut last row costs a frame, or leaves one that lacks digits.
  if (traits.includes("cut off")) tolerance += 3 / count;
  // Without a word on units, a date or a time of day says them.
  const isDecided = hasMoments || kinds.includes("clock") || kinds.includes("rate") || isUnitSaid;
  return {
    bytes: encode(text, encoding),
    extension: delimiter === "\t" ? "tsv" : "csv",
    frameTimesMs: told,
    tolerance,
    // A cut row costs a frame; a rate beside a clock tells of the first frame, too.
    mayMiss: Number(traits.includes("cut off")),
    mayHaveMore: Number(hasSteps && kinds.includes("rate")),
    isRestarted: again > 0,
    // A slow clock of whole numbers could count ticks of its own length.
    mayAsk:
      !isDecided ||
      (hasSteps && !isUnitSaid && !hasMoments && usualMs > 30) ||
      !hasHeader ||
      // "t, µs" over one column of decimal commas: two columns of whole numbers look the same.
      (columns.length === 1 && hasComma && unitStyle === "comma") ||
      (isVague && kinds.length < 2),
    traits,
  };
}

function simulate(random, count, usualMs) {
  const spread = 0.03 + 0.15 * random.uniform();
  const spikes = 0.002 + 0.01 * random.uniform();
  const isCapped = random.uniform() < 0.15;
  let drift = 0;
  const times = [];
  for (let i = 0; i < count; i++) {
    drift = 0.95 * drift + 0.31 * random.normal();
    let ms = usualMs * Math.exp(spread * (0.7 * drift + 0.7 * random.normal()));
    if (isCapped) ms = Math.max(usualMs, ms) * (1 + 0.004 * random.normal());
    if (random.uniform() < spikes) ms *= 1.8 + 3 * random.uniform();
    times.push(Math.max(0.3, ms));
  }
  return times;
}

function running(times) {
  let sum = 0;
  return times.map((ms) => {
    sum += ms;
    return sum;
  });
}

function digitsFor(unit, usualMs, random) {
  const finest = { s: 6, ms: 4, us: 1, ns: 0 }[unit];
  const coarsest = { s: usualMs < 5 ? 5 : 4, ms: usualMs < 5 ? 2 : 1, us: 0, ns: 0 }[unit];
  return random.uniform() < 0.7 ? finest : coarsest;
}

/** Exact, however large the zero is. */
function printClock(zeroUs, ms, unit, digits) {
  const ns = zeroUs * 1000n + BigInt(Math.round(ms * 1e6));
  const one = BigInt(1e9 / perSecond[unit]);
  if (digits === 0) return String((ns + one / 2n) / one);
  const least = one / 10n ** BigInt(digits);
  const scaled = least > 0n ? (ns + least / 2n) / least : ns * (10n ** BigInt(digits) / one);
  const text = String(scaled).padStart(digits + 1, "0");
  return `${text.slice(0, -digits)}.${text.slice(-digits)}`;
}

/** A date and a time of day from 20:15:00 on, or only the time where `parting` is null. */
function printMoment(ms, parting, zone, digits) {
  const ns = BigInt(Math.round(ms * 1e6)) + 72_900_000_000_000n;
  const least = 10n ** BigInt(9 - digits);
  const scaled = (ns + least / 2n) / least;
  const perS = 10n ** BigInt(digits);
  const s = Number(scaled / perS);
  const two = (number) => String(number).padStart(2, "0");
  const time = `${two(Math.floor(s / 3600))}:${two(Math.floor(s / 60) % 60)}:${two(s % 60)}`;
  const fraction = String(scaled % perS).padStart(digits, "0");
  return parting === null ? `${time}.${fraction}` : `2026-03-14${parting}${time}.${fraction}${zone}`;
}

function slowly(random, endsMs, level, digits) {
  let at = -Infinity;
  let said = "";
  return endsMs.map((endMs) => {
    if (endMs - at >= 500) {
      at = endMs;
      said = (level * (1 + 0.03 * random.normal())).toFixed(digits);
    }
    return said;
  });
}

function shuffle(list, random) {
  for (let i = list.length - 1; i > 0; i--) {
    const j = Math.floor(random.uniform() * (i + 1));
    [list[i], list[j]] = [list[j], list[i]];
  }
}

function encode(text, encoding) {
  switch (encoding) {
    case "utf-8-bom":
      return Buffer.from(`\ufeff${text}`, "utf8");
    case "utf-16le":
      return Buffer.from(`\ufeff${text}`, "utf16le");
    case "utf-16be":
      return Buffer.from(`\ufeff${text}`, "utf16le").swap16();
    case "latin-1":
      return Buffer.from(text, "latin1");
    default:
      return Buffer.from(text, "utf8");
  }
}

/** Average FPS, and the 1% low as a percentile (type 7 of Hyndman and Fan 1996, Sample quantiles in statistical packages). */
export function figuresOf(timesMs) {
  const sum = timesMs.reduce((total, ms) => total + ms, 0);
  const sorted = [...timesMs].sort((a, b) => a - b);
  const at = 0.99 * (sorted.length - 1);
  const low = sorted[Math.floor(at)];
  const high = sorted[Math.ceil(at)];
  return {
    avgFps: (1000 * timesMs.length) / sum,
    low1Fps: 1000 / (low + (at - Math.floor(at)) * (high - low)),
  };
}
