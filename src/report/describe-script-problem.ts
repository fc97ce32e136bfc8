import { joinWords } from "../shared/join-words.ts";
import type { ClaimClash, ScriptFinding } from "../shared/problem.ts";
import { visible } from "./escape.ts";
import { didYouMean, type FindingWords, listed, quoted } from "./finding-words.ts";

/** Words for what can be wrong with a script, a claim, or a saved judgement. */
export function describeScriptFinding(finding: ScriptFinding): FindingWords {
  switch (finding.code) {
    case "script-missing":
      return {
        message: "there is no such script",
        todo: "give a Markdown file, a claims.yaml, or - for standard input",
      };
    case "script-is-folder":
      return {
        message: "this is a folder, not a script",
        expected: "the script first, then the folder: runjury check <script> <folder>",
      };
    case "script-empty":
      return { message: "the script is empty: there is nothing to check" };
    case "script-not-utf8":
      return { message: "this is not UTF-8 from here on", todo: "save the script as UTF-8" };
    case "script-too-long":
      return {
        message: `this is too long: ${finding.characters} characters`,
        expected: `at most ${finding.most}`,
      };
    case "script-without-claims":
      return {
        message: "no sentence carries a claim, so nothing was checked",
        todo: "see `runjury findings <folder>` for sentences with claims, or give --require-claims to make this fail",
      };
    case "claim-unclosed":
      return {
        message: "a claim begins here and never ends, or what stands here is no comment",
        expected: "<!-- claim: { ... } --> without blank lines inside, and in a table without |",
      };
    case "claim-misspelt":
      return {
        message: `this comment begins with ${quoted(finding.word)}`,
        expected: "claim: and then { key: value, ... }",
        todo: 'did you mean "claim:"?',
      };
    case "claim-without-sentence":
      return {
        message: "no sentence stands before this claim",
        todo: "move it behind the sentence it is about",
      };
    case "claim-scope":
      return finding.given.length === 0
        ? {
            message: "the claim does not say what it is about",
            expected: "game: <name>, tag: <name> or suite: true",
          }
        : {
            message: `the claim is about several things at once: ${finding.given.join(" and ")}`,
            todo: "make a claim of each",
          };
    case "claim-says-nothing":
      return {
        message: "the claim says nothing that could be true or false",
        expected: joinWords(finding.keys, "or"),
      };
    case "claim-clash":
      return clashWords(finding.keys, finding.why);
    case "claim-name-unknown":
      return {
        message:
          finding.kind === "tag"
            ? `no game carries the tag ${quoted(finding.name)}`
            : `no ${finding.kind} is called ${quoted(finding.name)}`,
        ...(finding.names.length > 0 && { expected: `one of ${listed(finding.names, "or")}` }),
        ...didYouMean(finding.nearest),
      };
    case "claim-against-itself":
      return finding.isBaseline
        ? {
            message: `${visible(finding.config)} is the baseline: the claim compares it with itself`,
            todo: "name another config as against:",
          }
        : { message: `the claim compares ${visible(finding.config)} with itself` };
    case "claim-order-twice":
      return { message: `${visible(finding.config)} stands in the order twice` };
    case "claim-no-data":
      return {
        message: `there is no ${finding.metric} of ${visible(finding.of)}: no pass counts, or none has it`,
        todo: "see `runjury passes <folder>`",
      };
    case "claim-needs-captures":
      return {
        message: `this judgement was made against ${visible(finding.baseline)} only; it cannot tell about ${visible(finding.against)} as the baseline`,
        todo: "check against the folder of captures instead of the saved judgement",
      };
    case "claim-contradicts":
      return {
        message: `this claim and the one in ${visible(finding.file)}:${finding.line} cannot both be true`,
      };
    case "judgement-missing":
      return {
        message: "there is neither such a folder nor such a saved judgement",
        todo: "give the folder that holds your captures, or the output of `runjury judge <folder> --format json`",
      };
    case "judgement-unreadable":
      return {
        message: `this is no saved judgement${finding.path.length === 0 ? "" : `: ${visible(finding.path.join(" > "))} is missing or wrong`}`,
        expected: "a folder of captures, or the output of `runjury judge <folder> --format json`",
      };
    case "judgement-fixed":
      return {
        message: `${finding.option} cannot change a saved judgement`,
        todo: "give the folder of captures, or save the judgement again with that option",
      };
    case "judgement-origin-unknown":
      return {
        message:
          "the judgement does not say which captures it was made from, so nobody can tell if it is out of date",
        todo: "save it again with `runjury judge <folder> --format json --output <file>`",
      };
    case "judgement-captures-gone":
      return {
        message: `the captures this judgement was made from (${visible(finding.folder)}) are not here, so nobody can tell if it is out of date`,
        todo: "run the check from where the judgement was made",
      };
    case "judgement-stale":
      return {
        message: `the captures are no longer those of this judgement: ${[
          ...fileList("changed", finding.changed),
          ...fileList("gone", finding.missing),
          ...fileList("new", finding.added),
        ].join("; ")}`,
        todo: "judge again",
      };
    case "judgement-settings-changed":
      return {
        message: `what ${visible(finding.session)} says has changed since this judgement`,
        todo: "judge again",
      };
    case "judgement-version":
      return {
        message: `this judgement was made by version ${visible(finding.made)}; this is ${visible(finding.now)}`,
        todo: "judge again",
      };
  }
}

const mostFiles = 3;

function fileList(what: string, files: readonly string[]): string[] {
  if (files.length === 0) return [];
  const more = files.length > mostFiles ? ` and ${files.length - mostFiles} more` : "";
  return [`${what} ${files.slice(0, mostFiles).map(visible).join(", ")}${more}`];
}

function clashWords([first, second]: readonly [string, string], why: ClaimClash): FindingWords {
  switch (why) {
    case "alone":
      return { message: `${second} does not go with ${first}`, todo: "make a claim of each" };
    case "needs-game":
      return { message: `${second} is the value in one game; ${first} has none`, todo: "name the game" };
    case "needs-figure":
      return { message: `${second} belongs to ${first}, and neither is here` };
    case "one-figure":
      return {
        message: `nobody can tell whether ${second} belongs to by or to about`,
        todo: "make a claim of each",
      };
    case "directions-differ":
      return { message: `${first} and ${second} point in opposite directions` };
    case "needs-direction":
      return {
        message: "by says how much, but not which way",
        todo: "write is: higher or is: lower, or by with its sign (+9% or -9%)",
      };
    case "not-compared":
      return { message: `${first} is compared with nothing, so ${second} means nothing here` };
    case "units-differ":
      return { message: `the unit of ${second} is not that of ${first}` };
  }
}
