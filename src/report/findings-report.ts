import type { Compared } from "../judge/compared.ts";
import type { Finding, Findings, Hedge, NotSaid } from "../judge/find-findings.ts";
import type { Judgement } from "../judge/judgement.ts";
import { metricLabel } from "../judge/label-metric.ts";
import type { Metric } from "../measure/pass-summary.ts";
import { formatChange } from "../shared/format-number.ts";
import { powerCaution } from "../shared/power-caution.ts";
import { markdownText } from "./escape.ts";
import { hasPower } from "./judgement-words.ts";
import { toCsv } from "./to-csv.ts";
import { toJson } from "./to-json.ts";
import { claimComment, writeClaim } from "./write-claim.ts";

/*
 * Every sentence here must pass `check` with its own claims: a figure in it is one of theirs, rounded no further than
 * the check allows.
 */

/** A script to start from: what the data supports, each sentence with its claims, then what must not be said. */
export function findingsMarkdown(findings: Findings): string {
  const { judgement, said, notSaid } = findings;
  const line = (sentence: string, claims: Finding["claims"]): string =>
    `- ${markdownText(sentence)} ${claims.map(claimComment).join(" ")}`;
  const parts = [
    `# ${markdownText(judgement.session.title ?? "Findings")}`,
    "## What the data supports",
    said.length === 0
      ? "Nothing: these passes tell no difference from noise, and show none to be absent."
      : said.map((finding) => line(findingSentence(finding, judgement), finding.claims)).join("\n"),
    ...(notSaid.length === 0
      ? []
      : [
          "## What must not be said",
          notSaid.map((entry) => line(notSaidSentence(entry, judgement), [entry.claim])).join("\n"),
        ]),
    ...(hasPower(judgement.passes) ? [`> ${powerCaution}`] : []),
  ];
  return `${parts.join("\n\n")}\n`;
}

/** The same as data: sentences with their claims. */
export function findingsJson(findings: Findings): string {
  const { judgement, said, notSaid } = findings;
  return toJson({
    format: "runjury.findings/1",
    findings: said.map((finding) => ({
      sentence: findingSentence(finding, judgement),
      claims: finding.claims.map(writeClaim),
      hedges: finding.hedges,
    })),
    mustNotSay: notSaid.map((entry) => ({
      sentence: notSaidSentence(entry, judgement),
      claims: [writeClaim(entry.claim)],
    })),
  });
}

/** One row per sentence. */
export function findingsCsv(findings: Findings): string {
  const { judgement, said, notSaid } = findings;
  return toCsv(
    ["kind", "sentence", "claims"],
    [
      ...said.map((one) => ["say", findingSentence(one, judgement), one.claims.map(writeClaim).join(" ")]),
      ...notSaid.map((one) => ["do not say", notSaidSentence(one, judgement), writeClaim(one.claim)]),
    ],
  );
}

const metricPhrase: Readonly<Record<Metric, string>> = {
  ...metricLabel,
  low1Fps: "the 1% low",
  low01Fps: "the 0.1% low",
};

const hedgeWords: Readonly<Record<Hedge, string>> = {
  screened: "without the passes that were set aside",
  "one-pass": "it hangs on a single pass",
  "lows-definition": "another definition of the low does not show it",
};

export function findingSentence(
  { kind, rows, beside, sizePct, hedges }: Finding,
  judgement: Judgement,
): string {
  const [row] = rows as [Compared, ...Compared[]];
  const config = titleOf(judgement, "configs", row.config);
  const than = `compared with ${titleOf(judgement, "configs", row.against)}`;
  const metric = metricPhrase[row.metric];
  const where = kind === "suite" ? overGames(row, judgement) : `in ${gameList(rows, judgement)}`;
  if (row.verdict === "same")
    return `${capital(where)}, ${config} makes no practical difference to ${metric} ${than}.`;
  const verb = row.verdict === "higher" ? "raises" : "lowers";
  const size = sizePct === null ? "" : ` by about ${Math.abs(sizePct)}%`;
  const still = beside === null ? "" : `, while ${metricPhrase[beside.metric]} stays the same`;
  const doubts = [
    ...(kind === "small" ? ["real, but hardly worth telling"] : []),
    ...(sizePct === null ? ["by how much is not to be trusted"] : []),
    ...hedges.map((one) => hedgeWords[one]),
  ];
  const doubt = doubts.length === 0 ? "" : ` (${doubts.join("; ")})`;
  return `${capital(where)}, ${config} ${verb} ${metric}${size} ${than}${still}${doubt}.`;
}

export function notSaidSentence({ row, claim }: NotSaid, judgement: Judgement): string {
  const config = titleOf(judgement, "configs", row.config);
  const against = titleOf(judgement, "configs", row.against);
  const where = row.game === null ? overGames(row, judgement) : `in ${gameList([row], judgement)}`;
  const verb = row.changePct > 0 ? "raises" : "lowers";
  const seen =
    claim.byPct === null
      ? `it looks like that compared with ${against}`
      : `it looks like ${formatChange(claim.byPct)} compared with ${against}`;
  return `Do not say that ${config} ${verb} ${metricPhrase[row.metric]} ${where}: ${seen}, but ${whyNot(row)}.`;
}

/** Plain words, and no figure that the claim does not hold. */
function whyNot({ game, passes, passesNeeded, resolvesPct }: Compared): string {
  if (game === null) return "over so few games that cannot be told from chance";
  if (passes !== null && passes < 2) return "one pass shows no run-to-run noise";
  const now = `that could not be told from run-to-run noise with ${passes ?? "so few"} passes`;
  if (resolvesPct === null) return now;
  return `${now}; it would take ${passesNeeded === null ? "over 100" : `about ${passesNeeded}`} per config`;
}

function overGames(row: Compared, judgement: Judgement): string {
  const games = judgement.suite.find(
    ({ tag, config, metric }) => tag === row.tag && config === row.config && metric === row.metric,
  )?.games;
  return games === 2 ? "over exactly these 2 games" : `over games like these ${games ?? ""}`.trimEnd();
}

function gameList(rows: readonly Compared[], judgement: Judgement): string {
  const names = rows.map(({ game }) => titleOf(judgement, "games", game ?? ""));
  return names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}

function titleOf({ session }: Judgement, kind: "games" | "configs", name: string): string {
  return session.titles?.[kind].find((entry) => entry.name === name)?.title ?? name;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
