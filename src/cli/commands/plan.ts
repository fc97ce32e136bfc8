import { randomInt } from "node:crypto";
import type { Command } from "commander";
import type { PlanOptions } from "../../index.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import {
  addJudgeOptions,
  addMeasureOptions,
  addOutputOptions,
  addPassesOptions,
  numberAbove,
  numberFrom,
  percentBetween,
  type RawOptions,
  type RawPassesOptions,
  toFolderOptions,
  wholeFrom,
} from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

interface RawPlanOptions extends RawOptions, RawPassesOptions {
  readonly noise?: string[];
  readonly bootNoise?: string[];
  readonly games?: string[];
  readonly configs?: string[];
  readonly difference?: number;
  readonly chance?: number;
  readonly passes?: number;
  readonly boots?: number;
  readonly hours?: number;
  readonly setupTime?: number;
  readonly sheet?: boolean;
  readonly seed?: number;
}

const collect = (text: string, before: readonly string[] = []): string[] => [...before, text];

export function addPlanCommand(program: Command): void {
  const command = program
    .command("plan")
    .argument("[folder]", "a pilot or an old session, whose passes show the noise")
    .description("passes needed to show a difference, what they show, how long they take; a run sheet")
    .option(
      "--noise <text>",
      'noise without captures, such as "1% low 2%" or "<game>: 1% low 2%"; may be repeated',
      collect,
    )
    .option("--boot-noise <text>", "what a boot adds to it, written alike; may be repeated", collect)
    .option("--games <name...>", "games to plan for; without a folder their number will do")
    .option("--configs <name...>", "configs to plan for, the baseline too; likewise");
  addPassesOptions(command, { metrics: "avgFps low1Fps, or those with --noise", switchTime: "5" })
    .option(
      "--difference <percent>",
      "the difference to show where there is one (default: what matters)",
      percentBetween(0, 100, 3),
    )
    .option("--chance <percent>", "chance to show it (default: 80%)", percentBetween(50, 100, 80))
    .option(
      "--passes <number>",
      "plan with so many per game and config, and say what they show",
      wholeFrom(2),
    )
    .option("--hours <number>", "the best plan for this time", numberAbove(0))
    .option("--boots <number>", "boots per config (default: balanced with passes)", wholeFrom(1))
    .option("--setup-time <minutes>", "set-up per pass beside its own length (default: 1)", numberFrom(0))
    .option("--sheet", "a run sheet: what to capture in which order, under which file name")
    .option("--seed <number>", "the order of an earlier sheet again", wholeFrom(0));
  addOutputOptions(addMeasureOptions(addJudgeOptions(command))).action(planAndWrite);
}

async function planAndWrite(folder: string | undefined, raw: RawPlanOptions): Promise<void> {
  const library = await import("../../index.ts");
  await runAndWrite(raw, async (hooks) => {
    const { plan, problems } = await library.planFolder(folder ?? null, toPlanOptions(folder, raw), hooks);
    const { sheet } = plan;
    const render =
      sheet === null
        ? {
            table: library.planTable.bind(null, plan),
            csv: () => library.planCsv(plan),
            markdown: () => library.planMarkdown(plan),
          }
        : {
            table: library.sheetTable.bind(null, { ...plan, sheet }),
            csv: () => library.sheetCsv({ ...plan, sheet }),
            markdown: () => library.sheetMarkdown({ ...plan, sheet }),
          };
    return { problems, render: { ...render, json: () => library.toJson(plan) } };
  });
}

function toPlanOptions(folder: string | undefined, raw: RawPlanOptions): PlanOptions {
  const { only: _all, ...options } = toFolderOptions(raw);
  const names = (given: string[]): readonly string[] | number => {
    const [only] = given;
    return folder === undefined && given.length === 1 && /^\d{1,6}$/.test(only ?? "") ? Number(only) : given;
  };
  // The one thing here that is left to chance; the sheet says which number it was.
  const seed = raw.seed ?? (raw.sheet === true ? randomInt(1_000_000) : undefined);
  return withoutGaps({
    ...options,
    noise: raw.noise,
    bootNoise: raw.bootNoise,
    games: raw.games && names(raw.games),
    configs: raw.configs && names(raw.configs),
    metrics: raw.metric,
    differencePct: raw.difference,
    chancePct: raw.chance,
    passes: raw.passes,
    boots: raw.boots,
    hours: raw.hours,
    leastPasses: raw.leastPasses,
    mostPasses: raw.mostPasses,
    passMinutes: raw.passTime,
    setupMinutes: raw.setupTime,
    switchMinutes: raw.switchTime,
    sheet: raw.sheet,
    seed,
  });
}
