import type { ClaimDraft } from "../judge/claim-draft.ts";
import type { Compared } from "../judge/compared.ts";
import type { Finding, Findings, Hedge, NotSaid } from "../judge/find-findings.ts";
import type { Judgement } from "../judge/judgement.ts";
import { capital } from "../shared/capital.ts";
import { formatChange } from "../shared/format-number.ts";
import { joinWords } from "../shared/join-words.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import type { NonEmpty } from "../shared/non-empty.ts";
import { hasPower, powerCaution } from "../shared/power-caution.ts";
import { markdownText } from "./escape.ts";
import { cautionPages } from "./explain/caution-pages.ts";
import { paintOf, type Style } from "./style.ts";
import { toCsv } from "./to-csv.ts";
import { toJson } from "./to-json.ts";
import { wrapText } from "./wrap-text.ts";
import { claimComment, writeClaim } from "./write-claim.ts";

/*
 * Every sentence here must pass `check` with its own claims: a figure in it is one of theirs, rounded no further than
 * the check allows.
 */

/** A script to start from: what the data supports, each sentence with its claims, then what must not be said. */
export function findingsMarkdown(findings: Findings): string {
  return layOut(
    findings,
    ({ sentence, claims }) => `- ${markdownText(sentence)} ${claims.map(claimComment).join(" ")}`,
    (text) => text,
  );
}

/** The same Markdown for people at a terminal: lines break between words, and claims stand back behind sentences. */
export function findingsText(findings: Findings, style: Style): string {
  const width = Math.max(32, style.width);
  const { quiet } = paintOf(style);
  const line = ({ sentence, claims }: Line): string =>
    [
      wrapText(`- ${markdownText(sentence)}`, width, "  "),
      ...claims.map((claim) => quiet(wrapText(`  ${claimComment(claim)}`, width, "    "))),
    ].join("\n");
  return layOut(findings, line, (text, indent) => wrapText(text, width, indent));
}

interface Line {
  readonly sentence: string;
  readonly claims: Finding["claims"];
}

function layOut(
  { judgement, said, notSaid }: Findings,
  line: (entry: Line) => string,
  paragraph: (text: string, indent: string) => string,
): string {
  const doubts = judgement.cautions.flatMap(({ code }) =>
    keptInMind.has(code) && Object.hasOwn(cautionPages, code)
      ? [cautionPages[code as keyof typeof cautionPages].means]
      : [],
  );
  const quoted = [...doubts, ...(hasPower(judgement.passes) ? [powerCaution] : [])];
  const parts = [
    paragraph(`# ${markdownText(judgement.session.title ?? "Findings")}`, ""),
    "## What the data supports",
    said.length === 0
      ? paragraph("Nothing: these passes tell no difference from noise, and show none to be absent.", "")
      : said
          .map((finding) => line({ sentence: findingSentence(finding, judgement), claims: finding.claims }))
          .join("\n"),
    ...(notSaid.length === 0
      ? []
      : [
          "## What must not be said",
          notSaid
            .map((entry) => line({ sentence: notSaidSentence(entry, judgement), claims: entry.claims }))
            .join("\n"),
        ]),
    ...(quoted.length === 0 ? [] : [quoted.map((text) => paragraph(`> ${text}`, "> ")).join("\n>\n")]),
  ];
  return `${parts.join("\n\n")}\n`;
}

/** Of all cautions, what whoever writes sentences should have read beside them: it may speak against any of them. */
const keptInMind: ReadonlySet<string> = new Set([
  "few-games",
  "one-boot",
  "order",
  "drift",
  "first-pass-or-drift",
]);

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
      claims: entry.claims.map(writeClaim),
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
      ...notSaid.map((one) => [
        "do not say",
        notSaidSentence(one, judgement),
        one.claims.map(writeClaim).join(" "),
      ]),
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
  capped: "at a frame cap, which hides what the processor could do",
  "gpu-bound": "the graphics card set the pace, which hides what the processor could do",
};

export function findingSentence(
  { kind, rows, beside, sizePct, range, hedges }: Finding,
  judgement: Judgement,
): string {
  const [row] = rows;
  const config = titleOf(judgement, "configs", row.config);
  const than = `compared with ${titleOf(judgement, "configs", row.against)}`;
  const metric = metricPhrase[row.metric];
  const where = kind === "suite" ? overGames(row, judgement) : inGames(rows, judgement);
  const hedged = hedges.map((one) => hedgeWords[one]);
  if (row.verdict === "same")
    return `${capital(where)}, ${config} makes no practical difference to ${metric} ${than}${inBrackets(hedged)}.`;
  const verb = row.verdict === "higher" ? "raises" : "lowers";
  const size =
    range !== null
      ? ` by ${range.leastPct}% to ${range.mostPct}%`
      : sizePct !== null
        ? ` by about ${Math.abs(sizePct)}%`
        : "";
  const still = beside === null ? "" : `, while ${metricPhrase[beside.metric]} stays the same`;
  const doubts = [
    ...(kind === "small" ? ["real, but hardly worth telling"] : []),
    ...(size === "" ? ["by how much is not to be trusted"] : []),
    ...hedged,
  ];
  return `${capital(where)}, ${config} ${verb} ${metric}${size} ${than}${still}${inBrackets(doubts)}.`;
}

function inBrackets(doubts: readonly string[]): string {
  return doubts.length === 0 ? "" : ` (${doubts.join("; ")})`;
}

export function notSaidSentence({ rows, claims }: NotSaid, judgement: Judgement): string {
  const [row] = rows;
  const [claim] = claims as [ClaimDraft, ...ClaimDraft[]];
  const config = titleOf(judgement, "configs", row.config);
  const than = `compared with ${titleOf(judgement, "configs", row.against)}`;
  const metric = metricPhrase[row.metric];
  const ups = rows.filter(({ changePct }) => changePct > 0).length;
  const verb = ups === rows.length ? "raises" : ups === 0 ? "lowers" : "changes";
  if (rows.length === 1) {
    const where = row.game === null ? overGames(row, judgement) : inGames(rows, judgement);
    const seen = claim.byPct === null ? "that" : formatChange(claim.byPct);
    return `Do not say that ${config} ${verb} ${metric} ${where}: it looks like ${seen} ${than}, but ${whyNot(rows)}.`;
  }
  const games = rows.map(({ game }, i) => {
    const byPct = claims[i]?.byPct ?? null;
    const name = titleOf(judgement, "games", game ?? "");
    return byPct === null ? name : `${name} (${formatChange(byPct)})`;
  });
  return `Do not say that ${config} ${verb} ${metric} ${than} in ${joinWords(games, "or")}: ${whyNot(rows)}.`;
}

/** Plain words, and no figure that the claims do not hold. */
function whyNot(rows: NonEmpty<Compared>): string {
  const [{ game, passes, resolvesPct }] = rows;
  if (game === null) return "over so few games that cannot be told from chance";
  if (passes !== null && passes < 2) return "one pass shows no run-to-run noise";
  const counts = rows.flatMap((row) => row.passes ?? []);
  const [fewest, most] = [Math.min(...counts), Math.max(...counts)];
  const withPasses = counts.length === 0 ? "so few" : fewest === most ? fewest : `${fewest} to ${most}`;
  const now = `that could not be told from run-to-run noise with ${withPasses} passes`;
  if (resolvesPct === null) return now;
  const needed = Math.min(...rows.map((row) => row.passesNeeded ?? Number.POSITIVE_INFINITY));
  const many = needed === Number.POSITIVE_INFINITY ? "over 100" : `about ${needed}`;
  return `${now}; it would take ${many} per config${rows.length > 1 && Number.isFinite(needed) ? " or more" : ""}`;
}

function overGames(row: Compared, judgement: Judgement): string {
  const games = judgement.suite.find(
    ({ tag, config, metric }) => tag === row.tag && config === row.config && metric === row.metric,
  )?.games;
  return games === 2 ? "over exactly these 2 games" : `over games like these ${games ?? ""}`.trimEnd();
}

function inGames(rows: readonly Compared[], judgement: Judgement): string {
  const { games } = judgement.session;
  if (games.length > 2 && rows.length === games.length) return `in all ${games.length} games`;
  return `in ${joinWords(
    rows.map(({ game }) => titleOf(judgement, "games", game ?? "")),
    "and",
  )}`;
}

function titleOf({ session }: Judgement, kind: "games" | "configs", name: string): string {
  return session.titles?.[kind].find((entry) => entry.name === name)?.title ?? name;
}
