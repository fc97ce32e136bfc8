import { describe, expect, test } from "vitest";
import { nameWords } from "../../src/read/name-words.ts";
import {
  countsMinutes,
  quantityUnitOfWords,
  timeUnitOfWords,
  unitMultiple,
  unitOfWords,
} from "../../src/read/units.ts";
import {
  isClockName,
  isCounterName,
  isStateName,
  isStreamName,
  weighDurationName,
  weighRateName,
} from "../../src/read/weigh-words.ts";

const weigh = (name: string) => {
  const words = nameWords(name);
  return weighDurationName(words, timeUnitOfWords(words) !== null);
};

// What general English says; no source.
describe("a name is believed to be a frame's time the more it says", () => {
  const fromStrongest: readonly (readonly string[])[] = [
    [
      "frame time (ms)",
      "time per frame",
      "ms between presents",
      "us since last",
      "time between flips",
      "frame_ms",
    ],
    ["rendered frame time (ms)", "frame time on screen"],
    ["delta", "interval ms", "dt", "duration", "period", "took"],
    ["time (ms)", "cpu frame time", "render duration", "times us", "length s"],
    ["time", "ms", "length", "spent", "time between saves"],
    ["frame", "frames", "cpu interval", "draw time"],
    ["altitude", "", "cpu time ms", "between presents"],
    ["render", "cpu time", "gpu busy ms"],
    ["cpu", "driver"],
  ];
  const pairs = fromStrongest.flatMap((names, i) =>
    names.map((name) => ({ name, alike: names[0] ?? "", weaker: fromStrongest[i + 1]?.[0] ?? null })),
  );

  test.for(pairs)('"$name" as much as "$alike", more than "$weaker"', ({ name, alike, weaker }) => {
    expect(weigh(name).weight).toBe(weigh(alike).weight);
    if (weaker !== null) expect(weigh(name).weight).toBeGreaterThan(weigh(weaker).weight);
  });

  test("a name that says nothing of time weighs nothing, one of a part less than that", () => {
    expect(weigh("altitude").weight).toBe(0);
    expect(weigh("render").weight).toBeLessThan(0);
  });

  test.for([
    { name: "ms between presents", says: "the name speaks of the time between frames" },
    { name: "frame time", says: "the name speaks of a frame's time" },
    { name: "interval", says: "the name speaks of a duration" },
    { name: "time (ms)", says: "the name speaks of a time" },
    { name: "ms", says: "the name states a time" },
    { name: "frame", says: "the name speaks of frames" },
    { name: "altitude", says: "the name says nothing of a frame time" },
    { name: "GPU time (ms)", says: "the name speaks of a time, but of a part of the frame" },
    { name: "render time (ms)", says: "the name speaks of a time, perhaps of a part of the frame" },
    {
      name: "avg frame time",
      says: "the name speaks of a frame's time, but of a figure made from several frames",
    },
    { name: "memory", says: "the name speaks of another quantity" },
  ])('"$name": $says', ({ name, says }) => {
    expect(weigh(name).text).toBe(says);
  });

  test.for([
    { name: "avg frame time", derived: true },
    { name: "frame time 99 percentile", derived: true },
    { name: "total time (s)", derived: true },
    { name: "frame time", derived: false },
    { name: "frame 1 time", derived: false },
  ])('"$name" is made of several frames: $derived', ({ name, derived }) => {
    expect(weigh(name).derived).toBe(derived);
  });

  test.for([
    { name: "memory", otherQuantity: true },
    { name: "frame id", otherQuantity: true },
    { name: "clock time", otherQuantity: true },
    { name: "clock (ms)", otherQuantity: false },
    { name: "frame time id", otherQuantity: false },
    { name: "time", otherQuantity: false },
  ])('"$name" is another quantity: $otherQuantity', ({ name, otherQuantity }) => {
    expect(weigh(name).otherQuantity).toBe(otherQuantity);
  });
});

describe("a name says what else a column may be", () => {
  test.for([
    { name: "FPS", isRate: true, derived: false },
    { name: "frame rate", isRate: true, derived: false },
    { name: "frames per second", isRate: true, derived: false },
    { name: "Frames/s per s", isRate: true, derived: false },
    { name: "frame (Hz)", isRate: true, derived: false },
    { name: "avg fps", isRate: true, derived: true },
    { name: "fps cap", isRate: true, derived: true },
    { name: "refresh rate", isRate: false, derived: true },
    { name: "rate", isRate: false, derived: false },
    { name: "frames per joule", isRate: false, derived: false },
    { name: "frames a second", isRate: false, derived: false },
    { name: "turns per second", isRate: false, derived: false },
  ])('"$name" is a frame rate: $isRate, of several frames: $derived', ({ name, ...expected }) => {
    expect(weighRateName(nameWords(name))).toEqual(expected);
  });

  const kinds = { clock: isClockName, counter: isCounterName, stream: isStreamName, state: isStateName };
  test.for([
    { name: "Elapsed seconds", is: ["clock"] },
    { name: "timestamp ns", is: ["clock"] },
    { name: "clock", is: ["clock"] },
    { name: "CPU clock", is: [] },
    { name: "CPU clock time", is: ["clock"] },
    { name: "frame", is: ["counter"] },
    { name: "row no", is: ["counter"] },
    { name: "process name", is: ["stream"] },
    { name: "window", is: ["stream"] },
    { name: "render mode", is: ["state"] },
    { name: "vsync on", is: ["state"] },
    { name: "frame start", is: ["clock", "counter"] },
    { name: "process id", is: ["counter", "stream"] },
    { name: "altitude", is: [] },
    { name: "", is: [] },
  ])('"$name": $is', ({ name, is }) => {
    const words = nameWords(name);
    expect(Object.entries(kinds).flatMap(([kind, holds]) => (holds(words) ? [kind] : []))).toEqual(is);
  });
});

describe("units are known by their usual spellings", () => {
  test.for([
    { name: "elapsed seconds (ms)", unit: "ms" },
    { name: "ms of seconds", unit: "s" },
    { name: "microseconds", unit: "us" },
    { name: "nsec", unit: "ns" },
    { name: "altitude", unit: null },
    // A word that objects of JavaScript know without being told.
    { name: "constructor", unit: null },
    { name: "", unit: null },
  ])('"$name" states the time unit $unit', ({ name, unit }) => {
    expect(timeUnitOfWords(nameWords(name))).toBe(unit);
  });

  test.for([
    { name: "package power (mW)", unit: "mW" },
    { name: "watts of 100 MHz", unit: "MHz" },
    { name: "core 3 temp °C", unit: "°C" },
    { name: "load %", unit: "%" },
    { name: "altitude", unit: null },
    { name: "", unit: null },
  ])('"$name" states the unit $unit of another quantity', ({ name, unit }) => {
    expect(quantityUnitOfWords(nameWords(name))).toBe(unit);
  });

  test.for([
    { text: "[ms]", unit: "ms" },
    { text: "(seconds)", unit: "s" },
    { text: "MHz", unit: "MHz" },
    { text: "°C", unit: "°C" },
    { text: "", unit: null },
    { text: "-", unit: null },
    { text: "time ms", unit: null },
    { text: "CPU package W", unit: null },
    { text: "frame", unit: null },
  ])('"$text" is nothing but the unit $unit', ({ text, unit }) => {
    expect(unitOfWords(text)).toBe(unit);
  });
});

describe("a name may say how many of its unit one count is", () => {
  test.for([
    { name: "frame time (100 ns)", multiple: 100 },
    { name: "frame time [0.1 ms]", multiple: 0.1 },
    { name: "frame time [0,01 ms]", multiple: 0.01 },
    { name: "frame time (in x10 us)", multiple: 10 },
    { name: "frame time in 100 ns", multiple: 100 },
    { name: "time_10us", multiple: 10 },
    { name: "0.1 ms", multiple: 0.1 },
    { name: "frames over 100 ms", multiple: 1 },
    { name: "frame time (ms)", multiple: 1 },
    { name: "frame time (20 ns)", multiple: 1 },
    { name: "frame time (100 ns limit)", multiple: 1 },
    { name: "", multiple: 1 },
  ])('"$name": $multiple', ({ name, multiple }) => {
    expect(unitMultiple(name)).toBe(multiple);
  });
});

describe("a name is cut where its writing or its words change", () => {
  test.for([
    { name: "frameTimeMs", words: ["frame", "time", "ms"] },
    { name: "FPSLimit", words: ["fps", "limit"] },
    { name: "GPU2Load", words: ["gpu", "2", "load"] },
    { name: "core12clock", words: ["core", "12", "clock"] },
    { name: "clockMHz", words: ["clock", "mhz"] },
    { name: "4100MHz", words: ["4100", "mhz"] },
    { name: "2GHz kHz", words: ["2", "ghz", "khz"] },
    { name: "mW", words: ["mw"] },
    { name: "mWh", words: ["m", "wh"] },
    { name: "aMw", words: ["a", "mw"] },
    { name: "Δt [μs]", words: ["δt", "us"] },
    { name: "12°C", words: ["12", "deg", "c"] },
    { name: "° C", words: ["deg", "c"] },
    { name: "100%busy%", words: ["100", "pct", "busy", "pct"] },
    { name: "frames 1/s", words: ["frames", "hz"] },
    { name: "frames 1 / s", words: ["frames", "hz"] },
    { name: "1/sum", words: ["1", "sum"] },
    { name: "\u001b[1;31mframe\u001b[0mtime", words: ["frame", "time"] },
    { name: "  __frame--time  ", words: ["frame", "time"] },
    { name: "cpupackagepower", words: ["cpu", "package", "power"] },
    { name: "framesome", words: ["framesome"] },
    { name: "frame".repeat(8), words: Array.from({ length: 8 }, () => "frame") },
    { name: "frame".repeat(9), words: ["frame".repeat(9)] },
  ])("$name", ({ name, words }) => {
    expect(nameWords(name)).toEqual(words);
    expect(nameWords(name)).toEqual(words);
  });
});

// Dictionaries of the languages, from memory.
describe("general words of other languages are read like the English ones", () => {
  test.for([
    { name: "Bildzeit", words: "frame time" },
    { name: "Zeit pro Bild [ms]", words: "time per frame ms" },
    { name: "Durée de trame", words: "duration de frame" },
    { name: "temps d'image", words: "time d frame" },
    { name: "images par seconde", words: "frame per s" },
    { name: "Tiempo", words: "time" },
    { name: "duración del cuadro", words: "duration del frame" },
    { name: "czas klatki", words: "time frame" },
    { name: "Frametijd", words: "frame time" },
    { name: "bildtid", words: "frame time" },
    { name: "время кадра, мс", words: "time frame ms" },
    { name: "帧时间", words: "frame time" },
    { name: "フレームタイム", words: "frame time" },
    { name: "프레임 시간", words: "frame time" },
    { name: "Zeit in Millisekunden", words: "time in ms" },
    { name: "Durchschnitt Bildrate", words: "average frame rate" },
    { name: "кадров в секунду", words: "frame per s" },
    { name: "frames/s", words: "frames per s" },
    { name: "GPU-Auslastung (%)", words: "gpu load pct" },
    { name: "CPU-Leistung [W]", words: "cpu power w" },
    { name: "Température du processeur (°C)", words: "temperature du cpu deg c" },
    { name: "CPU功耗(W)", words: "cpu power w" },
    { name: "GPU占用率 (%)", words: "gpu usage pct" },
    { name: "每秒帧数", words: "per s frame number" },
    { name: "초당 프레임", words: "per s frame" },
    { name: "最低帧率", words: "minimum frame rate" },
    { name: "Fotogrammi al secondo", words: "frame per s" },
    { name: "Klatki na sekundę", words: "frame per s" },
    { name: "Charge GPU (%)", words: "load gpu pct" },
    { name: "Temps (s)", words: "time s" },
  ])('"$name"', ({ name, words }) => {
    expect(nameWords(name).join(" ")).toBe(words);
  });

  test.for(["temps", "GPU temps", "tid", "image", "par 5", "build", "Zeitung", "charge (%)", "na", "al"])(
    "not so: %s",
    (name) => {
      expect(nameWords(name).join(" ")).not.toMatch(/time|frame|load|^per$/);
    },
  );
});

describe("a name says that it counts minutes", () => {
  test.for([
    "elapsed (min)",
    "elapsed [min]",
    "minutes",
    "time_min",
    "Zeit [min]",
    "run time in min",
    "Minuten",
  ])("%s", (name) => expect(countsMinutes(name)).toBe(true));
  test.for(["min", "fps min", "frame time min", "min frame time (ms)", "minimum", "max/min", "mining"])(
    "not so: %s",
    (name) => expect(countsMinutes(name)).toBe(false),
  );
});

describe("what is counted per second is a rate, what is counted per frame is none", () => {
  test.for(["frames/s", "frames per second", "Bilder pro Sekunde", "frames / sec", "real-time frames/s"])(
    "%s",
    (name) => {
      expect(weighRateName(nameWords(name)).isRate).toBe(true);
      expect(timeUnitOfWords(nameWords(name))).toBeNull();
    },
  );
  // A quantity over its unit (BIPM, SI Brochure, 9th edition, 5.4.1).
  test.for([
    "time per frame, s",
    "s per frame",
    "frame time (s)",
    "frame time/s",
    "t/s",
    "Duração do quadro/s",
  ])("not so: %s", (name) => {
    expect(weighRateName(nameWords(name)).isRate).toBe(false);
    expect(timeUnitOfWords(nameWords(name))).toBe("s");
  });
});
