import { formatFigure } from "../shared/format-number.ts";
import { groupBy } from "../shared/group-by.ts";
import type { NonEmpty } from "../shared/non-empty.ts";
import type {
  Finding,
  LogFinding,
  PictureFinding,
  Place,
  PlanFinding,
  Problem,
  ScriptFinding,
} from "../shared/problem.ts";
import { describeLogFinding } from "./describe-log-problem.ts";
import { describePictureFinding } from "./describe-picture-problem.ts";
import { describePlanFinding } from "./describe-plan-problem.ts";
import { describeScriptFinding } from "./describe-script-problem.ts";
import { describeSessionFinding } from "./describe-session-problem.ts";
import { visible } from "./escape.ts";
import { explainHint } from "./explain-hint.ts";
import { type FindingWords, quoted } from "./finding-words.ts";
import { paintOf, type Style } from "./style.ts";
import { wrapText } from "./wrap-text.ts";

const narrowest = 32;

/** Where problems are shown. */
export interface ProblemStyle extends Pick<Style, "color"> {
  /** Columns of a terminal, which would break longer lines within words; without it lines stay whole. */
  readonly width?: number | null;
}

/**
 * Problems as people read them, each as "file:line:column: severity: message" (GNU Coding Standards, "Formatting
 * Error Messages") with what was expected and what to do on lines of their own.
 */
export function renderProblems(problems: readonly Problem[], style: ProblemStyle): string {
  const paint = paintOf(style);
  const broken = (line: string): string =>
    style.width == null ? line : wrapText(line, Math.max(narrowest, style.width), "    ");
  const severity = { note: paint.quiet, warning: paint.warn, error: paint.bad };
  // What stopped the whole run comes last, and is what most want to read on about.
  const byFile = (at: Place): number => Number(at.file !== "");
  const hint = explainHint(
    [...problems]
      .sort((a, b) => byFile(a.at) - byFile(b.at))
      .map(({ code }) => code)
      .filter((code) => code !== "code-unknown"),
  );
  const text = ([problem, ...others]: readonly [Problem, ...Problem[]]): string => {
    const { message, expected, todo } = describeFinding(problem);
    const place = placeText(problem.at);
    const lines = [
      `${place === "" ? "runjury" : place}: ${severity[problem.severity](problem.severity)}: ${visible(message)}`,
      ...(expected === undefined ? [] : [`  expected ${visible(expected)}`]),
      ...(todo === undefined ? [] : todo.split("\n").map((line) => `  ${visible(line)}`)),
      ...(others.length === 0 ? [] : [`  the same of ${others.length} more: ${placesText(others)}`]),
    ];
    return `${lines.map(broken).join("\n")}\n`;
  };
  const groups =
    style.width == null ? problems.map((problem): NonEmpty<Problem> => [problem]) : groupAlike(problems);
  const told = groups.map(text).join("");
  return hint === null ? told : `${told}${paint.quiet(hint)}\n`;
}

/** From so many places on that the same is said of, figures left aside, it is said once. */
const leastAlike = 3;

/** What one recorder's logs have in common would else be asked as often as there are logs. */
function groupAlike(problems: readonly Problem[]): NonEmpty<Problem>[] {
  const alike = groupBy(problems, (problem) => {
    const { message, expected, todo } = describeFinding(withoutPaths(problem));
    return JSON.stringify([problem.code, problem.severity, message, expected, todo]).replace(
      /(?<![\w-])\d+(?:\.\d+)?(?![\w-])/g,
      "#",
    );
  });
  return [...alike.values()].flatMap((group) =>
    group.length < leastAlike ? group.map((problem): NonEmpty<Problem> => [problem]) : [group],
  );
}

/** A path in the text is told by the place, of each. */
function withoutPaths(problem: Problem): Problem {
  if (problem.code === "layout-no-match") return { ...problem, path: "" };
  return problem.code === "pass-filed-twice" ? { ...problem, other: "" } : problem;
}

/** Places that are named where many share a message. */
const mostPlaces = 12;

function placesText(problems: readonly Problem[]): string {
  const named = problems.slice(0, mostPlaces).map(({ at }) => placeText(at));
  const more = problems.length - named.length;
  return `${named.join(", ")}${more > 0 ? ` and ${more} more` : ""}`;
}

function placeText({ file, line, column }: Place): string {
  return [visible(file), line, column].filter((part) => part !== undefined && part !== "").join(":");
}

/** A finding in words: what is wrong, what was expected, what to do. */
export function describeFinding(finding: Finding): FindingWords {
  switch (finding.code) {
    case "folder-missing":
      return {
        message: "there is no such folder",
        todo: "give the folder that holds your captures; where none is captured yet, make it first",
      };
    case "not-a-folder":
      return { message: "this is not a folder", todo: "give the folder that holds your captures" };
    case "no-logs":
      return {
        message:
          finding.seen.length === 0
            ? "the folder holds no logs"
            : `the folder holds no logs, only files such as ${finding.seen.join(", ")}`,
        expected: "files named .csv, .tsv, .txt or .log, each also with .gz, as <game>/<config>/<pass>.csv",
      };
    case "layout-too-shallow":
      return {
        message: "this log does not lie in folders that tell its game and config; it is left out",
        expected: "<game>/<config>/<pass>.csv",
        todo: "move it, or describe the arrangement as `layout` in session.yaml",
      };
    case "pass-filed-twice":
      return {
        message: `this pass is filed twice, the other time as ${finding.other}; this file is left out`,
        todo: "rename one of them, or tell them apart with {boot} in the `layout` of session.yaml",
      };
    case "unreadable":
      return { message: `cannot be read (${finding.why}); it is left out` };
    case "file-too-large":
      return {
        message: `this is larger than any file of its kind: over ${finding.mostBytes / 2 ** 20} MB; it is not read`,
      };
    case "not-a-file":
      return {
        message:
          finding.kind === "folder"
            ? "a folder with a log's name; it is not entered"
            : "not an ordinary file; it is not read",
        todo:
          finding.kind === "folder" ? "rename the folder if captures lie in it" : "remove it or give a file",
      };
    case "link-loop":
      return { message: "this link leads to a folder that is read already; it is not followed" };
    case "sensors-alone":
      return {
        message: "a sensor log without a log of frames beside it; it is not used",
        todo: "give both the same name: pass-1.sensors.csv beside pass-1.csv",
      };
    case "baseline-unknown":
      return {
        message: `no config is called "${finding.baseline}"`,
        expected: `one of ${finding.configs.join(", ")}`,
        ...(finding.nearest === null ? {} : { todo: `did you mean "${finding.nearest}"?` }),
      };
    case "baseline-needed":
      return {
        message:
          "which config is the baseline? None has a usual name (stock, default, baseline, reference), or several have",
        expected: `one of ${finding.configs.join(", ")}`,
        todo: "say it with --baseline <config>, or as `baseline` in session.yaml",
      };
    case "one-config":
      return {
        message: `the only config is "${finding.config}": there is nothing to compare it with`,
        todo: "capture a second config, or see the passes with `runjury passes`; where the logs' names hold the config, say how with `layout` in session.yaml",
      };
    case "only-unknown":
      return {
        message: `--only: no game or config is called "${finding.name}"`,
        expected: `a game (${finding.games.join(", ")}) or a config (${finding.configs.join(", ")})`,
        ...(finding.nearest === null ? {} : { todo: `did you mean "${finding.nearest}"?` }),
      };
    case "nothing-to-judge":
      return { message: "no pass could be read, so there is nothing to judge" };
    case "bad-option":
      return { message: `${finding.option}: "${finding.value}" will not do`, expected: finding.expected };
    case "code-unknown":
      return {
        message: `there is no page on ${quoted(finding.wanted)}`,
        todo:
          finding.nearest === null
            ? "`runjury explain` lists all codes"
            : `did you mean "${finding.nearest}"? \`runjury explain\` lists all codes`,
      };
    case "file-exists":
      return {
        message: "is there already; nothing was written",
        todo: "give --force to replace it, or another --output",
      };
    case "nothing-in-window":
      return {
        message: `no frame lies in the window: it begins after ${formatFigure(finding.skipS)} s, the capture ends after ${formatFigure(finding.lengthS)} s`,
        todo: "choose a smaller --skip, or trim in session.yaml",
      };
    case "cannot-write":
      return { message: `cannot be written (${finding.why})` };
    default:
      if (isLogFinding(finding)) return describeLogFinding(finding);
      if (isPictureFinding(finding)) return describePictureFinding(finding);
      if (isPlanFinding(finding)) return describePlanFinding(finding);
      return isScriptFinding(finding) ? describeScriptFinding(finding) : describeSessionFinding(finding);
  }
}

/** Codes of what is wrong inside a log start with "log-" or "sensor-", so that the lists of words can stand apart. */
function isLogFinding(finding: Finding): finding is LogFinding {
  return finding.code.startsWith("log-") || finding.code.startsWith("sensor-");
}

function isPictureFinding(finding: Finding): finding is PictureFinding {
  return finding.code.startsWith("picture-");
}

function isPlanFinding(finding: Finding): finding is PlanFinding {
  return finding.code.startsWith("plan-");
}

/** So do those of a script, its claims and a saved judgement. */
function isScriptFinding(finding: Finding): finding is ScriptFinding {
  return /^(?:script|claim|judgement)-/.test(finding.code);
}
