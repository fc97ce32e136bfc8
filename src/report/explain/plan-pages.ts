import type { PlanFinding } from "../../shared/problem.ts";
import { ownRule, type Page } from "./page.ts";

/** What stands in the way of a plan or its run sheet. */
export const planPages: Readonly<Record<PlanFinding["code"], Page>> = {
  "plan-options-clash": {
    means: "Two options of `plan` ask for different things at once.",
    found: "They fix the same quantity in two ways, or cannot both be met.",
    todo: "Give one of them.",
    source: ownRule,
  },
  "plan-option-alone": {
    means: "An option of `plan` belongs to another one that is not there.",
    found: "--seed orders a sheet, so it needs --sheet; --boot-noise adds to the --noise of the same metric.",
    todo: "Give the other option too, or leave this one out.",
    source: ownRule,
  },
  "plan-names-missing": {
    means: "Nothing says for how many games and configs to plan, and both change how many passes are needed.",
    found: "No folder is given, and --games or --configs is missing.",
    todo: "Give names or a number, such as --games 6 --configs 3; the baseline is one of the configs.",
    source: ownRule,
  },
  "plan-name-twice": {
    means: "A game or config is listed twice.",
    found: "Two names are equal in Unicode's composed form.",
    todo: "List it once.",
    source: "Unicode Standard Annex 15, normalisation form C",
  },
  "plan-noise-missing": {
    means: "There is nothing that shows how much passes differ, so nothing can be planned.",
    found: "No folder is given, and no --noise for a metric that is wanted.",
    todo: 'Give a folder of captures, or state the noise: --noise "1% low 2%".',
    source: ownRule,
  },
  "plan-noise-unknown": {
    means: "The captures do not show how much a pass differs from the next.",
    found:
      "No cell has two counted passes with the metrics that are wanted: one pass per cell has no spread.",
    todo: "Capture three passes of a few cells, best of the baseline in two or three games; or state the noise with --noise.",
    source: ownRule,
  },
  "plan-time-too-short": {
    means: "Even the least that is worth capturing takes longer than --hours.",
    found: "--least-passes of every game under every config, changes of config included, do not fit.",
    todo: "Give more hours, fewer games or configs, or a smaller --least-passes.",
    source: ownRule,
  },
  "plan-name-unusable": {
    means: "A game or config has a name that cannot be part of a file's name on every usual system.",
    found:
      "It is empty, longer than 100 characters, reserved, starts or ends with a dot or space, or holds a character that some file system forbids.",
    todo: "Give it another name; `title` in session.yaml keeps the real one for readers.",
    source: "common practice, no source",
  },
  "plan-files-collide": {
    means:
      "Two captures of the sheet would overwrite each other on systems that do not tell upper from lower case.",
    found: "Their file names are equal in lower case.",
    todo: "Rename one of the games or configs.",
    source: "common practice, no source",
  },
  "plan-file-unclear": {
    means: "A file name of the sheet would be read back as another game, config or pass.",
    found: "The layout was laid over each name again, and gave another reading or several.",
    todo: "Choose names without the characters that part them in the layout, or the layout {game}/{config}/{pass}.",
    source: ownRule,
  },
};
