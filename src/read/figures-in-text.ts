import type { MetricUnit } from "./claim.ts";

/** A number with its unit as a sentence says it. */
export interface Figure {
  /** Without its sign. */
  readonly value: number;
  /** 0 where none is written. */
  readonly sign: -1 | 0 | 1;
  readonly decimals: number;
  readonly unit: MetricUnit | "%";
  /** As written. */
  readonly text: string;
}

const words: Readonly<Record<string, number>> = Object.fromEntries(
  (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen " +
    "eighteen nineteen"
  )
    .split(" ")
    .map((word, value) => [word, value] as const)
    .concat(
      "twenty thirty forty fifty sixty seventy eighty ninety"
        .split(" ")
        .map((word, i) => [word, 10 * (i + 2)] as const),
    ),
);
const units = Object.keys(words).filter(
  (word) => (words[word] as number) > 0 && (words[word] as number) < 10,
);
const tens = Object.keys(words).filter((word) => (words[word] as number) >= 20);
const spelt = `(?:${tens.join("|")})[- ](?:${units.join("|")})|${Object.keys(words).join("|")}`;
const digits = "\\d{1,3}(?:,\\d{3})+(?:\\.\\d+)?|\\d+(?:[.,]\\d+)?";
const number = `(?:${digits}|\\b(?:${spelt})\\b)`;
const sign = "(?:(?<![\\w.,)\\]])[-+\\u2212\\u2013])?";

/** Longest first: "FPS per watt" is not FPS. */
const unitWords: readonly (readonly [Figure["unit"], string])[] = [
  ["%", "%|per ?cent\\b|percentage points?\\b"],
  ["FPS/W", "(?:fps|frames? (?:per|a|each) second) ?(?:per|a|/) ?(?:w|watts?)\\b"],
  ["FPS", "fps\\b|frames? (?:per|a|each) second\\b"],
  ["W", "w\\b|watts?\\b"],
  ["J", "j\\b|joules?\\b"],
];

// A spelt number has its unit after a space or a hyphen; one in digits may have it right after.
const measured = new RegExp(
  `(?:(${sign}${number})(?: ?%)?(?: ?(?:to|and|or|\\u2013) ?|-(?=\\d)))?(${sign}${number})[ \\u00a0\\u202f-]?(?:${unitWords
    .map(([, pattern]) => `(${pattern})`)
    .join("|")})`,
  "gi",
);

/** Names of metrics and of methods that hold percents: "1% low", "the 1% and 0.1% lows", "95% interval". */
const notMeasured =
  /(?<![\d.,])(?:0?[.,])?1 ?(?:%|per ?cent)[ \u00a0-](?:(?:and|or|&|,|\/) ?(?:the )?(?:0?[.,])?1 ?(?:%|per ?cent)[ \u00a0-])?lows?\b|\bone[- ]per ?cent[- ]lows?\b|\d+(?:[.,]\d+)? ?(?:%|per ?cent) (?:confidence|intervals?)\b/gi;

const withoutNumbers =
  /\bmargins? of error\b|\brun[- ]to[- ]run\b|\bwithin (?:the )?noise\b|\b(?:virtually|practically|basically|essentially|nearly|almost|statistically) (?:identical|equal|the same|indistinguishable|no different)\b|\bno (?:measurable|meaningful|real|significant|noticeable) (?:difference|change|gain|loss)\b/i;

/**
 * Numbers with a unit that a sentence says: percents, FPS, watts, FPS per watt, joules, in digits or in words ("seven
 * percent"), ranges as their two ends. Names of metrics such as "1% low" are none.
 * @param names of games and configs: what they hold is no measurement
 */
export function figuresIn(text: string, names: NameMask | null = null): Figure[] {
  const masked = mask(names === null ? text : text.replace(names, blank), notMeasured);
  const figures: Figure[] = [];
  for (const match of masked.matchAll(measured)) {
    const unit = unitWords.find((_, i) => match[3 + i] !== undefined)?.[0];
    if (unit === undefined) continue;
    const written = text.slice(match.index, match.index + match[0].length);
    for (const part of [match[1], match[2]]) {
      if (part !== undefined) figures.push({ ...parseNumber(part), unit, text: written });
    }
  }
  return figures;
}

/** Whether a sentence says in words that a difference is none: "within margin of error", "virtually identical". */
export function saysNoDifference(text: string): boolean {
  return withoutNumbers.test(text);
}

const quantity =
  "(?:average |cpu |gpu |(?:0?[.,])?1 ?% )?(?:fps|frames?|frame ?rates?|frame ?times?|performance|power|watts?|draw|lows?|efficiency|energy|speed)\\b";
const share = "(?:(?:an?|one|two|three)[- ](?:third|quarter|fifth)s?)";
const multiple = "(?:twice|half|(?:two|three|four|five|ten|\\d+(?:[.,]\\d+)?)(?: times| ?x))";

/** Percents in other words, told of what is measured here: "twice as fast", "half the power", "a third slower". */
const asMultiple = new RegExp(
  [
    `\\b${multiple} as (?:fast|slow|quick|smooth|efficient|hungry|high|low|much|many)\\b`,
    `\\b(?:${multiple}|${share}|double|triple)(?: of)? (?:the|its|their|that) ${quantity}`,
    `\\b(?:${share}|${multiple}) (?:slower|faster|quicker|smoother|more|less|fewer|lower|higher)\\b`,
    `\\b(?:doubl|tripl|halv)(?:es?|ed|ing) (?:the |its |their )?${quantity}`,
    "\\b(?:double|single)[- ]digit\\b",
  ].join("|"),
  "i",
);

/** Whether a sentence says a size in words that hold no percent: "twice as fast", "half the power". */
export function saysMultiple(text: string): boolean {
  return asMultiple.test(text);
}

/** Matches any of some names, as words of their own. */
export type NameMask = RegExp;

export function maskOf(names: readonly string[]): NameMask | null {
  const usable = names.filter((name) => name.length >= 3 && /\p{L}/u.test(name));
  if (usable.length === 0) return null;
  const patterns = usable
    .sort((a, b) => b.length - a.length)
    .map((name) => name.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&").replace(/[-_ ]+/g, "[-_ ]"));
  return new RegExp(`(?<![\\p{L}\\d])(?:${patterns.join("|")})(?![\\p{L}\\d])`, "giu");
}

function mask(text: string, pattern: RegExp): string {
  return text.replace(pattern, blank);
}

function blank(found: string): string {
  return "\u0001".repeat(found.length);
}

function parseNumber(written: string): Pick<Figure, "value" | "sign" | "decimals"> {
  const bare = written.replace(/^[-+\u2212\u2013]/, "");
  const sign = bare === written ? 0 : written.startsWith("+") ? 1 : -1;
  if (/^\d/.test(bare)) {
    const plain = /^\d{1,3}(,\d{3})+(\.|$)/.test(bare) ? bare.replace(/,/g, "") : bare.replace(",", ".");
    return { value: Number(plain), sign, decimals: /\.(\d+)/.exec(plain)?.[1]?.length ?? 0 };
  }
  const value = bare
    .toLowerCase()
    .split(/[- ]/)
    .reduce((sum, word) => sum + (words[word] ?? 0), 0);
  return { value, sign, decimals: 0 };
}
