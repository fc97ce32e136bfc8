import type { PassFlag } from "../../src/judge/describe-flag.ts";
import type { SuiteRow, Verdict } from "../../src/judge/judgement.ts";
import type { MarkedPass } from "../../src/judge/mark-passes.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "./make-pass.ts";

/** A verdict on the average FPS of `saltworks` under `parked`, the same as under `stock`, with what is given changed. */
export function makeVerdict(change: Partial<Verdict> = {}): Verdict {
  return {
    ...{ game: "saltworks", config: "parked", against: "stock", metric: "avgFps" },
    ...{ value: 100, againstValue: 100, changePct: 0, lowPct: -1, highPct: 1, p: 1, pAdjusted: 1 },
    ...{ verdict: "same", size: null, resolvesPct: 2, passesNeeded: null, passes: 3, againstPasses: 3 },
    ...{ holdsWithAllPasses: true, hangsOnPass: null, otherLows: [], limitedBy: null },
    ...{ logDiff: 0, standardError: 0.004, degreesOfFreedom: 6 },
    ...change,
  };
}

/** A row over all games, on the average FPS of `parked`, the same as under `stock`, with what is given changed. */
export function makeSuiteRow(change: Partial<SuiteRow> = {}): SuiteRow {
  return {
    ...{ tag: null, config: "parked", against: "stock", metric: "avgFps", games: 5, changePct: 0 },
    ...{ lowPct: -1, highPct: 1, theseGamesLowPct: -1, theseGamesHighPct: 1, p: 1, pAdjusted: 1 },
    ...{ verdict: "same", size: null, counts: { higher: 0, lower: 0, same: 5, unclear: 0 } },
    gamesDiffer: { verdict: false, p: 1, spreadPct: 0 },
    ...change,
  };
}

/** A pass with flags, that counts unless it is said not to; `at` names its cell. */
export function markPass(
  at: string,
  number: number,
  flags: readonly PassFlag[],
  change: Partial<PassSummary> & { readonly counted?: boolean } = {},
): MarkedPass {
  const [game, config] = at.split("/") as [string, string];
  const { counted = true, ...figures } = change;
  const pass = { ...makePass({ game, config, pass: `pass-${number}` }, { avgFps: 100 }), ...figures };
  return { pass, flags, counted, screenP: null };
}
