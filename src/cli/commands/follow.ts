import { type Command, Option } from "commander";
import type { FollowOptions, Happening } from "../../index.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import { onEndWanted } from "../end-keys.ts";
import { openScreen, type Screen } from "../follow-screen.ts";
import {
  addJudgeOptions,
  addMeasureOptions,
  addPassesOptions,
  numberAbove,
  type RawOptions,
  type RawPassesOptions,
  toFolderOptions,
} from "../options.ts";
import { watchForFailure } from "../output.ts";
import { progressLine } from "../progress.ts";
import { runProgram } from "../run-program.ts";

interface RawFollowOptions extends Omit<RawOptions, "format">, RawPassesOptions {
  readonly settle?: number;
  readonly poll?: number;
  readonly bell?: boolean;
  readonly exec?: string;
  readonly plain?: boolean;
  readonly format: "lines" | "jsonl";
}

export function addFollowCommand(program: Command): void {
  const command = program
    .command("follow")
    .argument("<folder>", "where captures appear, as <game>/<config>/<pass>.csv")
    .description("beside the bench: whether each new pass is good, and what to capture next; q ends");
  addPassesOptions(command, { metrics: "avgFps low1Fps", switchTime: "0" })
    .option("--settle <seconds>", "a log not written for this long is whole (default: 1)", numberAbove(0))
    .option("--poll <seconds>", "time between looks where no events come (default: 2)", numberAbove(0))
    .option("--bell", "sound the terminal's bell on a bad pass")
    .option(
      "--exec <program>",
      "start a program on a bad pass, without a shell; its environment has RUNJURY_FILE, _NAME and _REASON",
    )
    .option("--plain", "on a terminal too, lines only and no board")
    .addOption(
      new Option("--format <format>", "form of the lines").choices(["lines", "jsonl"]).default("lines"),
    )
    .option("--quiet", "no progress on standard error");
  addMeasureOptions(addJudgeOptions(command)).action(followAndShow);
}

async function followAndShow(folder: string, raw: RawFollowOptions): Promise<void> {
  const { followFolder } = await import("../../index.ts");
  const isLive =
    raw.format === "lines" &&
    raw.plain !== true &&
    process.stdout.isTTY === true &&
    process.env.TERM !== "dumb";
  const ending = new AbortController();
  const release = onEndWanted(process.stdout.isTTY === true, () => ending.abort());
  const endWatch = watchForFailure(process.stdout, () => ending.abort());
  const progress = await progressLine(process.stderr, raw.quiet === true);
  const screen = await openScreen(isLive ? "board" : raw.format);
  try {
    await followFolder(folder, toFollowOptions(raw), {
      ...progress.hooks,
      signal: ending.signal,
      onUpdate: (update) => {
        progress.stop();
        screen.show(update);
        for (const bad of update.happenings.flatMap(badPass)) raiseAlarm(bad, raw, screen);
      },
    });
  } finally {
    progress.stop();
    screen.close();
    release();
  }
  endWatch();
}

function toFollowOptions(raw: RawFollowOptions): FollowOptions {
  const { only: _all, ...options } = toFolderOptions(raw);
  return withoutGaps({
    ...options,
    metrics: raw.metric,
    rule: withoutGaps({ leastPasses: raw.leastPasses, mostPasses: raw.mostPasses }),
    costs: withoutGaps({ passMinutes: raw.passTime, switchMinutes: raw.switchTime }),
    settleS: raw.settle,
    pollS: raw.poll,
  });
}

interface BadPass {
  readonly file: string;
  readonly name: string;
  readonly reason: string;
}

/** Passes that must be captured again, as far as they are news. */
function badPass(happening: Happening): BadPass[] {
  switch (happening.event) {
    case "pass":
    case "recounted": {
      const { pass, answer } = happening;
      const name = [pass.game, pass.config, ...(pass.boot === null ? [] : [pass.boot]), pass.pass].join("/");
      return answer === "good" ? [] : [{ file: pass.file, name, reason: pass.notCountedBecause ?? "" }];
    }
    case "left-out":
      return [
        { file: happening.file, name: "", reason: happening.problems.map(({ code }) => code).join(" ") },
      ];
    default:
      return [];
  }
}

function raiseAlarm({ file, name, reason }: BadPass, raw: RawFollowOptions, screen: Screen): void {
  if (raw.bell === true) {
    const terminal = [process.stdout, process.stderr].find(({ isTTY }) => isTTY === true);
    terminal?.write("\x07");
  }
  if (raw.exec === undefined) return;
  const facts = { RUNJURY_FILE: file, RUNJURY_NAME: name, RUNJURY_REASON: reason };
  runProgram(raw.exec, facts, (why) => screen.note(`--exec: the program could not be started (${why})`));
}
