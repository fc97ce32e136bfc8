import type { Check, CheckedClaim, UnclaimedSentence } from "../judge/check-claims.ts";
import type { Compared } from "../judge/compared.ts";
import { isFrameRate } from "../judge/metric-groups.ts";
import { capital } from "../shared/capital.ts";
import { formatCount } from "../shared/format-number.ts";
import { powerCaution } from "../shared/power-caution.ts";
import { measuredText, reasonText } from "./claim-words.ts";
import { visible } from "./escape.ts";
import { markdownTable } from "./markdown-table.ts";
import { paintOf, type Style } from "./style.ts";
import { toCsv } from "./to-csv.ts";
import { toJson } from "./to-json.ts";
import { wrapText } from "./wrap-text.ts";
import { claimComment, writeClaim } from "./write-claim.ts";

const outcomeWords = { holds: "holds", fails: "does not hold", error: "cannot be checked" } as const;

/** "7 of 9 claims hold, 1 does not, 1 cannot be checked; 2 sentences with numbers carry no claim." */
export function checkSummary({ counts, unclaimed, claims }: Check): string {
  const { found, hold, fail, error } = counts;
  const doubts = claims.filter(({ doubt, outcome }) => doubt && outcome === "holds").length;
  const onlyForNow =
    doubts === 0
      ? ""
      : ` (${doubts === hold ? "" : `${formatCount(doubts)} of them `}only for now, not refuted yet)`;
  const parts = [
    found === 0
      ? "no claims"
      : `${formatCount(hold)} of ${found === 1 ? "1 claim holds" : `${formatCount(found)} claims hold`}${onlyForNow}`,
    ...(fail > 0 ? [`${formatCount(fail)} ${fail === 1 ? "does" : "do"} not`] : []),
    ...(error > 0 ? [`${formatCount(error)} cannot be checked`] : []),
  ];
  const open = unclaimed.length;
  const unchecked =
    open === 0
      ? ""
      : `; ${open === 1 ? "1 sentence has a number" : `${formatCount(open)} sentences have numbers`} that no claim checks`;
  return `${parts.join(", ")}${unchecked}`;
}

/** Whether a claim is about power, so that the caution belongs beside it. */
function speaksOfPower({ claims }: Check): boolean {
  return claims.some(({ claim }) => claim !== null && !isFrameRate(claim.metric));
}

/** A script without claims does not fail, but nothing of it was shown to hold either. */
function answerWord({ holds, counts }: Check): "passed" | "failed" | "nothing checked" {
  return !holds ? "failed" : counts.found === 0 ? "nothing checked" : "passed";
}

/** The check for a terminal or a pipe: the answer, then what does not hold, then the rest. */
export function checkTable(check: Check, style: Style): string {
  const paint = paintOf(style);
  const width = Math.max(32, style.width);
  const answer = { passed: paint.good, failed: paint.bad, "nothing checked": paint.warn }[answerWord(check)](
    answerWord(check),
  );
  const paints = { holds: paint.good, fails: paint.bad, error: paint.bad };
  const claimText = (claim: CheckedClaim): string => {
    const measured = measuredText(claim);
    const reason = reasonText(claim);
    const word = claim.outcome === "holds" && claim.doubt ? "holds for now" : outcomeWords[claim.outcome];
    return [
      `${visible(claim.file)}:${claim.line}: ${paints[claim.outcome](word)}`,
      ...(claim.sentence === "" ? [] : [wrapText(`  ${visible(claim.sentence)}`, width, "    ")]),
      ...(measured === null ? [] : [wrapText(`  measured: ${visible(measured)}`, width, "    ")]),
      ...(reason === "" ? [] : [wrapText(`  ${visible(reason)}`, width, "    ")]),
    ].join("\n");
  };
  const openText = (open: UnclaimedSentence): string =>
    [
      `${visible(open.file)}:${open.line}`,
      wrapText(`  ${visible(open.sentence)}`, width, "    "),
      // A claim to paste stays on one line.
      ...(open.suggestion === null ? [] : [`  ${visible(claimComment(open.suggestion))}`]),
    ].join("\n");
  const wrong = check.claims.filter(({ outcome }) => outcome !== "holds");
  const right = check.claims.filter(({ outcome }) => outcome === "holds");
  const sections = [
    wrapText(`${answer}: ${checkSummary(check)}`, width, "  "),
    ...[...wrong, ...right].map(claimText),
    ...(check.unclaimed.length === 0
      ? []
      : [
          paint.heading("Numbers that no claim checks, with the claim to paste where one reading fits"),
          ...check.unclaimed.map(openText),
        ]),
    ...check.exempt.map(({ file, line, why }) =>
      paint.quiet(wrapText(`${visible(file)}:${line}: needs no claim: ${visible(why)}`, width, "  ")),
    ),
    ...(speaksOfPower(check) ? [wrapText(powerCaution, width, "  ")] : []),
  ];
  return `${sections.join("\n\n")}\n`;
}

/** The check by the data contract, key for key; further keys say more. */
export function checkJson(check: Check): string {
  return toJson({
    format: "runjury.check/1",
    holds: check.holds,
    counts: check.counts,
    settings: check.settings,
    claims: check.claims.map((claim) => ({
      file: claim.file,
      line: claim.line,
      sentence: claim.sentence,
      claim: claimOf(claim),
      written: claim.written,
      holds: claim.outcome === "holds",
      outcome: claim.outcome,
      onlyNotRefuted: claim.doubt,
      measured: measuredOf(claim),
      reason: reasonText(claim),
    })),
    unclaimedNumbers: check.unclaimed.map(({ file, line, sentence, figures, suggestion }) => ({
      ...{ file, line, sentence, figures },
      suggestion: suggestion === null ? null : writeClaim(suggestion),
    })),
    exempt: check.exempt,
  });
}

const columns = [
  "file",
  "line",
  "outcome",
  "sentence",
  "claim",
  "measured",
  "changePct",
  "lowPct",
  "highPct",
  "reason",
] as const;

/** One row per claim, then one per sentence with numbers that no claim checks. */
export function checkCsv(check: Check): string {
  return toCsv(columns, [
    ...check.claims.map((claim) => {
      const rows = rowsOf(claim);
      const row = rows.length === 1 ? rows[0] : undefined;
      return [
        ...[claim.file, claim.line, claim.outcome, claim.sentence, claim.written, measuredText(claim)],
        ...[row?.changePct ?? null, row?.lowPct ?? null, row?.highPct ?? null, reasonText(claim)],
      ];
    }),
    ...check.unclaimed.map(({ file, line, sentence, suggestion }) => [
      ...[file, line, "unclaimed", sentence, suggestion === null ? null : writeClaim(suggestion)],
      ...[null, null, null, null, "no claim checks this number"],
    ]),
  ]);
}

/** The check as Markdown, worst first. */
export function checkMarkdown(check: Check): string {
  const order = { error: 0, fails: 1, holds: 2 };
  const claims = [...check.claims].sort((a, b) => order[a.outcome] - order[b.outcome]);
  const place = ({ file, line }: { file: string; line: number }): string => `${file}:${line}`;
  const parts = [
    `# ${capital(answerWord(check))}`,
    `${checkSummary(check)}.`,
    ...(claims.length === 0
      ? []
      : [
          markdownTable(
            ["where", "sentence", "measured", "outcome", "why"],
            claims.map((claim) => [
              place(claim),
              claim.sentence,
              measuredText(claim) ?? "",
              outcomeWords[claim.outcome],
              reasonText(claim),
            ]),
          ),
        ]),
    ...(check.unclaimed.length === 0
      ? []
      : [
          "## Numbers that no claim checks",
          markdownTable(
            ["where", "sentence", "claim that fits"],
            check.unclaimed.map((open) => [
              place(open),
              open.sentence,
              open.suggestion === null ? "" : writeClaim(open.suggestion),
            ]),
          ),
        ]),
    ...(speaksOfPower(check) ? [`> ${powerCaution}`] : []),
  ];
  return `${parts.join("\n\n")}\n`;
}

function rowsOf({ parts }: CheckedClaim): Compared[] {
  const rows = parts.flatMap((part): readonly Compared[] => {
    if (part.about === "is" || part.about === "by") return [part.row];
    return "rows" in part ? part.rows : [];
  });
  return [...new Set(rows)];
}

/** What the claim says, without what it does not say; null where it cannot be read. */
function claimOf({ claim }: CheckedClaim): object | null {
  if (claim === null) return null;
  const { scope, ...rest } = claim;
  const place =
    scope.kind === "game"
      ? { game: scope.game }
      : scope.kind === "tag"
        ? { tag: scope.tag }
        : { suite: true };
  return { ...place, ...Object.fromEntries(Object.entries(rest).filter(([, value]) => value !== null)) };
}

/** The comparisons and values a claim was held against, with their words. */
function measuredOf(claim: CheckedClaim): object | null {
  const text = measuredText(claim);
  if (text === null) return null;
  return {
    text,
    comparisons: rowsOf(claim).map(
      ({ game, tag, config, against, metric, verdict, changePct, lowPct, highPct }) => ({
        ...{ game, tag, config, against, metric, verdict, changePct, lowPct, highPct },
      }),
    ),
    values: claim.parts.flatMap((part) => (part.about === "value" ? [part.cell] : [])),
  };
}
