import type { Judgement } from "../../judge/judgement.ts";
import type { Metric } from "../../measure/pass-summary.ts";
import { formatPct } from "../../shared/format-number.ts";
import { lowsWords } from "../lows-words.ts";

/** What a picture of differences rests on. */
export function intervalNotes(
  { session }: Judgement,
  metric: Metric,
  rows: readonly { readonly passes?: number; readonly holdsWithAllPasses?: boolean }[],
): string[] {
  return [
    `Lines: ${formatPct(session.confidencePct)} intervals from run-to-run noise${passesText(rows)}. Band: within ${formatPct(session.mattersPct)}, too little to matter.`,
    "Filled: a difference was shown. Hollow: none was.",
    ...lowsNote(session, metric),
    ...(rows.some(({ holdsWithAllPasses }) => holdsWithAllPasses === false)
      ? ["* another verdict with the passes that were set aside."]
      : []),
  ];
}

/** How the low of a picture is defined; nothing for other metrics. */
export function lowsNote({ lows }: Judgement["session"], metric: Metric): string[] {
  return metric === "low1Fps" || metric === "low01Fps" ? [`Lows: ${lowsWords[lows]}.`] : [];
}

function passesText(rows: readonly { readonly passes?: number }[]): string {
  const counts = rows.flatMap(({ passes }) => (passes === undefined ? [] : [passes]));
  if (counts.length === 0) return "";
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  return least === most
    ? `, ${most} ${most === 1 ? "pass" : "passes"} each`
    : `, ${least} to ${most} passes each`;
}
