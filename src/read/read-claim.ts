import type * as z from "zod";
import { type MetricName, metricsByName } from "../shared/metrics.ts";
import type { ClaimClash, Place, Problem, ScriptFinding } from "../shared/problem.ts";
import { type Claim, type ClaimScope, type ReadClaim, unitsByMetric } from "./claim.ts";
import { claimEntrySchema, claimSchema } from "./claims-schema.ts";
import { readYaml, type YamlReading } from "./yaml-file.ts";

type Written = z.output<typeof claimSchema>;

/** What one claim's text holds: a claim, or the reason why its sentence needs none, or problems. */
export interface ClaimReading extends ReadClaim {
  readonly exempt: string | null;
  /** The sentence, where the claim brings it along. */
  readonly say: string | null;
}

/** Far above any claim written by hand. */
const longestClaim = 10_000;

const assertions = ["is", "by", "about", "differs-at-most", "order", "best", "worst"] as const;
const comparing = ["is", "by", "about", "differs-at-most"] as const;
const ranking = ["order", "best", "worst"] as const;

/** A claim that says nothing that can be checked, and why. */
export function brokenClaim(written: string, at: ReadClaim["at"], finding: ScriptFinding): ClaimReading {
  return {
    at,
    written: written.replace(/\s+/g, " ").trim(),
    claim: null,
    problems: [{ severity: "error", at, ...finding }],
    exempt: null,
    say: null,
  };
}

/**
 * Reads one claim.
 * @param source YAML text of the claim alone
 * @param at where its first character stands
 * @param isEntry true for an entry of claims.yaml, which says its sentence
 */
export function readClaim(source: string, at: ReadClaim["at"], isEntry: boolean): ClaimReading {
  const move = moveFrom(at);
  if (source.length > longestClaim) {
    return brokenClaim(source.slice(0, 80), at, {
      code: "script-too-long",
      characters: source.length,
      most: longestClaim,
    });
  }
  const written = onOneLine(source);
  const yaml: YamlReading<Written & { say?: string }> = isEntry
    ? readYaml(source, at.file, claimEntrySchema)
    : readYaml(source, at.file, claimSchema);
  const say = yaml.value?.say ?? null;
  const base = { at, written, say, exempt: null };
  if (yaml.value === null) return { ...base, claim: null, problems: yaml.problems.map(move) };
  const value: Written = yaml.value;
  if (value.none !== undefined) {
    const others = givenOf(value).filter((key) => key !== "none");
    const problems = others.map((key) => clash(yaml, ["none", key], "alone"));
    return { ...base, claim: null, problems: problems.map(move), exempt: value.none };
  }
  const problems = findFaults(yaml, value);
  if (problems.length > 0) return { ...base, claim: null, problems: problems.map(move) };
  return { ...base, claim: toClaim(value), problems: [] };
}

/** As it could be pasted behind a sentence. */
function onOneLine(source: string): string {
  const text = source.trim();
  if (text === "" || text.startsWith("{")) return text.replace(/\s+/g, " ");
  const lines = text.split("\n").map((line) => line.replace(/\s+/g, " ").trim());
  return `{ ${lines.filter((line) => line !== "").join(", ")} }`;
}

/** Places inside the claim's text to places in its file. */
function moveFrom(start: ReadClaim["at"]): (problem: Problem) => Problem {
  return (problem) => {
    const line = (problem.at.line ?? 1) + start.line - 1;
    const column = (problem.at.column ?? 1) + ((problem.at.line ?? 1) === 1 ? (start.column ?? 1) - 1 : 0);
    const at: Place = { file: start.file, line, column };
    switch (problem.code) {
      case "key-twice":
        return { ...problem, at, firstLine: problem.firstLine + start.line - 1 };
      case "key-unknown":
      case "key-missing":
        return { ...problem, at, in: ["claim", ...problem.in] };
      case "value-wrong":
      case "percent-unclear":
        return { ...problem, at, path: ["claim", ...problem.path] };
      default:
        return { ...problem, at };
    }
  };
}

function givenOf(value: Written): (keyof Written)[] {
  return (Object.keys(value) as (keyof Written | "say")[]).filter(
    (key): key is keyof Written => key !== "say" && value[key] !== undefined,
  );
}

function clash(yaml: YamlReading<unknown>, keys: readonly [string, string], why: ClaimClash): Problem {
  return { code: "claim-clash", severity: "error", at: yaml.placeOfKey([keys[1]]), keys, why };
}

/** What the shape alone does not see: keys that need or exclude each other. */
function findFaults(yaml: YamlReading<unknown>, value: Written): Problem[] {
  const given = givenOf(value);
  const has = (key: keyof Written): boolean => given.includes(key);
  const problems: Problem[] = [];
  const missing = (key: string): void => {
    problems.push({ code: "key-missing", severity: "error", at: yaml.placeOf([]), in: [], key });
  };
  const refuse = (first: string, second: string, why: ClaimClash): void => {
    problems.push(clash(yaml, [first, second], why));
  };

  const scopes = (["game", "suite", "tag"] as const).filter(has);
  if (scopes.length !== 1)
    problems.push({ code: "claim-scope", severity: "error", at: yaml.placeOf([]), given: scopes });
  if (!has("metric")) missing("metric");
  const said = assertions.filter(has);
  if (said.length === 0)
    problems.push({ code: "claim-says-nothing", severity: "error", at: yaml.placeOf([]), keys: assertions });
  const comparisons = comparing.filter(has);
  if (comparisons.length > 0 && !has("config")) missing("config");
  for (const key of ranking.filter(has)) {
    for (const other of [...comparisons, ...(["config", "against"] as const).filter(has)])
      refuse(key, other, "alone");
  }
  if (has("about") && scopes.length === 1 && !has("game")) refuse(scopes[0] as string, "about", "needs-game");
  if (has("against") && comparisons.length === 1 && has("about")) refuse("about", "against", "not-compared");
  if (has("give-or-take")) {
    if (has("by") && has("about")) refuse("by", "give-or-take", "one-figure");
    if (!has("by") && !has("about")) refuse("by or about", "give-or-take", "needs-figure");
  }
  const unit = value.metric === undefined ? null : unitsByMetric[metricsByName[value.metric]];
  const margin = value["give-or-take"]?.unit ?? null;
  if (unit !== null && (value.about?.unit ?? unit) !== unit) refuse("metric", "about", "units-differ");
  if (has("by") && !has("about") && margin !== null && margin !== "%")
    refuse("by", "give-or-take", "units-differ");
  if (has("about") && !has("by") && margin !== null && margin !== "%" && margin !== unit)
    refuse("about", "give-or-take", "units-differ");
  const { is, by } = value;
  if (by !== undefined) {
    const direction = is === "higher" ? 1 : is === "lower" ? -1 : 0;
    if (direction !== 0 && by.sign === -direction) refuse("is", "by", "directions-differ");
    if (direction === 0 && by.sign === 0 && by.sizePct !== 0) refuse("is", "by", "needs-direction");
  }
  return problems;
}

function toClaim(value: Written): Claim {
  const scope: ClaimScope =
    value.game !== undefined
      ? { kind: "game", game: value.game.normalize("NFC") }
      : value.tag !== undefined
        ? { kind: "tag", tag: value.tag.normalize("NFC") }
        : { kind: "suite" };
  const { is, by } = value;
  const direction = is === "higher" ? 1 : is === "lower" ? -1 : (by?.sign ?? 0);
  return {
    scope,
    metric: metricsByName[value.metric as MetricName],
    config: value.config?.normalize("NFC") ?? null,
    against: value.against?.normalize("NFC") ?? null,
    // A signed size alone claims its direction too.
    is: is ?? (by === undefined || by.sizePct === 0 ? null : direction > 0 ? "higher" : "lower"),
    byPct: by === undefined ? null : by.sizePct === 0 ? 0 : direction * by.sizePct,
    giveOrTake: value["give-or-take"] ?? null,
    about: value.about === undefined ? null : { value: value.about.value, decimals: value.about.decimals },
    differsAtMostPct: value["differs-at-most"] ?? null,
    order: value.order?.map((name) => name.normalize("NFC")) ?? null,
    best: value.best?.normalize("NFC") ?? null,
    worst: value.worst?.normalize("NFC") ?? null,
  };
}
