import { nameWords } from "./name-words.ts";

export type TimeUnit = "s" | "ms" | "us" | "ns";

const spellings: ReadonlyMap<string, TimeUnit> = new Map(
  Object.entries<TimeUnit>({
    s: "s",
    sec: "s",
    secs: "s",
    second: "s",
    seconds: "s",
    ms: "ms",
    msec: "ms",
    msecs: "ms",
    millis: "ms",
    milli: "ms",
    millisecond: "ms",
    milliseconds: "ms",
    us: "us",
    usec: "us",
    usecs: "us",
    micros: "us",
    micro: "us",
    microsecond: "us",
    microseconds: "us",
    ns: "ns",
    nsec: "ns",
    nsecs: "ns",
    nanos: "ns",
    nano: "ns",
    nanosecond: "ns",
    nanoseconds: "ns",
  }),
);

/** Seconds in one of these. */
export const unitSeconds: Readonly<Record<TimeUnit, number>> = {
  s: 1,
  ms: 1e-3,
  us: 1e-6,
  ns: 1e-9,
};

/** The time unit that a name's words state, the last one where several do ("elapsed seconds (ms)"); null where none. */
export function timeUnitOfWords(words: readonly string[]): TimeUnit | null {
  for (let i = words.length - 1; i >= 0; i--) {
    const unit = spellings.get(words[i] ?? "");
    // Frames, or bytes, per second are no time.
    if (unit !== undefined && words[i - 1] !== "per") return unit;
  }
  return null;
}

const unitTexts = "(?:ms|msec|us|usec|µs|μs|ns|nsec|s|sec)";
/** "[0.1 ms]" and "(100 ns)": nothing else stands in the brackets. */
const bracketed = new RegExp(
  `[([{]\\s*(?:in\\s+)?[x×*]?\\s*(0[.,]0*1|10+)\\s*[x×*]?\\s*${unitTexts}\\s*[)\\]}]`,
  "i",
);
/** "time in 100 ns", "time_10us" or a unit by itself; "over 100 ms" is a limit and no unit. */
const atEnd = /(?:^|[\s_-])(0[.,]0*1\s*ms|10{1,2}\s*(?:us|µs|μs|ns))$/i;

/** "elapsed (min)", "time_min" and "minutes"; anywhere else "min" is short for minimum. */
const minutes =
  /[([{]\s*(?:in\s+)?(?:min|mins|minut(?:es?|en|os?|i|y))\s*[)\]}]|^(?:elapsed|clock|run|play|session)?[\s_-]*(?:time|elapsed|clock|zeit|t)[\s_-]*(?:in[\s_-]+)?mins?$|(?:^|[\s_-])minut(?:es?|en|os?|i|y)$/i;
const minutesAlone = /^\s*mins?\s*$/i;

/** Whether a name says that it counts minutes. */
export function countsMinutes(name: string): boolean {
  return minutes.test(name);
}

/** Whether a text is nothing but the unit of minutes. */
export function isMinutes(unit: string): boolean {
  return minutesAlone.test(unit) || minutes.test(unit);
}

/** How many of the named unit one count is, where a name says so, as in "frame time (100 ns)"; else 1. */
export function unitMultiple(name: string): number {
  const digits = bracketed.exec(name)?.[1] ?? atEnd.exec(name.trim())?.[1];
  return digits === undefined ? 1 : Number.parseFloat(digits.replace(",", "."));
}

const otherUnits: readonly (readonly [RegExp, string])[] = [
  [/^(?:w|watts?)$/i, "W"],
  [/^mw$/i, "mW"],
  [/^mhz$/i, "MHz"],
  [/^ghz$/i, "GHz"],
  [/^khz$/i, "kHz"],
  [/^hz$/i, "Hz"],
  [/^(?:pct|percent|percentage|perc)$/i, "%"],
  [/^(?:c|celsius|deg|degc|degrees)$/i, "°C"],
  [/^(?:f|fahrenheit)$/i, "°F"],
  [/^(?:fps)$/i, "FPS"],
  [/^(?:mb|gb|kb|mib|gib|bytes)$/i, "bytes"],
  [/^(?:v|mv|volts?)$/i, "V"],
  [/^(?:rpm)$/i, "rpm"],
  [/^(?:j|joules?)$/i, "J"],
];

/** Whether a text is nothing but a unit, such as "[ms]" or "MHz"; gives its usual spelling. */
export function unitOfWords(text: string): string | null {
  const words = nameWords(text);
  if (words.length > 2) return null;
  if (isMinutes(text)) return "min";
  const time = timeUnitOfWords(words);
  if (time !== null && words.length === 1) return time;
  return quantityUnitOfWords(words);
}

/** The unit of another quantity than time that a name's words state; null where none. */
export function quantityUnitOfWords(words: readonly string[]): string | null {
  for (let i = words.length - 1; i >= 0; i--) {
    for (const [pattern, unit] of otherUnits) if (pattern.test(words[i] ?? "")) return unit;
  }
  return null;
}
