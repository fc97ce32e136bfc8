import { formatCount, formatMinutes } from "../shared/format-number.ts";
import type { PlanFinding } from "../shared/problem.ts";
import type { FindingWords } from "./finding-words.ts";

/** What stands in the way of a plan, in words. */
export function describePlanFinding(finding: PlanFinding): FindingWords {
  switch (finding.code) {
    case "plan-options-clash":
      return {
        message: `${finding.options.join(" and ")} contradict each other: ${finding.why}`,
        todo: "give one of them, or make them agree",
      };
    case "plan-option-alone":
      return { message: `${finding.option} says nothing without ${finding.needs}` };
    case "plan-names-missing":
      return {
        message: `which ${finding.kind} are to be planned?`,
        expected: `--${finding.kind} with their names or their number, or a folder of captures that names them`,
      };
    case "plan-name-twice":
      return { message: `--${finding.kind}s: "${finding.name}" is given twice` };
    case "plan-noise-missing":
      return {
        message: `nothing says how much ${finding.metrics.join(" and ")} ${finding.metrics.length === 1 ? "varies" : "vary"} from pass to pass`,
        expected: 'a folder of captures, or the noise stated, such as --noise "1% low 2%"',
      };
    case "plan-noise-unknown":
      return {
        message:
          finding.passes < 2
            ? "no cell has two passes, so nothing shows how much a pass differs from the next: there is nothing to plan by"
            : "no cell has two passes with these metrics, so nothing shows their noise",
        todo:
          "capture one cell or more three times (best the baseline in two or three games), " +
          'or state the noise, such as --noise "1% low 2%"',
      };
    case "plan-time-too-short":
      return {
        message:
          `too little time: the least, ${finding.leastPasses} passes per game and config ` +
          `(${formatCount(finding.captures)} captures), takes ${formatMinutes(finding.leastMinutes)}, ` +
          `and there is ${formatMinutes(finding.minutes)}`,
        todo: "give more --hours, fewer --games or --configs, or a smaller --least-passes",
      };
    case "plan-name-unusable":
      return {
        message: `the ${finding.kind} "${finding.name}" cannot be part of a file's name everywhere`,
        expected:
          'a name of at most 100 characters without / \\ : * ? " < > | and control characters, and with no dot or space at either end',
      };
    case "plan-files-collide":
      return {
        message: `${finding.passes.join(" and ")} would have the same file name where upper and lower case count alike`,
        todo: "rename one of them, or choose another `layout` in session.yaml",
      };
    case "plan-file-unclear":
      return {
        message: `with these names the layout "${finding.layout}" would not be read back as it was written`,
        todo: "choose names without the characters between the placeholders, or {game}/{config}/{pass}",
      };
  }
}
