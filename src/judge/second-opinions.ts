import type { PassSummary } from "../measure/pass-summary.ts";
import { type LowsDefinition, lowsDefinitions } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import {
  judgeColumns,
  type SecondOpinions,
  type SessionNames,
  verdictKey,
  verdictWords,
} from "./judge-columns.ts";
import type { JudgeSettings, Verdict } from "./judgement.ts";
import { passName } from "./mark-passes.ts";
import { isCalled } from "./verdict.ts";

type Row = Omit<Verdict, SecondOpinions>;

/** The same session judged again under other conditions, to see which verdicts depend on them. */
export interface Rejudge {
  /** Passes that count. */
  readonly counted: readonly PassSummary[];
  /** Passes that would count without the screen for slow passes. */
  readonly unscreened: readonly PassSummary[];
  readonly names: SessionNames;
  readonly settings: JudgeSettings;
}

/** Adds to each verdict what it depends on: the screen, a single pass, the definition of the lows. */
export function addSecondOpinions(rows: readonly Row[], session: Rejudge): Verdict[] {
  const withAll = wordsOf(session.unscreened, session);
  const hanging = findHanging(rows, session);
  const others = otherDefinitions(session);
  return rows.map((row) => ({
    ...row,
    holdsWithAllPasses: withAll.get(verdictKey(row)) === row.verdict,
    hangsOnPass: hanging.get(verdictKey(row)) ?? null,
    otherLows: isLow(row.metric)
      ? others.flatMap(({ lows, words }) => {
          const verdict = words.get(verdictKey(row));
          return verdict === undefined ? [] : [{ lows, verdict }];
        })
      : [],
  }));
}

function isLow(metric: Metric): boolean {
  return metric === "low1Fps" || metric === "low01Fps";
}

function wordsOf(
  passes: readonly PassSummary[],
  { names, settings }: Rejudge,
  hasIntervals = true,
): ReturnType<typeof verdictWords> {
  return verdictWords(judgeColumns(passes, names, settings, hasIntervals), settings);
}

/**
 * Leave one pass out: for each called verdict the pass, if any, without which it would not be called in the same
 * direction. Only passes of the verdict's own two cells are tried; the first such pass is named.
 */
function findHanging(rows: readonly Row[], session: Rejudge): Map<string, string> {
  const called = rows.filter(isCalled);
  const hanging = new Map<string, string>();
  for (const left of session.counted) {
    const touched = called.filter(
      ({ game, config, against }) =>
        left.game === game && (left.config === config || left.config === against),
    );
    if (touched.length === 0) continue;
    const words = wordsOf(
      session.counted.filter((pass) => pass !== left),
      session,
      false,
    );
    for (const row of touched) {
      const key = verdictKey(row);
      if (words.get(key) !== row.verdict && !hanging.has(key)) hanging.set(key, passName(left));
    }
  }
  return hanging;
}

/** The verdict words under the definitions of the lows that the session does not use. */
function otherDefinitions(
  session: Rejudge,
): { lows: LowsDefinition; words: ReturnType<typeof verdictWords> }[] {
  return lowsDefinitions
    .filter((lows) => lows !== session.settings.lows)
    .flatMap((lows) => {
      // A caller who gives only one definition's figures cannot be told about the others.
      if (session.counted.some(({ lows: known }) => known === undefined)) return [];
      const passes = session.counted.map((pass) => ({ ...pass, ...pass.lows?.[lows] }));
      return [{ lows, words: wordsOf(passes, session) }];
    });
}
