import { deepestNesting, longestText } from "../../read/yaml-file.ts";
import { mostAliases } from "../../read/yaml-plain.ts";
import { formatCount } from "../../shared/format-number.ts";
import type { SessionFinding } from "../../shared/problem.ts";
import { ownRule, type Page } from "./page.ts";

const yaml = "YAML 1.2.2 specification";
const schema =
  "`runjury schema session` gives the JSON Schema, with which editors complete and check the file.";

/** Pages of what can be wrong in a session file, and between it and the captures. */
export const sessionPages: Readonly<Record<SessionFinding["code"], Page>> = {
  "session-missing": {
    means: "There is no such session file.",
    found: "--session names a file that is not there. Without --session, a missing session.yaml is no error.",
    todo: "Give another, or let `runjury init <folder>` write one.",
    source: ownRule,
  },
  "session-not-utf8": {
    means: "The session file is not UTF-8 from this line on.",
    found: "Bytes that UTF-8 does not have. UTF-16 is read, too, where a byte order mark tells it.",
    todo: "Save the file as UTF-8.",
    source: `${yaml}, section 5.2`,
  },
  "yaml-too-long": {
    means: "This is too long for a session file or for claims.",
    found: `It has more than ${formatCount(longestText)} characters.`,
    todo: "Give the right file.",
    source: ownRule,
  },
  "yaml-too-deep": {
    means: "Values are nested deeper than any session needs.",
    found: `More than ${deepestNesting} levels: five are ever used.`,
    todo: "Give the right file.",
    source: ownRule,
  },
  "yaml-broken": {
    means: "The file is not YAML from this place on.",
    found: "The YAML reader stops there and says why.",
    todo: "Mend this place first: nothing after it could be read. Texts with a colon, a # or a leading * or ! want double quotes.",
    source: yaml,
  },
  "yaml-aliases": {
    means: "The file uses more aliases (*name) than a session needs; they could unfold without end.",
    found: `More than ${mostAliases} aliases.`,
    todo: "Write the values out.",
    source: ownRule,
  },
  "yaml-alias-unknown": {
    means: "An alias (*name) has no anchor (&name) above it.",
    found: "Nothing above has that name.",
    todo: "Put the text in double quotes if the * belongs to it.",
    source: yaml,
  },
  "key-not-text": {
    means: "A key is a list or a mapping.",
    found: "The part before a colon is no plain text.",
    todo: "Write a text as the key.",
    source: ownRule,
  },
  "key-twice": {
    means: "A key stands twice in the same place; one of them would be lost.",
    found: "Two keys of one mapping are equal.",
    todo: "Keep one.",
    source: `${yaml}, section 3.2.1.1: keys are unique`,
  },
  "key-unknown": {
    means: "There is no such key in this place.",
    found:
      "It is none of those that the message lists; unknown keys are errors, since a misspelt one would be ignored in silence.",
    todo: schema,
    source: ownRule,
  },
  "key-missing": {
    means: "A key that is needed here is missing.",
    found: "Its mapping makes no sense without it.",
    todo: schema,
    source: ownRule,
  },
  "value-wrong": {
    means: "The value of a key is not of the kind it takes.",
    found: "It is no percent, time, name or list, whatever the message says was expected.",
    todo: schema,
    source: ownRule,
  },
  "percent-unclear": {
    means: "A percent could be meant in two ways, such as 0.03 as 3% or as 0.03%.",
    found: "A bare number below 1 stands where a percent is expected.",
    todo: "Write it with its sign: 3%.",
    source: ownRule,
  },
  "layout-wrong": {
    means: "The layout is no pattern that could tell game, config and pass.",
    found: "A placeholder is missing, twice, unknown or glued to the next, or a brace has no partner.",
    todo: 'Write something like "{game}/{config}/{pass}", without the extension.',
    source: ownRule,
  },
  "layout-in-doubt": {
    means: "The paths of the logs can be read in two ways, which give other games or configs.",
    found:
      "Without `layout` the last three parts of a path are game, config and pass. Here the logs' own names repeat others, a folder of config names lies outside, or folders of boots or days lie between.",
    todo: "Write the right `layout` into session.yaml, as the message shows, or let `runjury init <folder>` write it.",
    source: ownRule,
  },
  "layout-no-match": {
    means: "A log's path does not fit the layout; it is left out.",
    found: "The fixed parts of the pattern are not where they should be.",
    todo: "Correct `layout`, or move the log.",
    source: ownRule,
  },
  "layout-unclear": {
    means: "A log's path fits the layout in several ways; it is left out.",
    found:
      "The text between placeholders occurs more than once, and the games and configs named in the session do not decide.",
    todo: "Name the games and configs in session.yaml, or choose a text that occurs once.",
    source: ownRule,
  },
  "session-log-unknown": {
    means: "`log: for:` speaks of logs that do not exist.",
    found: "No captured game, game/config or pass has that name under the layout in use.",
    todo: "Correct the name, or take the entry out.",
    source: ownRule,
  },
  "set-aside-unknown": {
    means: "The session sets aside a pass that does not exist.",
    found: "No log has that game, config and pass.",
    todo: "Correct it, or remove the entry: as it stands, nothing is set aside.",
    source: ownRule,
  },
  "set-aside-unclear": {
    means: "The pass to set aside could be one of several, in different boots.",
    found: "Several boots hold a pass of that name.",
    todo: "Write game/config/boot/pass.",
    source: ownRule,
  },
  "session-baseline-unknown": {
    means: "The session's baseline is no config of these captures.",
    found: "No path gives that config.",
    todo: "Correct `baseline`, or `layout` if all configs look wrong.",
    source: ownRule,
  },
  "names-alike": {
    means: "Two games or two configs differ in the spelling of their names only; they are taken for two.",
    found: "Without capitals, blanks, hyphens and underscores the names are equal.",
    todo: "If they are one, rename the folders or logs so that the names are alike.",
    source: ownRule,
  },
  "game-not-captured": {
    means: "The session describes a game that no log belongs to.",
    found: "No path gives that game.",
    todo: "Correct its name if it is misspelt; otherwise it is harmless.",
    source: ownRule,
  },
  "config-not-captured": {
    means: "The session describes a config that no log belongs to.",
    found: "No path gives that config.",
    todo: "Correct its name if it is misspelt; otherwise it is harmless.",
    source: ownRule,
  },
};
