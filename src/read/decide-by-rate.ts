import type { LogFinding } from "../shared/problem.ts";
import {
  asCandidate,
  type Context,
  candidate,
  type Decision,
  ratesOfFrames,
  unclear,
} from "./column-evidence.ts";
import { fewRows } from "./column-shapes.ts";
import { sameSeries } from "./compare-series.ts";
import { areRowsDoubled } from "./doubled-rows.ts";
import { columnLabel, shown } from "./find-column.ts";
import type { HeadColumn } from "./head-columns.ts";
import { isNameOfPart, weighDurationName } from "./weigh-words.ts";

const averageWords = "its name speaks of an average or a limit, not of single frames";

export function rateAlone(context: Context): Decision {
  const rates = ratesOfFrames(context);
  const [rate, ...others] = rates;
  if (rate === undefined) {
    const words = wordsForNumbers(context, "text") ?? wordsForNumbers(context, "empty");
    if (words !== null) return { fault: words };
    const averages = [
      ...context.averages.map((average) => asCandidate(average, context)),
      ...context.rates.map((average) => candidate(average, "fps", false, [averageWords])),
    ];
    return averages.length > 0 ? unclear("words-too-weak", averages) : {};
  }
  if (others.some((other) => !sameSeries(rate, 1, other, 1))) {
    return unclear(
      "columns-fit-alike",
      rates.map((r) => candidate(r, "fps", false, ["its name speaks of a frame rate"])),
    );
  }
  const doubt = isNameOfPart(rate.words)
    ? "its name speaks of a part of the frame"
    : doubtAboutRate(rate, context);
  if (doubt !== null) return unclear("words-too-weak", [candidate(rate, "fps", false, [doubt])]);
  context.notes.add(rate, null, true, "no column of durations and no clock: frame times are 1000 / FPS");
  return { frameTime: { index: rate.index, how: "rate", unit: "fps", unitS: 1 }, clock: null };
}

export const eachRowTwice = "every row stands twice, as one frame written twice, or two frames";

/** Why the rows of a rate may be no frames; null where nothing says so. */
function doubtAboutRate(rate: HeadColumn, { rates, columns }: Context): string | null {
  const { shape } = rate;
  if (areRowsDoubled(columns)) return eachRowTwice;
  if (shape.count < fewRows) return null;
  const isSorted = Math.min(shape.risingShare, shape.fallingShare) === 0;
  if (isSorted && Math.max(shape.risingShare, shape.fallingShare) > 0.5)
    return "its values are sorted, as in a table of percentiles";
  // Extremes of a window that moves on with the frames hold for many rows.
  const named = (...words: string[]): HeadColumn | undefined =>
    rates.find((r) => words.some((word) => r.words.includes(word)) && r.shape.risingShare > 0.25);
  const low = named("min", "minimum");
  const high = named("max", "maximum");
  if (low === undefined || high === undefined) return null;
  const isBetween = rate.values.every((value, i) => !(value < at(low, i) || value > at(high, i)));
  return isBetween
    ? `always between ${shown(low)} and ${shown(high)}: its rows sum up several frames each`
    : null;
}

function at({ values }: HeadColumn, row: number): number {
  return values[row] ?? Number.NaN;
}

/** A column named like a frame time that holds words. */
export function wordsForNumbers({ columns }: Context, as: "text" | "empty"): LogFinding | null {
  const named = columns
    .filter(({ kind }) => kind === as)
    .map((column) => ({ column, weight: weighDurationName(column.words, column.timeUnit !== null).weight }))
    .sort((a, b) => b.weight - a.weight)[0];
  if (named === undefined || named.weight < 2) return null;
  const { column } = named;
  const found = [...column.texts.keys()][0] ?? "";
  return {
    code: "log-words-for-numbers",
    name: columnLabel(column),
    position: column.index + 1,
    found,
    unit: column.timeUnit,
  };
}
