import type { LogFinding } from "../shared/problem.ts";
import { asCandidate, type Context, candidate, type Decision, unclear } from "./column-evidence.ts";
import { sameSeries } from "./compare-series.ts";
import { columnLabel } from "./find-column.ts";
import { weighDurationName, weighRateName } from "./weigh-words.ts";

const averageWords = "its name speaks of an average or a limit, not of single frames";

export function rateAlone(context: Context): Decision {
  const rates = context.rates.filter(({ words }) => !weighRateName(words).derived);
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
  context.notes.add(rate, null, true, "no column of durations and no clock: frame times are 1000 / FPS");
  return { frameTime: { index: rate.index, how: "rate", unit: "fps", unitS: 1 }, clock: null };
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
