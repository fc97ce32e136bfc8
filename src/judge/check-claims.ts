import type { Claim, ReadClaim, ScriptSentence } from "../read/claim.ts";
import { type Figure, figuresIn, maskOf, saysMultiple, saysNoDifference } from "../read/figures-in-text.ts";
import type { Problem } from "../shared/problem.ts";
import type { ClaimDraft } from "./claim-draft.ts";
import { Comparisons, type Evidence } from "./compared.ts";
import {
  type ClaimableNames,
  type ClaimPart,
  claimedFigures,
  decideClaim,
  wordAllows,
} from "./decide-claim.ts";
import { ClaimSuggester } from "./suggest-claim.ts";
import type { VerdictWord } from "./verdict.ts";

export interface CheckSettings {
  /** What holds only because nothing speaks against it fails, and so does a judgement that is out of date. */
  readonly strict: boolean;
  /** Sentences with numbers and without a claim make the check fail. */
  readonly requireClaims: boolean;
}

/** A claim of the script, decided. */
export interface CheckedClaim {
  readonly file: string;
  readonly line: number;
  readonly sentence: string;
  /** As it stands in the script. */
  readonly written: string;
  /** null where it cannot be read. */
  readonly claim: Claim | null;
  readonly outcome: "holds" | "fails" | "error";
  /** It holds, but was not shown; under `strict` its outcome is "fails". */
  readonly doubt: boolean;
  readonly parts: readonly ClaimPart[];
  /** What keeps it from being decided: not empty exactly where the outcome is "error". */
  readonly problems: readonly Problem[];
}

/** A sentence that speaks of numbers, or of no difference, which none of its claims checks. */
export interface UnclaimedSentence {
  readonly file: string;
  readonly line: number;
  readonly sentence: string;
  /** As the sentence says them; empty where it says "no difference" in words. */
  readonly figures: readonly string[];
  readonly suggestion: ClaimDraft | null;
}

/** A script held against the data. Every claim found is in `claims`, in the script's order. */
export interface Check {
  readonly settings: CheckSettings;
  readonly claims: readonly CheckedClaim[];
  readonly unclaimed: readonly UnclaimedSentence[];
  readonly exempt: readonly {
    readonly file: string;
    readonly line: number;
    readonly sentence: string;
    readonly why: string;
  }[];
  readonly counts: {
    readonly found: number;
    readonly hold: number;
    readonly fail: number;
    readonly error: number;
  };
  /** Contradictions, and what makes the judgement out of date. */
  readonly problems: readonly Problem[];
  readonly holds: boolean;
}

/**
 * Holds every claim of a script against a judgement, and lists the sentences whose numbers no claim checks.
 * @param stale what is known to be out of date about the evidence
 */
export function checkClaims(
  sentences: readonly ScriptSentence[],
  evidence: Evidence,
  settings: CheckSettings,
  stale: readonly Problem[] = [],
): Check {
  const comparisons = new Comparisons(evidence);
  const names = namesOf(evidence);
  const reader = new SentenceReader(evidence);
  const suggester = new ClaimSuggester(comparisons, (name) => figuresIn(name.replace(/[-_]/g, " ")));

  const claims: CheckedClaim[] = [];
  const unclaimed: UnclaimedSentence[] = [];
  const decided: { at: ReadClaim["at"]; claim: Claim }[] = [];
  for (const sentence of sentences) {
    const { measured, named } = reader.read(sentence.text);
    for (const read of sentence.claims) {
      const checked = checkOne(sentence, read, [...measured, ...named], comparisons, names, settings);
      claims.push(checked);
      if (read.claim !== null && checked.outcome !== "error")
        decided.push({ at: read.at, claim: read.claim });
    }
    const open = sentence.exempt === null ? openFigures(sentence, measured) : null;
    if (open === null) continue;
    const { file, line, text } = sentence;
    unclaimed.push({
      ...{ file, line, sentence: text },
      figures: [...new Set(open.map((figure) => figure.text))],
      suggestion: suggester.suggest(text, open, named),
    });
  }
  const hold = claims.filter(({ outcome }) => outcome === "holds").length;
  const error = claims.filter(({ outcome }) => outcome === "error").length;
  return {
    settings,
    claims,
    unclaimed,
    exempt: sentences.flatMap(({ file, line, text, exempt }) =>
      exempt === null ? [] : [{ file, line, sentence: text, why: exempt }],
    ),
    counts: { found: claims.length, hold, fail: claims.length - hold - error, error },
    problems: [...stale, ...findContradictions(decided, evidence.own.session.baseline)],
    holds:
      hold === claims.length &&
      !(settings.strict && stale.length > 0) &&
      !(settings.requireClaims && unclaimed.length > 0),
  };
}

function checkOne(
  { file, text }: ScriptSentence,
  read: ReadClaim,
  figures: readonly Figure[],
  comparisons: Comparisons,
  names: ClaimableNames,
  { strict }: CheckSettings,
): CheckedClaim {
  const base = { file, line: read.at.line, sentence: text, written: read.written, claim: read.claim };
  if (read.claim === null)
    return { ...base, outcome: "error", doubt: false, parts: [], problems: read.problems };
  const { parts, findings } = decideClaim(read.claim, figures, comparisons, names);
  if (findings.length > 0) {
    const problems = findings.map((finding): Problem => ({ severity: "error", at: read.at, ...finding }));
    return { ...base, outcome: "error", doubt: false, parts: [], problems };
  }
  const holds = parts.every((part) => part.holds);
  const doubt = holds && parts.some((part) => part.doubt);
  const outcome = holds && !(strict && doubt) ? "holds" : "fails";
  return { ...base, outcome, doubt, parts, problems: [] };
}

function namesOf({ own }: Evidence): ClaimableNames {
  const tags = new Map<string, string[]>();
  for (const { game, tag } of own.session.tags ?? []) {
    if (own.session.games.includes(game)) tags.set(tag, [...(tags.get(tag) ?? []), game]);
  }
  return { games: own.session.games, configs: own.session.configs, tags };
}

/** Tells a sentence's measurements from the numbers in names: "35 watts" is the config quiet-35w, not a result. */
class SentenceReader {
  private readonly mask: RegExp | null;
  private readonly inNames: readonly Figure[];

  constructor({ own }: Evidence) {
    const { games, configs, titles } = own.session;
    const shown = [...(titles?.games ?? []), ...(titles?.configs ?? [])].map(({ title }) => title);
    const names = [...games, ...configs, ...shown];
    this.mask = maskOf(names);
    this.inNames = names.flatMap((name) => figuresIn(name.replace(/[-_]/g, " ")));
  }

  read(text: string): { measured: Figure[]; named: Figure[] } {
    const figures = figuresIn(text, this.mask);
    const isNamed = (figure: Figure): boolean =>
      figure.unit !== "%" &&
      this.inNames.some(({ unit, value }) => unit === figure.unit && value === figure.value);
    return { measured: figures.filter((figure) => !isNamed(figure)), named: figures.filter(isNamed) };
  }
}

/** The figures that no claim checks; null where there are none, and nothing said in words either. */
function openFigures({ text, claims }: ScriptSentence, figures: readonly Figure[]): readonly Figure[] | null {
  // What a claim that cannot be read would check, nobody knows; it is an error of its own.
  if (claims.some(({ claim }) => claim === null)) return null;
  const checked = claims.flatMap(({ claim }) => (claim === null ? [] : claimedFigures(claim)));
  const units = new Set(checked.flatMap((one) => one.units));
  // Figures that disagree with the claim's of their kind are told with the claim, once.
  const isTold = (unit: Figure["unit"]): boolean =>
    units.has(unit) &&
    !figures.some((figure) => figure.unit === unit && checked.some((one) => isChecked(one, figure)));
  const open = figures.filter(
    (figure) => !isTold(figure.unit) && !checked.some((one) => isChecked(one, figure)),
  );
  if (open.length > 0) return open;
  return claims.length === 0 && (saysNoDifference(text) || saysMultiple(text)) ? [] : null;
}

function isChecked(one: ReturnType<typeof claimedFigures>[number], figure: Figure): boolean {
  return one.units.includes(figure.unit) && one.matches(figure);
}

/** Claims about one comparison of which no verdict could make all true. */
function findContradictions(
  decided: readonly { at: ReadClaim["at"]; claim: Claim }[],
  baseline: string,
): Problem[] {
  const problems: Problem[] = [];
  const open = new Map<string, { words: readonly VerdictWord[]; at: ReadClaim["at"] }>();
  for (const { at, claim } of decided) {
    if (claim.is === null || claim.config === null) continue;
    const against = claim.against ?? baseline;
    const isTurned = claim.config > against;
    const pair = isTurned ? [against, claim.config] : [claim.config, against];
    const words = wordAllows[claim.is].map((word) => (isTurned ? turned[word] : word));
    const key = JSON.stringify([claim.scope, claim.metric, pair]);
    const earlier = open.get(key);
    const common = earlier === undefined ? words : earlier.words.filter((word) => words.includes(word));
    if (earlier !== undefined && common.length === 0) {
      const { file, line } = earlier.at;
      problems.push({ code: "claim-contradicts", severity: "warning", at, file, line });
    } else {
      open.set(key, { words: common, at: earlier?.at ?? at });
    }
  }
  return problems;
}

const turned: Readonly<Record<VerdictWord, VerdictWord>> = {
  higher: "lower",
  lower: "higher",
  same: "same",
  unclear: "unclear",
};
