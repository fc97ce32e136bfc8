import type { CheckedClaim } from "../judge/check-claims.ts";
import type { Compared } from "../judge/compared.ts";
import type { ClaimPart } from "../judge/decide-claim.ts";
import { formatFigure, formatPct } from "../shared/format-number.ts";
import { describeFinding } from "./describe-problem.ts";
import { intervalText, verdictText } from "./judgement-words.ts";

/** What was measured, in words: "lower -8.7% (-10 to -7%)"; null where nothing could be looked up. */
export function measuredText({ parts }: CheckedClaim): string | null {
  const texts = parts.flatMap(partMeasured);
  return texts.length === 0 ? null : [...new Set(texts)].join("; ");
}

function partMeasured(part: ClaimPart): string[] {
  switch (part.about) {
    case "is":
    case "by":
      return [rowText(part.row)];
    case "value": {
      const { value, lowest, highest, passes } = part.cell;
      const range = passes === 1 ? "" : `, ${formatFigure(lowest)} to ${formatFigure(highest)}`;
      return [
        `${formatFigure(value)} ${part.unit} (${passes === 1 ? "1 pass" : `${passes} passes`}${range})`,
      ];
    }
    case "differs-at-most":
      return part.rows.length === 1 ? part.rows.map(rowText) : [widest(part.rows)];
    case "order":
    case "best":
    case "worst":
      return part.rows.map((row) => `${row.config} against ${row.against}: ${rowText(row)}`);
    case "sentence":
      return [];
  }
}

/** Why a claim does not hold, or what limits it; "" where there is nothing to say. */
export function reasonText({ parts, problems }: CheckedClaim): string {
  const problem = problems.map((one) => {
    const { message, todo } = describeFinding(one);
    return todo?.startsWith("did you mean") ? `${message}: ${todo}` : message;
  });
  return [...problem, ...parts.flatMap(partReason)].join("; ");
}

function rowText(row: Compared): string {
  return `${verdictText(row)} (${intervalText(row)})`;
}

function widest(rows: readonly Compared[]): string {
  const reach = ({ lowPct, highPct }: Compared): number =>
    Math.max(Math.abs(lowPct ?? Infinity), Math.abs(highPct ?? Infinity));
  const [most] = [...rows].sort((a, b) => reach(b) - reach(a));
  return most === undefined
    ? "no games"
    : `of ${rows.length} games, the widest: ${most.game} ${rowText(most)}`;
}

function partReason(part: ClaimPart): string[] {
  if (part.holds && !part.doubt) return [];
  switch (part.about) {
    case "is":
      if (part.holds) return [`not shown to be so, only not shown to be otherwise: ${unclearText(part.row)}`];
      return part.row.verdict === "unclear"
        ? [`claimed ${part.wanted}, but ${unclearText(part.row)}`]
        : [`claimed ${part.wanted}, but it is ${part.row.verdict}${sizeText(part.row)}`];
    case "by": {
      if (part.row.lowPct === null) return ["the noise is unknown, so no size can be told"];
      const claimed = `claimed ${part.wantedPct > 0 ? "+" : ""}${part.wantedPct}%`;
      const far = `more than ${points(part.allowed)} from the estimate`;
      if (!part.isNear) return [`${claimed}: ${far}${part.isInside ? "" : " and outside the interval"}`];
      return [`${claimed}: outside the interval`];
    }
    case "value":
      return [
        `claimed ${part.wanted} ${part.unit}: more than ${formatFigure(part.allowed)} ${part.unit} off`,
      ];
    case "differs-at-most": {
      const names = [...new Set(part.beyond.map(({ game }) => game))].join(", ");
      return [`not shown to differ by at most ${formatPct(part.wantedPct)}: ${names}`];
    }
    case "order":
    case "best":
    case "worst":
      return part.notShown.map(
        ({ config, against, verdict }) => `${config} against ${against} is ${verdict}`,
      );
    case "sentence":
      return [`the sentence says ${part.says.join(", ")}, its claim ${part.claims}`];
  }
}

function points(value: number): string {
  return value === 1 ? "1 point" : `${value} points`;
}

function sizeText({ size }: Compared): string {
  return size === "slight" ? " (real but slight)" : "";
}

/** What an unclear comparison could have shown, and what would settle it. */
function unclearText({ resolvesPct, passesNeeded, passes }: Compared): string {
  if (passes !== null && passes < 2) return "one pass shows no run-to-run noise";
  if (resolvesPct === null) return "it cannot be told from noise";
  const needed = passesNeeded === null ? "over 100" : String(passesNeeded);
  return `it cannot be told: these passes could have shown ${formatPct(resolvesPct)} or more; ${needed} per config would likely settle it`;
}
