import type { Happening, LeftOut } from "../judge/follow-session.ts";
import type { JudgedPass } from "../judge/judgement.ts";
import { passName } from "../judge/mark-passes.ts";
import type { NextPass } from "../judge/next-pass.ts";
import type { StandingComparison } from "../judge/session-standing.ts";
import { counted } from "../shared/counted.ts";
import { formatChange, formatFigure, formatMinutes, formatPct } from "../shared/format-number.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import { describeFinding } from "./describe-problem.ts";
import { visible } from "./escape.ts";
import { intervalText, verdictText } from "./judgement-words.ts";
import { type Paint, paintOf, type Style } from "./style.ts";

/** Metrics that a line about a pass shows. */
const shownMetrics: readonly Metric[] = ["avgFps", "low1Fps", "cpuPowerW"];
const unit: Partial<Record<Metric, string>> = { cpuPowerW: " W" };

/** What has happened, in one line each; a line is never broken here, so that each can be searched and read aloud. */
export function followLines(happenings: readonly Happening[], style: Pick<Style, "color">): string[] {
  const paint = paintOf(style);
  return happenings.flatMap((happening) => linesOf(happening, paint));
}

function linesOf(happening: Happening, paint: Paint): string[] {
  switch (happening.event) {
    case "start":
      return [startLine(happening.captures), ...happening.leftOut.map((out) => leftOutLine(out, paint))];
    case "pass": {
      const { pass, answer, again } = happening;
      const note = { rewritten: " (written again)", sensors: " (its sensor log has come)" };
      return [`${name(pass)}${again === null ? "" : note[again]}: ${answerText(pass, answer, paint)}`];
    }
    case "recounted":
      return [`${name(happening.pass)}, told before: ${answerText(happening.pass, happening.answer, paint)}`];
    case "left-out":
      return [leftOutLine(happening, paint)];
    case "gone":
      return [`${visible(happening.name)}: deleted; it is no part of the session any more`];
    case "folder":
      return [
        happening.isThere
          ? "the folder is there again"
          : paint.bad("the folder cannot be looked at; its captures are kept in mind until it can"),
      ];
    case "settled":
      return [
        `settled: ${comparisonText(happening.comparison)}, ${stopText[happening.comparison.stop ?? "none"]}`,
      ];
    case "reopened":
      return [`open again: ${comparisonText(happening.comparison)}`];
    case "next":
      return [
        `next: ${nextText(happening.next)}; left: ${leftText(happening.passesLeft, happening.minutesLeft)}`,
      ];
    case "enough":
      return [paint.good("enough: no comparison asks for more passes")];
    case "session":
      return [sessionLine(happening, paint)];
    case "end":
      return [
        `ended: ${counted(happening.captures, "capture")}`,
        ...happening.growing.map((file) => `not whole, not read: ${visible(file)}`),
      ];
  }
}

const stopText = {
  narrow: "with as many passes as a narrow interval takes",
  "most-passes": "as many passes as allowed",
  "out-of-reach": "more passes than are allowed would not settle it",
  none: "no more passes are asked for",
} as const;

function startLine(captures: number): string {
  return captures === 0 ? "following: no captures yet" : `following: ${counted(captures, "capture")} there`;
}

function name(pass: JudgedPass): string {
  return visible(passName(pass));
}

function answerText(pass: JudgedPass, answer: "good" | "repeat", paint: Paint): string {
  if (answer === "repeat") return `${paint.bad("repeat it")}: ${visible(pass.notCountedBecause ?? "")}`;
  const figures = shownMetrics.flatMap((metric) => {
    const value = pass[metric];
    return value === null ? [] : [`${metricLabel[metric]} ${formatFigure(value)}${unit[metric] ?? ""}`];
  });
  const flags = pass.flags
    // That a low is rough is news only where there is none, and a power limit is the config's, not the pass's.
    .filter(({ code }) => (code !== "few-frames" || pass.low1Fps === null) && code !== "power-limited")
    .map(({ severity, text }) => `${severity}: ${visible(text)}`);
  return [`${paint.good("good")}: ${figures.join(", ")}`, ...flags].join("; ");
}

function leftOutLine({ file, problems }: LeftOut, paint: Paint): string {
  const errors = problems.filter(({ severity }) => severity === "error");
  const why = errors.map((problem) => visible(describeFinding(problem).message)).join("; ");
  return `${visible(file)}: ${paint.bad("repeat it")}: ${why}`;
}

function sessionLine(
  { isUsed, problems, readAgain }: Extract<Happening, { event: "session" }>,
  paint: Paint,
): string {
  if (isUsed) {
    const again = readAgain === 0 ? "" : `; ${counted(readAgain, "capture")} read again`;
    return `session file: its changes are in use${again}`;
  }
  const first = problems[0];
  const where = first === undefined ? "" : [first.at.line, first.at.column].filter(Boolean).join(":");
  const why = first === undefined ? "" : visible(describeFinding(first).message);
  return `session file: ${paint.bad("cannot be used")}, the session stays as it was: ${where}${where === "" ? "" : ": "}${why}`;
}

/** "tide-runner/quiet-35w, 1% low: lower -9.1% (-10.3 to -7.9%)"; names are escaped. */
export function comparisonText(comparison: StandingComparison): string {
  return `${whatText(comparison)}: ${verdictText(comparison)} (${intervalText(comparison)})`;
}

/** The same without the verdict's word, where that has been said. */
export function figureText(comparison: StandingComparison): string {
  const change = formatChange(comparison.changePct, comparison);
  return `${whatText(comparison)}: ${change} (${intervalText(comparison)})`;
}

function whatText({ game, config, metric }: StandingComparison): string {
  return `${visible(game)}/${visible(config)}, ${metricLabel[metric]}`;
}

/** The pass to capture next and why; names are escaped. */
export function nextText({ game, config, number, because, widest }: NextPass): string {
  const pass = `${visible(game)}/${visible(config)}, pass ${number}`;
  if (because === "too-few" || widest === null) return `${pass} (too few there to tell anything)`;
  const half = (width: number): string => formatPct(100 * Math.expm1(width));
  return (
    `${pass} (narrows most per minute: ${metricLabel[widest.metric]} of ${visible(widest.config)} ` +
    `from ${half(widest.halfWidth)} either side to about ${half(widest.halfWidthThen)})`
  );
}

/** "about 14 passes until the intervals are narrow, 1 h 20 min". */
export function leftText(passesLeft: number, minutesLeft: number | null): string {
  const passes = `about ${counted(passesLeft, "pass", "passes")} until the intervals are narrow`;
  return minutesLeft === null ? passes : `${passes}, ${formatMinutes(minutesLeft)}`;
}
