import { type Claim, type ClaimWord, type MetricUnit, unitsByMetric } from "../read/claim.ts";
import type { Figure } from "../read/figures-in-text.ts";
import { metricLabel } from "../shared/metrics.ts";
import { nearestName } from "../shared/nearest.ts";
import type { ScriptFinding } from "../shared/problem.ts";
import type { CellValue, Compared, Comparisons, NotCompared, Where } from "./compared.ts";
import { lessIsBetter } from "./metric-groups.ts";
import type { VerdictWord } from "./verdict.ts";

/** One thing a claim says, and whether it is so. `doubt`: it holds, but not because it was shown. */
export type ClaimPart = { readonly holds: boolean; readonly doubt: boolean } & (
  | {
      readonly about: "is";
      readonly wanted: ClaimWord;
      readonly row: Compared;
      readonly isBoundShown: boolean;
    }
  | {
      readonly about: "by";
      readonly wantedPct: number;
      readonly allowed: number;
      readonly row: Compared;
      readonly isNear: boolean;
      readonly isInside: boolean;
    }
  | {
      readonly about: "value";
      readonly wanted: number;
      readonly unit: MetricUnit;
      readonly allowed: number;
      readonly cell: CellValue;
    }
  | {
      readonly about: "differs-at-most";
      readonly wantedPct: number;
      readonly rows: readonly Compared[];
      /** Those of which it is not shown. */
      readonly beyond: readonly Compared[];
    }
  | {
      readonly about: "order" | "best" | "worst";
      readonly configs: readonly string[];
      readonly rows: readonly Compared[];
      readonly notShown: readonly Compared[];
    }
  | { readonly about: "sentence"; readonly says: readonly string[]; readonly claims: string }
);

export interface DecidedClaim {
  readonly parts: readonly ClaimPart[];
  /** What keeps it from being decided; then there are no parts. */
  readonly findings: readonly ScriptFinding[];
}

/** Games, configs and tags that claims may name. */
export interface ClaimableNames {
  readonly games: readonly string[];
  readonly configs: readonly string[];
  readonly tags: ReadonlyMap<string, readonly string[]>;
}

/** A size holds within 1 point of the estimate, a value within 1% of it: common practice, no source. */
export const nearPct = 1;
/** Figures are compared as they are written: this much is the computer's, not the data's. */
const epsilon = 1e-9;

/** Verdicts under which a word is true. */
export const wordAllows: Readonly<Record<ClaimWord, readonly VerdictWord[]>> = {
  higher: ["higher"],
  lower: ["lower"],
  same: ["same"],
  "within-noise": ["same", "unclear"],
  unclear: ["unclear"],
  "not-higher": ["lower", "same", "unclear"],
  "not-lower": ["higher", "same", "unclear"],
};

/**
 * Holds one claim against the data. Every part must hold. A part that speaks of several comparisons (an order, the best config,
 * no game) holds only if each of them is shown by itself, so that it needs no correction of its own (intersection-union
 * test).
 * @see Berger 1982, Technometrics 24:295
 * @param figures what the claim's sentence says in numbers
 */
export function decideClaim(
  claim: Claim,
  figures: readonly Figure[],
  comparisons: Comparisons,
  names: ClaimableNames,
): DecidedClaim {
  const { baseline } = comparisons.own.session;
  const unknown = findUnknown(claim, names, baseline);
  if (unknown.length > 0) return { parts: [], findings: unknown };
  const findings: ScriptFinding[] = [];
  const parts: ClaimPart[] = [];
  const where: Where = {
    game: claim.scope.kind === "game" ? claim.scope.game : null,
    tag: claim.scope.kind === "tag" ? claim.scope.tag : null,
  };
  const compare = (place: Where, config: string, against: string): Compared | null => {
    const found = comparisons.find(place, claim.metric, config, against);
    if (typeof found !== "string") return found;
    findings.push(cannotCompare(found, place, claim, config, against, comparisons));
    return null;
  };

  if (claim.config !== null && (claim.is !== null || claim.byPct !== null)) {
    const row = compare(where, claim.config, claim.against ?? baseline);
    if (row !== null) {
      if (claim.is !== null) parts.push(decideWord(claim.is, row, comparisons.own.session.mattersPct));
      if (claim.byPct !== null) parts.push(decideSize(claim.byPct, claim.giveOrTake?.value ?? null, row));
    }
  }
  if (claim.config !== null && claim.about !== null && where.game !== null) {
    const cell = comparisons.valueOf(where.game, claim.config, claim.metric);
    if (cell === null) findings.push(noData(where, claim, claim.config));
    else parts.push(decideValue(claim, cell));
  }
  if (claim.config !== null && claim.differsAtMostPct !== null) {
    const config = claim.config;
    const rows = gamesOf(where, names).map((game) =>
      compare({ game, tag: null }, config, claim.against ?? baseline),
    );
    if (rows.every((row) => row !== null)) parts.push(decideAtMost(claim.differsAtMostPct, rows));
  }
  for (const part of rankings(claim, names)) {
    const rows = part.pairs.map(([config, against]) => compare(where, config, against));
    if (!rows.every((row) => row !== null)) continue;
    const notShown = rows.filter(({ verdict }) => verdict !== part.wanted);
    const { about, configs } = part;
    parts.push({ about, configs, rows, notShown, holds: notShown.length === 0, doubt: false });
  }
  if (findings.length > 0) return { parts: [], findings };
  return { parts: [...parts, ...compareWithSentence(claim, figures)], findings };
}

function findUnknown(claim: Claim, names: ClaimableNames, baseline: string): ScriptFinding[] {
  const findings: ScriptFinding[] = [];
  const require = (kind: "game" | "config" | "tag", name: string, known: readonly string[]): void => {
    if (known.includes(name)) return;
    findings.push({
      code: "claim-name-unknown",
      kind,
      name,
      nearest: nearestName(name, known),
      names: known,
    });
  };
  if (claim.scope.kind === "game") require("game", claim.scope.game, names.games);
  if (claim.scope.kind === "tag") require("tag", claim.scope.tag, [...names.tags.keys()]);
  const configs = [claim.config, claim.against, ...(claim.order ?? []), claim.best, claim.worst];
  for (const config of configs) if (config !== null) require("config", config, names.configs);
  const twice = claim.order?.find((config, i, order) => order.indexOf(config) < i);
  if (twice !== undefined) findings.push({ code: "claim-order-twice", config: twice });
  const against = claim.against ?? baseline;
  const compares = claim.is !== null || claim.byPct !== null || claim.differsAtMostPct !== null;
  if (claim.config !== null && claim.config === against && compares)
    findings.push({
      code: "claim-against-itself",
      config: claim.config,
      isBaseline: claim.against === null,
    });
  return findings;
}

function gamesOf(where: Where, names: ClaimableNames): readonly string[] {
  if (where.game !== null) return [where.game];
  return where.tag === null ? names.games : (names.tags.get(where.tag) ?? []);
}

function decideWord(wanted: ClaimWord, row: Compared, mattersPct: number): ClaimPart {
  const { verdict, lowPct, highPct } = row;
  // "Not higher" is shown, rather than merely not refuted, where the interval ends below what matters.
  const isBoundShown =
    (wanted === "not-higher" && highPct !== null && highPct <= mattersPct) ||
    (wanted === "not-lower" && lowPct !== null && lowPct >= -mattersPct);
  const holds = wordAllows[wanted].includes(verdict);
  const doubt = holds && verdict === "unclear" && wanted !== "unclear" && !isBoundShown;
  return { about: "is", wanted, row, isBoundShown, holds, doubt };
}

/** Inside the interval and within 1 point of the estimate; or within the tolerance that the claim names. */
export function decideSize(
  wantedPct: number,
  giveOrTake: number | null,
  row: Compared,
): ClaimPart & { about: "by" } {
  const allowed = giveOrTake ?? nearPct;
  const isNear = Math.abs(wantedPct - row.changePct) <= allowed + epsilon;
  const isInside =
    row.lowPct !== null && row.highPct !== null && row.lowPct <= wantedPct && wantedPct <= row.highPct;
  const holds = row.lowPct !== null && isNear && (isInside || giveOrTake !== null);
  return { about: "by", wantedPct, allowed, row, isNear, isInside, holds, doubt: false };
}

/** Within 1% of what was measured, or equal to it once that is rounded as the claim is written; or within the tolerance. */
function decideValue(claim: Claim, cell: CellValue): ClaimPart {
  const { value: wanted, decimals } = claim.about as NonNullable<Claim["about"]>;
  const margin = claim.giveOrTake;
  const allowed =
    margin === null
      ? Math.max((nearPct / 100) * cell.value, 0.5 * 10 ** -decimals)
      : margin.unit === "%"
        ? (margin.value / 100) * wanted
        : margin.value;
  const holds = Math.abs(wanted - cell.value) <= allowed + epsilon;
  return { about: "value", wanted, unit: unitsByMetric[claim.metric], allowed, cell, holds, doubt: false };
}

function decideAtMost(wantedPct: number, rows: readonly Compared[]): ClaimPart {
  const beyond = rows.filter(
    ({ lowPct, highPct }) =>
      lowPct === null || highPct === null || lowPct < -wantedPct - epsilon || highPct > wantedPct + epsilon,
  );
  return { about: "differs-at-most", wantedPct, rows, beyond, holds: beyond.length === 0, doubt: false };
}

interface Ranking {
  readonly about: "order" | "best" | "worst";
  readonly configs: readonly string[];
  /** Each to be found `wanted`: [config, against]. */
  readonly pairs: readonly (readonly [string, string])[];
  readonly wanted: VerdictWord;
}

function rankings(claim: Claim, names: ClaimableNames): Ranking[] {
  const ranked: Ranking[] = [];
  if (claim.order !== null) {
    const pairs = claim.order.slice(1).map((config, i) => [config, claim.order?.[i] as string] as const);
    ranked.push({ about: "order", configs: claim.order, pairs, wanted: "higher" });
  }
  for (const about of ["best", "worst"] as const) {
    const chosen = claim[about];
    if (chosen === null) continue;
    const pairs = names.configs
      .filter((config) => config !== chosen)
      .map((config) => [config, chosen] as const);
    const isHighest = (about === "best") !== lessIsBetter.has(claim.metric);
    ranked.push({ about, configs: [chosen], pairs, wanted: isHighest ? "lower" : "higher" });
  }
  return ranked;
}

/** The sentence's own figures of a kind must be the claim's: the sentence says 9%, its claim 7%. */
function compareWithSentence(claim: Claim, figures: readonly Figure[]): ClaimPart[] {
  return claimedFigures(claim).flatMap(({ units, matches, text }): ClaimPart[] => {
    const own = figures.filter(({ unit }) => units.includes(unit));
    if (own.length === 0 || own.some(matches)) return [];
    return [
      {
        about: "sentence",
        says: [...new Set(own.map((f) => f.text))],
        claims: text,
        holds: false,
        doubt: false,
      },
    ];
  });
}

/** What a claim checks of a sentence's figures. */
export function claimedFigures(
  claim: Claim,
): { units: readonly Figure["unit"][]; matches: (figure: Figure) => boolean; text: string }[] {
  const claimed = [];
  const { byPct, about, differsAtMostPct: most, giveOrTake } = claim;
  if (byPct !== null) {
    const ends = giveOrTake === null ? [byPct] : [byPct, byPct - giveOrTake.value, byPct + giveOrTake.value];
    claimed.push({
      units: ["%"] as const,
      matches: (figure: Figure) =>
        // A figure without a sign, which has 0, goes with both.
        ends.some((end) => isSaid(figure, Math.abs(end)) && figure.sign * end >= 0),
      text: `${byPct}%`,
    });
  }
  if (most !== null) {
    claimed.push({
      units: ["%"] as const,
      matches: (figure: Figure) => isSaid(figure, most),
      text: `${most}%`,
    });
  }
  if (about !== null) {
    claimed.push({
      units: [unitsByMetric[claim.metric]],
      matches: (figure: Figure) => isSaid(figure, about.value),
      text: `${about.value} ${unitsByMetric[claim.metric]}`,
    });
  }
  return claimed;
}

/** A sentence may round what its claim says more exactly: "about 9%" for 8.7%. */
function isSaid({ value, decimals }: Figure, wanted: number): boolean {
  return Math.abs(value - wanted) <= 0.5 * 10 ** -decimals * (1 + epsilon) + epsilon;
}

function noData(where: Where, claim: Claim, config: string): ScriptFinding {
  const of =
    where.game ?? (where.tag === null ? "two games or more" : `two games or more tagged ${where.tag}`);
  return { code: "claim-no-data", of: `${of} / ${config}`, metric: metricLabel[claim.metric] };
}

function cannotCompare(
  why: NotCompared,
  where: Where,
  claim: Claim,
  config: string,
  against: string,
  comparisons: Comparisons,
): ScriptFinding {
  const { baseline } = comparisons.own.session;
  if (why === "needs-captures") return { code: "claim-needs-captures", against, baseline };
  const isKnown = where.game !== null && comparisons.valueOf(where.game, config, claim.metric) !== null;
  return noData(where, claim, isKnown ? against : config);
}
