import { type Command, InvalidArgumentError, Option } from "commander";
import type { FolderOptions, Metric } from "../index.ts";
import { type LowsDefinition, lowsDefinitions } from "../shared/lows-definition.ts";
import { metrics } from "../shared/metrics.ts";
import { withoutGaps } from "../shared/without-gaps.ts";
import { userCacheFolder } from "./user-cache-folder.ts";

const formats = ["table", "json", "csv", "markdown"] as const;
export type Format = (typeof formats)[number];

/** The shared options as commander hands them over. */
export interface RawOptions {
  readonly session?: string;
  readonly baseline?: string;
  readonly lows?: LowsDefinition;
  readonly matters?: number;
  readonly confidence?: number;
  readonly keepAll?: boolean;
  readonly threads?: number;
  readonly cache?: boolean;
  readonly cacheDir?: string;
  readonly only?: string[];
  readonly format: Format;
  readonly output?: string;
  readonly quiet?: boolean;
  readonly details?: boolean;
}

/** Options of every command that reads logs. */
export function addReadOptions(command: Command): Command {
  return command
    .option("--session <file>", "session file (default: session.yaml in the folder)")
    .addOption(
      new Option("--lows <definition>", "what 1% and 0.1% low mean (default: percentile)").choices(
        lowsDefinitions,
      ),
    );
}

/** Options of every command that measures a folder of captures. */
export function addMeasureOptions(command: Command): Command {
  return addReadOptions(command)
    .option("--keep-all", "set nothing aside")
    .option(
      "--threads <number>",
      "most threads to read logs on (default: as many as there are cores)",
      wholeFrom(1),
    )
    .option("--no-cache", "read every log again, and keep nothing of it for the next run")
    .option("--cache-dir <folder>", "where summaries of passes are kept (default: the user's cache folder)");
}

/** Options of every command that shows a folder of captures. */
export function addFolderOptions(command: Command): Command {
  return addMeasureOptions(command).option(
    "--only <name...>",
    "show only these games or configs; conclusions stay those of the whole session",
  );
}

/** Options of the commands that compare. */
export function addJudgeOptions(command: Command): Command {
  return command
    .option("--baseline <config>", "the config that the others are compared with")
    .option(
      "--matters <percent>",
      "the smallest difference worth telling (default: 3%)",
      percentBetween(0, 100, 3),
    )
    .option(
      "--confidence <percent>",
      "confidence of the intervals (default: 95%)",
      percentBetween(50, 100, 95),
    );
}

/** What a session that is still to be captured costs and gets, as commander hands it over. */
export interface RawPassesOptions {
  readonly metric?: Metric[];
  readonly leastPasses?: number;
  readonly mostPasses?: number;
  readonly passTime?: number;
  readonly switchTime?: number;
}

/** Options of the commands that say how many passes are to be captured. */
export function addPassesOptions(
  command: Command,
  unlessGiven: { readonly metrics: string; readonly switchTime: string },
): Command {
  return command
    .addOption(
      new Option("--metric <id...>", `metrics to settle (default: ${unlessGiven.metrics})`).choices(metrics),
    )
    .option("--least-passes <number>", "passes that every cell gets (default: 3)", wholeFrom(2))
    .option("--most-passes <number>", "passes that no cell goes beyond (default: 10)", wholeFrom(2))
    .option("--pass-time <minutes>", "what a pass costs, set-up included", numberAbove(0))
    .option(
      "--switch-time <minutes>",
      `what another config costs, such as a reboot (default: ${unlessGiven.switchTime})`,
      numberFrom(0),
    );
}

/** Options for where the result goes and how it looks. */
export function addOutputOptions(command: Command, choices: readonly Format[] = formats): Command {
  return command
    .addOption(new Option("--format <format>", "form of the result").choices(choices).default(choices[0]))
    .option("-o, --output <file>", "write the result to a file instead of standard output")
    .option("--quiet", "no progress and no notes on standard error");
}

/** The shared options as the library takes them. */
export function toFolderOptions(raw: Omit<RawOptions, "format">): FolderOptions {
  return withoutGaps({
    sessionFile: raw.session,
    baseline: raw.baseline,
    lows: raw.lows,
    mattersPct: raw.matters,
    confidencePct: raw.confidence,
    keepAll: raw.keepAll,
    threads: raw.threads,
    cacheFolder: raw.cache === false ? null : (raw.cacheDir ?? userCacheFolder()),
    only: raw.only,
  });
}

/** Takes whole numbers from `least`. */
export function wholeFrom(least: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (!Number.isInteger(value) || value < least)
      throw new InvalidArgumentError(`Expected a whole number from ${least}.`);
    return value;
  };
}

/** Takes numbers above `least`, such as 1.5. */
export function numberAbove(least: number): (text: string) => number {
  return numberThat((value) => value > least, `above ${least}`);
}

/** Takes numbers from `least`. */
export function numberFrom(least: number): (text: string) => number {
  return numberThat((value) => value >= least, `from ${least}`);
}

function numberThat(isRight: (value: number) => boolean, where: string): (text: string) => number {
  return (text) => {
    const value = text.trim() === "" ? Number.NaN : Number(text);
    if (!Number.isFinite(value) || !isRight(value))
      throw new InvalidArgumentError(`Expected a number ${where}.`);
    return value;
  };
}

/** Takes "3%" and "3", such as the example; both ends are excluded. A bare 0.03 may be meant as 3%, as in the session file. */
export function percentBetween(least: number, most: number, example: number): (text: string) => number {
  return (text) => {
    const match = /^(\d*\.?\d+)\s*(%?)$/.exec(text.trim());
    const value = match === null ? Number.NaN : Number(match[1]);
    if (match?.[2] === "" && value > 0 && value < 1) {
      const asFraction = Number((100 * value).toPrecision(12));
      throw new InvalidArgumentError(
        `It could be meant as ${value}% or as ${asFraction}%: write the % sign.`,
      );
    }
    if (!(value > least && value < most)) {
      throw new InvalidArgumentError(
        `Expected a percent above ${least} and below ${most}, such as ${example}%.`,
      );
    }
    return value;
  };
}
