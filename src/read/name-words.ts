import { foreignParts, inEnglish, plainLetters } from "./english-words.ts";

/**
 * Splits a column's name into lower-case words at case changes, underscores, blanks, brackets and signs.
 * "FrameTime(ms)" gives frame, time, ms; "GPU0 Clock" gives gpu, 0, clock; "µs" becomes us, "°C" c, "%" pct; general
 * words of other languages become English ones, "Bildzeit" frame, time.
 */
export function nameWords(name: string): readonly string[] {
  const before = known.get(name);
  if (before !== undefined) return before;
  const words = cutName(name);
  if (known.size >= mostKnown) known.clear();
  known.set(name, words);
  return words;
}

/** The logs of a session have the same columns, and every log asks for each several times. */
const known = new Map<string, readonly string[]>();
const mostKnown = 1000;

function cutName(name: string): readonly string[] {
  const spelt = plainLetters(name)
    // biome-ignore lint/suspicious/noControlCharactersInRegex: codes that colour a terminal are no words
    .replace(/\u001b\[[0-9;]*[A-Za-z]/g, " ")
    .replace(/[µμ]s/g, " us ")
    .replace(/°\s*/g, " deg ")
    .replace(/%/g, " pct ")
    .replace(/1\s*\/\s*s\b/g, " hz ")
    .replace(/\/\s*(?:s|sec|second)\b/gi, " per s ")
    .replace(/[每毎]秒|초당/gu, " per s ")
    .replace(withoutBlank, " ");
  const words: string[] = [];
  for (const part of spelt.split(/[^\p{L}\p{N}]+/u)) {
    // fooBar, HTTPThing and foo12bar part where the kind of character changes; MHz and kHz stay whole, as they do in Cyrillic.
    const pieces = part
      .replace(/([MGk])Hz/g, " $1hz ")
      .replace(/([МГк])Гц/g, " $1гц ")
      .replace(/^mW$/, "mw")
      .replace(/(\p{Ll}|\p{N})(\p{Lu})/gu, "$1 $2")
      .replace(/(\p{Lu})(\p{Lu}\p{Ll})/gu, "$1 $2")
      .replace(/(\p{L})(\p{N})/gu, "$1 $2")
      .replace(/(\p{N})(\p{L})/gu, "$1 $2")
      .split(" ");
    for (const piece of pieces) if (piece !== "") words.push(...compound(piece.toLowerCase()));
  }
  return withoutPer(inEnglish(words));
}

/** Between letters of scripts that put no blank between words, and Latin ones: "CPU温度". */
const withoutBlank =
  /(?<=[a-z])(?=[\p{Script=Han}\p{Script=Katakana}\p{Script=Hangul}])|(?<=[\p{Script=Han}\p{Script=Katakana}\p{Script=Hangul}ー])(?=[a-z])/giu;

/**
 * A time over a second is no rate but the number that is printed, as in "t/s" (BIPM, SI Brochure, 9th edition, 5.4.1);
 * "real-time frames/s" is one.
 */
function withoutPer(words: readonly string[]): readonly string[] {
  const at = words.length - 2;
  const isPerSecond = words[at] === "per" && words[at + 1] === "s";
  const isOfTime = isPerSecond && words[at - 1] !== "frames" && words.some((word) => timeWords.has(word));
  return isOfTime ? words.toSpliced(at, 1) : words;
}

const timeWords: ReadonlySet<string> = new Set([
  "t",
  "dt",
  "time",
  "times",
  "stamp",
  "timestamp",
  "elapsed",
  "delta",
  "interval",
  "duration",
  "period",
  "clock",
]);

/** Words that are written together without any sign of it: "frametime", "cpuload". */
const parts = [
  "frame",
  "frames",
  "time",
  "times",
  "step",
  "period",
  "length",
  "dt",
  "ft",
  "stamp",
  "rate",
  "delta",
  "cpu",
  "gpu",
  "power",
  "temp",
  "temperature",
  "clock",
  "load",
  "usage",
  "util",
  "core",
  "package",
  "total",
  "elapsed",
  "duration",
  "interval",
  "start",
  "end",
  "present",
  "display",
  "render",
  "index",
  "number",
  "count",
  "mem",
  "memory",
  "busy",
  "draw",
  "ms",
  "us",
  "ns",
  "sec",
  "seconds",
  "fps",
  "avg",
  "average",
  "per",
  "epoch",
  "unix",
  "date",
  "freq",
  "frequency",
  "watts",
  "since",
  "between",
  "num",
  "no",
  "id",
  "process",
  "name",
  "min",
  "max",
  "raw",
  "gfx",
] as const;
const longestCompound = 40;
const partsByLength = [...parts, ...foreignParts].sort((a, b) => b.length - a.length);

/** A word that is a row of known ones, cut into those; any other word as it is. */
function compound(word: string): string[] {
  return (word.length <= longestCompound ? cutCompound(word, 0) : null) ?? [word];
}

function cutCompound(word: string, from: number): string[] | null {
  if (from === word.length) return [];
  for (const part of partsByLength) {
    if (!word.startsWith(part, from)) continue;
    const rest = cutCompound(word, from + part.length);
    if (rest !== null) return [part, ...rest];
  }
  return null;
}
