import { longestScript } from "../../read/decode-script.ts";
import { formatCount } from "../../shared/format-number.ts";
import type { ScriptFinding } from "../../shared/problem.ts";
import { ownRule, type Page } from "./page.ts";

const schema =
  "`runjury schema claims` lists the keys of a claim; `runjury findings <folder>` writes claims that hold.";

/** Pages of what can be wrong with a script, a claim, or a saved judgement. */
export const scriptPages: Readonly<Record<ScriptFinding["code"], Page>> = {
  "script-missing": {
    means: "There is no such script.",
    found: "The path given leads to nothing.",
    todo: "Give a Markdown file, a claims.yaml, or - for standard input.",
    source: ownRule,
  },
  "script-is-folder": {
    means: "A folder was given where the script belongs.",
    found: "The first argument of `check` is a folder.",
    todo: "The script comes first, then the folder: runjury check <script> <folder>.",
    source: ownRule,
  },
  "script-empty": {
    means: "The script is empty: there is nothing to check.",
    found: "It holds no text at all.",
    todo: "Give the right file.",
    source: ownRule,
  },
  "script-not-utf8": {
    means: "The script is not UTF-8 from this place on.",
    found: "Bytes that no UTF-8 text has.",
    todo: "Save it as UTF-8.",
    source: "RFC 3629",
  },
  "script-too-long": {
    means: "This is too long for a script.",
    found: `It has more than ${formatCount(longestScript)} characters, or one claim is longer than any can be.`,
    todo: "Give the right file.",
    source: ownRule,
  },
  "script-without-claims": {
    means: "No sentence carries a claim, so nothing was checked.",
    found: "No comment of the script begins with `claim:`.",
    todo: `--require-claims makes this fail. ${schema}`,
    source: ownRule,
  },
  "claim-unclosed": {
    means: "A claim begins and never ends, or what stands there is no comment.",
    found: "The comment that `<!-- claim:` opens has no `-->` of its own.",
    todo: "Close it; no blank lines inside, and in a table no |.",
    source: "CommonMark 0.31.2, HTML blocks and raw HTML",
  },
  "claim-misspelt": {
    means: "A comment looks like a claim whose first word is misspelt; it would be passed over in silence.",
    found: "Its first word is nearly `claim:`.",
    todo: "Write <!-- claim: { ... } -->.",
    source: ownRule,
  },
  "claim-without-sentence": {
    means: "No sentence stands before the claim, so nobody can tell what it is about.",
    found: "It is the first thing of its paragraph, or of the script.",
    todo: "Move it right behind its sentence.",
    source: ownRule,
  },
  "claim-scope": {
    means: "The claim does not say what it is about, or names several things at once.",
    found: "It has none of game, tag and suite, or more than one.",
    todo: "Name one; make a claim of each.",
    source: ownRule,
  },
  "claim-says-nothing": {
    means: "The claim says nothing that could be true or false.",
    found: "It has a scope, but neither is, by, about nor another statement.",
    todo: schema,
    source: ownRule,
  },
  "claim-clash": {
    means: "Two keys of one claim do not go together.",
    found: "They point in opposite directions, belong to different kinds of claims, or lack what both need.",
    todo: "Make a claim of each, or leave one out; the message says which.",
    source: ownRule,
  },
  "claim-name-unknown": {
    means: "The claim names a game, config or tag that the session does not have.",
    found: "The name, apart from its spelling with capitals and hyphens, is none of theirs.",
    todo: "Choose one of those that the message lists.",
    source: ownRule,
  },
  "claim-against-itself": {
    means: "The claim compares a config with itself.",
    found: "Its config is the baseline, or the one it is held against.",
    todo: "Name another config as against:.",
    source: ownRule,
  },
  "claim-order-twice": {
    means: "A config stands in an order twice.",
    found: "An order is a chain in which each config has one place.",
    todo: "Leave one out.",
    source: ownRule,
  },
  "claim-no-data": {
    means: "There are no figures for what the claim is about.",
    found: "No pass of it counts, or none has the metric.",
    todo: "See `runjury passes <folder>`, and capture what is missing.",
    source: ownRule,
  },
  "claim-needs-captures": {
    means: "A saved judgement cannot tell about another baseline than its own.",
    found: "The claim compares with a config that the judgement was not made against.",
    todo: "Check against the folder of captures instead.",
    source: ownRule,
  },
  "claim-contradicts": {
    means: "Two claims cannot both be true.",
    found: "Both are about the same comparison and say different words.",
    todo: "Correct one of them and its sentence.",
    source: ownRule,
  },
  "judgement-missing": {
    means: "There is neither such a folder nor such a saved judgement.",
    found: "The path given leads to nothing.",
    todo: "Give the folder of captures, or the output of `runjury judge <folder> --format json`.",
    source: ownRule,
  },
  "judgement-unreadable": {
    means: "The file is no saved judgement, or it was changed by hand.",
    found: "A part that every judgement has is missing or of another kind.",
    todo: "Save it again with `runjury judge <folder> --format json --output <file>`.",
    source: ownRule,
  },
  "judgement-fixed": {
    means: "An option cannot change a judgement that was made already.",
    found: "An option that judges was given beside a saved judgement.",
    todo: "Give the folder of captures, or save the judgement again with that option.",
    source: ownRule,
  },
  "judgement-origin-unknown": {
    means:
      "The judgement does not say which captures it was made from, so nobody can tell if it is out of date.",
    found: "It lacks the digests of its logs.",
    todo: "Save it again.",
    source: ownRule,
  },
  "judgement-captures-gone": {
    means: "The captures that the judgement was made from are not here.",
    found: "Its folder, as it was written then, holds no logs now.",
    todo: "Run the check from where the judgement was made.",
    source: ownRule,
  },
  "judgement-stale": {
    means: "The captures are no longer those of the judgement.",
    found: "A log's bytes have another SHA-256, or logs came or went.",
    todo: "Judge again.",
    source: "FIPS 180-4 (SHA-256)",
  },
  "judgement-settings-changed": {
    means: "What the session file says has changed since the judgement.",
    found: "Its content, defaults filled in, has another SHA-256; comments do not count.",
    todo: "Judge again.",
    source: "FIPS 180-4 (SHA-256)",
  },
  "judgement-version": {
    means: "The judgement was made by another version of runjury.",
    found: "The versions differ.",
    todo: "Judge again.",
    source: ownRule,
  },
};
