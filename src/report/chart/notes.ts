import type { Judgement, Verdict } from "../../judge/judgement.ts";
import { formatPct } from "../../shared/format-number.ts";
import type { Metric } from "../../shared/metrics.ts";
import { isOutweighed, markSentences } from "../judgement-words.ts";
import { lowsWords } from "../lows-words.ts";

/** What a picture of differences rests on. */
export function intervalNotes(
  { session }: Judgement,
  metric: Metric,
  verdicts: readonly Verdict[],
): string[] {
  return [
    `Lines: ${formatPct(session.confidencePct)} intervals from run-to-run noise${passesText(verdicts)}. Band: within ${formatPct(session.mattersPct)}, too little to matter.`,
    shapeNote,
    ...(verdicts.some(isOutweighed)
      ? ["Among so many comparisons, a line to one side of 0 alone does not show a difference."]
      : []),
    ...lowsNote(session, metric),
    ...markSentences(verdicts),
  ];
}

/** How the low of a picture is defined; nothing for other metrics. */
export function lowsNote({ lows }: Judgement["session"], metric: Metric): string[] {
  return metric === "low1Fps" || metric === "low01Fps" ? [`Lows: ${lowsWords[lows]}.`] : [];
}

function passesText(verdicts: readonly Verdict[]): string {
  const counts = verdicts.flatMap(({ passes, againstPasses }) => [passes, againstPasses]);
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  return least === most
    ? `, ${most} ${most === 1 ? "pass" : "passes"} each`
    : `, ${least} to ${most} passes each`;
}

/** What shapes and lines mean in charts of intervals. */
export const shapeNote = "Filled: a difference was shown. Hollow: none was. Dashed: cannot be told yet.";
