import type {
  Finding,
  LogFinding,
  PictureFinding,
  PlanFinding,
  ScriptFinding,
  SessionFinding,
} from "../../shared/problem.ts";
import { logPages } from "./log-pages.ts";
import { ownRule, type Page } from "./page.ts";
import { planPages } from "./plan-pages.ts";
import { scriptPages } from "./script-pages.ts";
import { sessionPages } from "./session-pages.ts";

type FolderCode = Exclude<
  Finding["code"],
  (LogFinding | PictureFinding | PlanFinding | ScriptFinding | SessionFinding)["code"]
>;

const folderPages: Readonly<Record<FolderCode, Page>> = {
  "folder-missing": {
    means: "There is no such folder.",
    found: "The path given leads to nothing.",
    todo: "Give the folder that holds your captures.",
    source: ownRule,
  },
  "not-a-folder": {
    means: "What was given is a file, and a folder of captures is needed.",
    found: "The path given leads to something that is no folder.",
    todo: "Give the folder; `runjury inspect` takes single logs.",
    source: ownRule,
  },
  "no-logs": {
    means: "The folder holds no logs.",
    found:
      "No file below it has the extension of a log: .csv, .tsv, .txt or .log, each also with .gz. Hidden files are passed over.",
    todo: "Give the folder that holds your captures, or rename them.",
    source: ownRule,
  },
  "layout-too-shallow": {
    means: "A log does not lie in folders that tell its game and config; it is left out.",
    found:
      "Its path has fewer parts than the layout asks for: game, config and pass unless the session says otherwise.",
    todo: "Move it to <game>/<config>/<pass>.csv, or describe the arrangement as `layout` in session.yaml.",
    source: ownRule,
  },
  "pass-filed-twice": {
    means: "Two logs claim to be the same pass; the second is left out.",
    found: "Two paths give the same game, config, boot and pass.",
    todo: "Rename one, or tell them apart with {boot} in `layout`.",
    source: ownRule,
  },
  unreadable: {
    means: "The system does not let this file or folder be read.",
    found:
      "Opening it failed; the code in brackets is the system's own, such as EACCES for missing permission.",
    todo: "Mend the permission or the disk.",
    source: "POSIX.1-2017, error numbers",
  },
  "file-too-large": {
    means: "A session file, script or judgement is larger than any real one; it is not read.",
    found: "Its size is beyond the limit that the message names.",
    todo: "Give the right file. Logs have limits of their own.",
    source: ownRule,
  },
  "not-a-file": {
    means: "A folder, pipe or device stands where a log was expected; it is not read.",
    found: "The name is a log's, and what lies there is no ordinary file.",
    todo: "Rename the folder if captures lie in it, or give a file.",
    source: ownRule,
  },
  "link-loop": {
    means: "A link leads to a folder that is read already; it is not followed.",
    found: "Each folder is entered once, by its real path.",
    todo: "Nothing, unless you miss captures: give them a folder of their own.",
    source: ownRule,
  },
  "sensors-alone": {
    means: "A sensor log has no log of frames beside it; it is not used.",
    found: "Its name ends in .sensors, and no log in its folder has the name before that.",
    todo: "Give both the same name, pass-1.sensors.csv beside pass-1.csv, or see what became of the frames.",
    source: ownRule,
  },
  "baseline-unknown": {
    means: "The baseline that was asked for is no config of this session.",
    found: "--baseline names none of the configs found in the paths.",
    todo: "Choose one of those that the message lists.",
    source: ownRule,
  },
  "baseline-needed": {
    means: "Nobody can tell which config the others are compared with.",
    found: "No config, or more than one, is called stock, default, baseline or reference.",
    todo: "Say it with --baseline <config>, or as `baseline` in session.yaml.",
    source: ownRule,
  },
  "one-config": {
    means: "There is only one config, so there is nothing to compare.",
    found: "All passes belong to the same config.",
    todo: "Capture a second config; `runjury passes` shows the passes by themselves.",
    source: ownRule,
  },
  "only-unknown": {
    means: "--only names something that is no game and no config of this session.",
    found: "The name is none of those found in the paths.",
    todo: "Choose one of those that the message lists.",
    source: ownRule,
  },
  "nothing-to-judge": {
    means: "No pass could be read.",
    found: "Every log was left out, for the reasons printed before.",
    todo: "See `runjury inspect <log>` for one of them.",
    source: ownRule,
  },
  "bad-option": {
    means: "The value of an option will not do, or does not go with the rest.",
    found: "It is outside what the message says was expected.",
    todo: "See `runjury <command> --help`.",
    source: ownRule,
  },
  "cannot-write": {
    means: "The result could not be written; no part of it is there.",
    found:
      "Writing or renaming failed; the code in brackets is the system's own, such as ENOSPC for a full disk.",
    todo: "Give another --output, or make room.",
    source: "POSIX.1-2017, error numbers",
  },
  "code-unknown": {
    means: "There is no page on that code.",
    found: "It is no code of a flag, caution or problem.",
    todo: "`runjury explain` lists all codes.",
    source: ownRule,
  },
  "nothing-in-window": {
    means: "A capture has no frame in the stretch that is wanted of it.",
    found: "It ends before the window begins, or the window is shorter than one frame.",
    todo: "Begin sooner (--skip, or `trim` in session.yaml), or leave the capture out.",
    source: ownRule,
  },
  "file-exists": {
    means: "The file to write is there already; it was not replaced.",
    found: "A session file is never replaced without being told to.",
    todo: "Give --force to replace it, or another --output.",
    source: ownRule,
  },
};

const picturePages: Readonly<Record<PictureFinding["code"], Page>> = {
  "picture-needs": {
    means: "The picture needs data that the session lacks.",
    found: "No counted pass has the metric, or no kind of games is named.",
    todo: "Choose another picture or metric, or log what is missing; the message says what.",
    source: ownRule,
  },
  "picture-goes-on": {
    means: "More games, or kinds of games, than fit on one picture of this size.",
    found: "Lines of text are never made smaller than can be read in a video.",
    todo: "Draw the others with --page 2 and so on, choose some with --only, or give a taller --size.",
    source: ownRule,
  },
  "picture-letters-missing": {
    means: "A PNG shows boxes for letters that its font lacks.",
    found: "The font that comes along has Latin, Greek, Cyrillic and Vietnamese letters.",
    todo: "Write an SVG, which takes them from the viewer's fonts, or give the game or config a `title` in other letters in session.yaml.",
    source: ownRule,
  },
  "picture-one-game": {
    means: "The picture shows one game, and the session has several.",
    found: "`passes`, `traces` and `tails` draw one game's captures.",
    todo: "Choose it with --only <game>.",
    source: ownRule,
  },
};

/** Pages of what can be wrong with the input or with what was asked. */
export const problemPages: Readonly<Record<Finding["code"], Page>> = {
  ...folderPages,
  ...logPages,
  ...sessionPages,
  ...scriptPages,
  ...picturePages,
  ...planPages,
};
