import { stringify } from "yaml";
import type { LogSettings } from "../read/log.ts";
import type { FoundName, LogQuestion, SessionFound } from "../read/session-found.ts";
import { formatCount } from "../shared/format-number.ts";
import { groupBy } from "../shared/group-by.ts";
import { escapeJson, visible } from "./escape.ts";

/** YAML reads a key on one line up to this length (YAML 1.2.2, section 7.4.2), with a little to spare. */
const longestSimpleKey = 1000;

/** One line that YAML reads back as the same text, inside [ ] and { } too. */
function scalar(text: string): string {
  if (visible(text) !== text) return escapeJson(JSON.stringify(text));
  const list = stringify([text], {
    collectionStyle: "flow",
    flowCollectionPadding: false,
    lineWidth: 0,
    blockQuote: false,
    doubleQuotedMinMultiLineLength: Number.MAX_SAFE_INTEGER,
  });
  return list.slice(1, list.lastIndexOf("]"));
}

/** Text for a comment: it stays on its line. */
function comment(text: string): string {
  return `# ${visible(text)}`;
}

function countPasses(passes: number): string {
  return passes === 1 ? "1 pass" : `${passes} passes`;
}

function nameLines(names: readonly FoundName[]): readonly string[] {
  return names.map(({ name, passes }) => {
    const key = scalar(name);
    const entry = `{} ${comment(countPasses(passes))}`;
    return key.length > longestSimpleKey ? `  ? ${key}\n  : ${entry}` : `  ${key}: ${entry}`;
  });
}

/** A time with its unit, in plain decimals: the session file knows no 1e-7. */
function seconds(value: number): string {
  return `${value.toFixed(9).replace(/\.?0+$/, "")}s`;
}

/** The lines of `log:` that say these settings, without their indentation. */
function logLines({ frameTime, clock, stream, segment }: LogSettings): readonly string[] {
  const lines: string[] = [];
  const column = (key: string, setting: { readonly column: string; readonly unit?: string }) => {
    const unit = setting.unit === undefined ? "" : `, unit: ${setting.unit}`;
    lines.push(`${key}: { column: ${scalar(setting.column)}${unit} }`);
  };
  if (frameTime !== undefined) column("frame-time", frameTime);
  if (clock !== undefined) column("clock", clock);
  if (stream !== undefined) {
    const named = stream.column === undefined ? "" : `column: ${scalar(stream.column)}, `;
    lines.push(`stream: { ${named}equals: ${scalar(stream.equals)} }`);
  }
  if (segment !== undefined) lines.push(`segment: ${segment}`);
  return lines;
}

/** The lines of `sensors:` that say these settings, without their indentation. */
function sensorLines({ sensors, sensorOffsetS }: LogSettings): readonly string[] {
  const lines = Object.entries(sensors ?? {}).map(
    ([role, { column }]) => `${role}: { column: ${scalar(column)} }`,
  );
  if (sensorOffsetS !== undefined) lines.push(`offset: ${seconds(sensorOffsetS)}`);
  return lines;
}

/**
 * Questions and their answers as comments, each answer ready to have its # removed. What is asked of many logs alike, as
 * of all that one recorder wrote, is asked once.
 */
function questionLines(
  questions: readonly LogQuestion[],
  linesOf: (settings: LogSettings) => readonly string[],
): readonly string[] {
  const alike = groupBy(questions, ({ question, answers }) =>
    JSON.stringify([question, answers.map(({ settings, scope }) => [scope, linesOf(settings)])]),
  );
  return [...alike.values()].flatMap((group) => {
    const [{ file, question, answers }] = group;
    const told = answers.filter((answer) => linesOf(answer.settings).length > 0);
    if (told.length === 0) return [];
    const more = group.length - 1;
    const files = more === 0 ? file : `${file} and ${more} more ${more === 1 ? "log" : "logs"}`;
    return [
      `  ${comment(`${files}: ${question}`)}`,
      `  ${comment("Remove the # before the lines that are right:")}`,
      ...told.flatMap(({ settings, meaning, scope }) => {
        const lines = linesOf(settings);
        const said = scope === undefined ? lines : [`${scalar(scope)}: { ${lines.join(", ")} }`];
        return [`  ${comment(`- ${meaning}`)}`, ...said.map((line) => `  # ${line}`)];
      }),
    ];
  });
}

/** What `log:` says or could say: about all logs, then about those of some names. */
function logBlock(settled: LogSettings, questions: readonly LogQuestion[]): readonly string[] {
  const part = (isScoped: boolean): LogQuestion[] =>
    questions.map((asked) => ({
      ...asked,
      answers: asked.answers.filter(({ scope }) => (scope !== undefined) === isScoped),
    }));
  const scoped = questionLines(part(true), logLines);
  return [
    ...logLines(settled).map(indent),
    ...questionLines(part(false), logLines),
    ...(scoped.length === 0
      ? []
      : [
          `  for: ${comment("some logs only: those of a game, a game/config or a pass")}`,
          ...scoped.map(indent),
        ]),
  ];
}

function block(key: string, intro: readonly string[], lines: readonly string[]): readonly string[] {
  return lines.length === 0 ? [] : ["", ...intro.map(comment), `${key}:`, ...lines];
}

const layoutComments = {
  usual: ["How the last parts of a log's path tell game, config and pass."],
  told: [
    "How the last parts of a log's path tell game, config and pass, going by how the logs are named: is it right?",
  ],
  unclear: [
    "How the last parts of a log's path tell game, config and pass. How these logs are named does not tell it, so the",
    'folders above them stand for game and config here. Say how it is, such as "{game}_{config}_{pass}".',
  ],
} as const;

function indent(line: string): string {
  return `  ${line}`;
}

/**
 * A commented session.yaml that says what was found; readSession reads it back to the same. Whatever is not settled
 * stands in comments, with every default.
 */
export function writeSessionFile(found: SessionFound): string {
  const { title, layout, layoutIs, baseline, games, configs, log, questions } = found;
  const lines: string[] = [
    comment(
      "Written by `runjury init` from what it found. Change what you like; a key that is left out has its",
    ),
    comment("default. `runjury schema session` prints the schema with which editors complete this file."),
    "",
    title === null ? "# title: what was tested, on what machine" : `title: ${scalar(title)}`,
    "",
  ];

  if (baseline === null) {
    lines.push(comment("The config that the others are compared with. No name tells which: remove one #."));
    for (const { name } of configs) lines.push(`# baseline: ${scalar(name)}`);
  } else {
    const why = baseline.because === "named" ? " Taken for its name: is it right?" : "";
    lines.push(comment(`The config that the others are compared with.${why}`));
    lines.push(`baseline: ${scalar(baseline.name)}`);
  }

  lines.push(
    "",
    ...layoutComments[layoutIs].map(comment),
    `layout: ${scalar(layout)}`,
    ...block(
      "log",
      ["How to read the logs, where the evidence in them is not enough."],
      logBlock(log, questions),
    ),
    ...block(
      "sensors",
      ["Columns of sensors."],
      [...sensorLines(log).map(indent), ...questionLines(questions, sensorLines)],
    ),
    ...block(
      "games",
      ["For example: { title: Tide Runner, tags: [racing], scene: harbour flyover, frame-cap: 240 }"],
      nameLines(games),
    ),
    ...block(
      "configs",
      ["For example: { title: Quiet 35 W, threads: 16, changes: [power limit] }"],
      nameLines(configs),
    ),
    "",
    comment("Defaults, and examples of what else can be said. Remove the # to change one."),
    "# lows: percentile # or tail-average, time-weighted",
    "# matters: 3% # the smallest difference worth telling anyone about",
    "# confidence: 95%",
    "# false-alarm-control: columns # or strict",
    "# trim: { skip: 0s, keep: all } # the same window of every pass, such as { skip: 2s, keep: 60s }",
    '# set-aside: [{ pass: game/config/pass, why: "what spoiled it" }]',
    "# system: { cpu: 8 cores 16 threads, memory: 32 GB }",
  );
  return `${lines.join("\n")}\n`;
}

/** What was found, and what is left to decide in the file, in a line or two. */
export function foundWords({ games, configs, baseline, layoutIs, questions }: SessionFound): string {
  const counted = (count: number, noun: string): string =>
    `${formatCount(count)} ${noun}${count === 1 ? "" : "s"}`;
  const passes = countPasses(games.reduce((sum, game) => sum + game.passes, 0));
  const open = [
    ...(layoutIs === "unclear" ? ["how the logs are named"] : []),
    ...(baseline === null ? ["which config is the baseline"] : []),
    ...(questions.length > 0 ? ["how logs are read"] : []),
  ];
  const found = `${passes} of ${counted(games.length, "game")} under ${counted(configs.length, "config")}`;
  return open.length === 0 ? found : `${found}\n  left to decide in it: ${open.join("; ")}`;
}
