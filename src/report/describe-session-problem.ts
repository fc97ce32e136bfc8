import { joinWords } from "../shared/join-words.ts";
import type {
  KeyPath,
  LayoutFault,
  LayoutOffer,
  SessionFinding,
  ValueKind,
  ValueSeen,
} from "../shared/problem.ts";
import { escapeJson, visible } from "./escape.ts";
import { didYouMean, type FindingWords, listed, quoted } from "./finding-words.ts";

/** A place inside the file as people say it: "configs > quiet-35w > threads", "set-aside > entry 2 > why". */
function pathWords(path: KeyPath): string {
  const steps = path.map((step) => (typeof step === "number" ? `entry ${step + 1}` : visible(step)));
  return steps.length === 0 ? "the file" : steps.join(" > ");
}

/** Where a key belongs. */
function placeWords(path: readonly string[]): string {
  return path.length === 1 ? "at the top level, not indented" : `under ${path.slice(0, -1).join(" > ")}`;
}

function seenWords(seen: ValueSeen): string {
  switch (seen.kind) {
    case "scalar":
      return quoted(seen.text);
    case "mapping":
      return "a mapping (key: value)";
    case "list":
      return "a list";
    case "nothing":
      return "empty";
  }
}

const valueKinds: { readonly [kind in ValueKind]: string } = {
  text: "a text",
  reason: "the reason in a few words",
  texts: "a list of texts such as [racing, open world]",
  list: "a list: entries that begin with a hyphen",
  mapping: "a mapping: lines of the form key: value",
  percent: "a percent above 0% and below 100%, such as 3%",
  confidence: "a percent from 50% to below 100%, such as 95%",
  duration: "a time with its unit (ms, s or min), such as 2s or 500ms",
  offset: "a time with its unit (ms, s or min), such as 0.5s or -200ms",
  keep: "a time above 0 with its unit (ms, s or min), such as 60s, or all",
  count: "a whole number, 1 or more",
  rate: "a number of FPS above 0, such as 60",
  pass: "game/config/pass, or game/config/boot/pass",
  change: "a change in percent such as 9%, +9% or -9%",
  margin: "a number, or a percent such as 2%",
  figure: "a number above 0 with or without its unit, such as 112 FPS",
  order: "two configs or more with < or > between them, such as quiet < stock",
};

function layoutFaultWords(fault: LayoutFault): FindingWords {
  const expected = "names from {game}, {config}, {pass}, {boot} and {cap}";
  switch (fault.reason) {
    case "unknown-placeholder":
      return {
        message: `the layout has no placeholder ${quoted(`{${fault.name}}`)}`,
        expected,
        ...(fault.nearest !== null && { todo: `write {${fault.nearest}}` }),
      };
    case "placeholder-twice":
      return { message: `the layout names {${visible(fault.name)}} twice`, todo: "leave one of them out" };
    case "placeholder-missing":
      return {
        message: `the layout lacks ${fault.names.map((name) => `{${name}}`).join(" and ")}`,
        expected: "{game}, {config} and {pass}, each once",
      };
    case "placeholders-touch": {
      const [first, second] = fault.names.map((name) => `{${visible(name)}}`);
      return {
        message: `nothing tells where ${first} ends and ${second} begins`,
        todo: `write the text that stands between them, such as ${first}_${second}`,
      };
    }
    case "brace-alone":
      return { message: `the layout has a ${quoted(fault.brace)} without its partner`, expected };
    case "part-empty":
      return {
        message: "the layout has an empty part: a / at its start or end, or two in a row",
        todo: "write / only between the parts of the path",
      };
    case "part-dots":
      return {
        message: `no part of a log's path is ${quoted(fault.part)}`,
        todo: "write the last parts of the path only, such as {game}/{config}/{pass}",
      };
    case "backslash":
      return { message: "the layout has a backslash", todo: "write / between folders on every system" };
    case "extension":
      return {
        message: `the layout ends in ${quoted(fault.extension)}, but a log's extension is no part of it`,
        todo: `leave ${quoted(fault.extension)} out: logs of every extension are read`,
      };
  }
}

/** The YAML library's sentence, with advice for the mistakes that people make. */
function yamlRuleWords(rule: string, why: string): FindingWords {
  const message = `this is not YAML: ${visible(why)}`;
  switch (rule) {
    case "MULTIPLE_DOCS":
      return { message: "a second YAML document begins here", todo: "keep one, and leave out the line ---" };
    case "BLOCK_AS_IMPLICIT_KEY":
      return {
        message: "this line has a second colon with a blank behind it, where another value would begin",
        todo: "put a text that has a colon in double quotes",
      };
    case "TAB_AS_INDENT":
      return { message, todo: "indent with spaces" };
    case "MISSING_CHAR":
      return { message, todo: "look above for what was opened and never closed" };
    case "UNEXPECTED_TOKEN":
      return {
        message,
        todo: 'a text that begins with {, [ or a quote ends where that does: put all of it in double quotes, such as layout: "{game}/{config}/{pass}"',
      };
    case "TAG_RESOLVE_FAILED":
      return { message, todo: "put a text that begins with ! in double quotes" };
    default:
      return { message, todo: "mend this place first: nothing after it could be read" };
  }
}

function offerWords({ passes, games, configs }: LayoutOffer): string {
  const counted = (count: number, noun: string): string => `${count} ${noun}${count === 1 ? "" : "s"}`;
  return `${passes === 1 ? "1 pass" : `${passes} passes`} of ${counted(games.length, "game")} (${listed(games, "and")}) under ${counted(configs.length, "config")} (${listed(configs, "and")})`;
}

function offerLines({ pattern, games, configs, needsNames }: LayoutOffer): string[] {
  const names = (all: readonly string[]): string => all.map((name) => `${yaml(name)}: {}`).join(", ");
  return [
    `layout: ${yaml(pattern)}`,
    ...(needsNames ? [`games: { ${names(games)} }`, `configs: { ${names(configs)} }`] : []),
  ];
}

/** A YAML scalar that reads back as the same text: a JSON string is one. */
function yaml(text: string): string {
  return escapeJson(JSON.stringify(text));
}

/** Words for what can be wrong in a session file, and between it and the captures. */
export function describeSessionFinding(finding: SessionFinding): FindingWords {
  switch (finding.code) {
    case "session-missing":
      return {
        message: "there is no such session file",
        todo: "give another with --session, or let `runjury init <folder>` write one",
      };
    case "session-not-utf8":
      return {
        message: "the text here is not UTF-8, so that names in it could be read wrongly",
        todo: "save the file as UTF-8",
      };
    case "yaml-too-long":
      return {
        message: `this is no session file: it has ${finding.characters} characters`,
        expected: `at most ${finding.most} characters of YAML`,
      };
    case "yaml-too-deep":
      return {
        message: `values are nested more than ${finding.most} deep here`,
        expected: "at most five levels",
      };
    case "yaml-broken":
      return yamlRuleWords(finding.rule, finding.why);
    case "yaml-aliases":
      return { message: `more than ${finding.most} aliases (*name)`, todo: "write the values out" };
    case "yaml-alias-unknown":
      return {
        message: `nothing above is named &${visible(finding.alias)}`,
        todo: `put the text in double quotes if the * belongs to it: "*${visible(finding.alias)}"`,
      };
    case "key-not-text":
      return { message: "a key is a list or a mapping here", expected: "a text as key" };
    case "key-twice":
      return {
        message: `the key ${quoted(finding.key)} stands here a second time`,
        todo: `keep one, and move what the other holds into it: the first is in line ${finding.firstLine}`,
      };
    case "key-unknown":
      return {
        message: `${pathWords(finding.in)} has no key ${quoted(finding.key)}`,
        expected: joinWords(finding.keys, "or"),
        ...(finding.key === "<<"
          ? { todo: "write the values out: YAML 1.2 has no merging with <<" }
          : finding.elsewhere.length > 0
            ? {
                todo: `${visible(finding.key)} belongs ${joinWords(finding.elsewhere.map(placeWords), "or")}`,
              }
            : didYouMean(finding.nearest)),
      };
    case "key-missing":
      return {
        message: `${pathWords(finding.in)} lacks the key ${quoted(finding.key)}`,
        todo: `add ${visible(finding.key)}: and its value`,
      };
    case "value-wrong": {
      // "claim > is is" would be one too many.
      const verb = finding.path.at(-1) === "is" ? "says" : "is";
      const message = `${pathWords(finding.path)} ${verb} ${seenWords(finding.seen)}`;
      if (typeof finding.expected === "string") return { message, expected: valueKinds[finding.expected] };
      return {
        message,
        expected: joinWords(finding.expected.oneOf, "or"),
        ...didYouMean(finding.expected.nearest),
      };
    }
    case "percent-unclear": {
      const [fraction, percent] = finding.readings;
      return {
        message: `${pathWords(finding.path)} could be meant as ${fraction} or as ${percent}`,
        todo: `write ${finding.path.join(": ")}: ${fraction} or ${finding.path.join(": ")}: ${percent}`,
      };
    }
    case "layout-wrong":
      return layoutFaultWords(finding.fault);
    case "layout-in-doubt":
      return {
        message: "the logs' paths can be read in two ways; nothing is concluded until you decide",
        todo: [
          "it could be:",
          ...finding.readings.map((offer) => `  ${offerWords(offer)}`),
          "write what is right into session.yaml; `runjury init` writes all of the first:",
          ...finding.readings.flatMap(offerLines).map((line) => `  ${line}`),
        ].join("\n"),
      };
    case "layout-no-match":
      return {
        message: `the path ${quoted(finding.path)} does not fit the layout ${quoted(finding.pattern)}`,
        todo: "move the log out of the folder, or change layout: in session.yaml",
      };
    case "layout-unclear": {
      const readings = finding.readings.map(({ game, config, boot, pass }) => {
        const inBoot = boot === null ? "" : `, boot ${quoted(boot)}`;
        return `game ${quoted(game)}, config ${quoted(config)}${inBoot}, pass ${quoted(pass)}`;
      });
      if (finding.more) readings.push("and more");
      return {
        message: `the path ${quoted(finding.path)} fits the layout ${quoted(finding.pattern)} in several ways: ${readings.join("; ")}`,
        todo: "name the games or configs under games: or configs: in session.yaml, or write more of the path's own text into layout:, such as {boot}-pass-{pass}",
      };
    }
    case "session-log-unknown":
      return {
        message: `log > for names ${quoted(finding.name)}, and nothing captured is called so`,
        expected: "a game, a game/config, or a pass as game/config/pass",
        ...didYouMean(finding.nearest),
      };
    case "set-aside-unknown":
      return {
        message: `there is no pass ${quoted(finding.pass)} to set aside`,
        ...didYouMean(finding.nearest),
      };
    case "set-aside-unclear":
      return {
        message: `several passes are named ${quoted(finding.pass)}: ${listed(finding.passes, "and")}`,
        todo: "name the boot too: game/config/boot/pass",
      };
    case "session-baseline-unknown":
      return {
        message: `the baseline ${quoted(finding.baseline)} was not captured`,
        expected: `one of the captured configs: ${listed(finding.configs, "or")}`,
        ...(finding.isGame
          ? {
              todo: `by the layout ${quoted(finding.layout)} it is a game: say in session.yaml which part of the path is the config, such as layout: "{config}/{game}/{pass}"`,
            }
          : didYouMean(finding.nearest)),
      };
    case "names-alike":
      return {
        message: `the ${finding.kind}s ${listed(finding.names, "and")} differ in spelling only, and are taken for ${finding.names.length === 2 ? "two" : finding.names.length}`,
        todo: `if they are one ${finding.kind}, spell them alike where the logs lie`,
      };
    case "game-not-captured":
      return {
        message: `the game ${quoted(finding.game)} is described here, but was not captured`,
        ...didYouMean(finding.nearest),
      };
    case "config-not-captured":
      return {
        message: `the config ${quoted(finding.config)} is described here, but was not captured`,
        ...didYouMean(finding.nearest),
      };
  }
}
