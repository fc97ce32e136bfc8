import type { Command } from "commander";
import {
  addFolderOptions,
  addJudgeOptions,
  addOutputOptions,
  type RawOptions,
  toFolderOptions,
} from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addJudgeCommand(program: Command): void {
  const command = program
    .command("judge", { isDefault: true })
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .option("--details", "in the table: kinds of games, power over all games, whole lists")
    .description(
      "judge a folder of captures: which differences are real, which are noise, which cannot be told",
    );
  addOutputOptions(addFolderOptions(addJudgeOptions(command))).action(
    async (folder: string, raw: RawOptions) => {
      const { judgeFolder, judgementCsv, judgementMarkdown, judgementTable, toJson } = await import(
        "../../index.ts"
      );
      await runAndWrite(raw, async (hooks) => {
        const { judgement, problems } = await judgeFolder(folder, toFolderOptions(raw), hooks);
        return {
          problems,
          render: {
            table: (style) => judgementTable(judgement, style, { details: raw.details ?? false }),
            json: () => toJson(judgement),
            csv: () => judgementCsv(judgement),
            markdown: () => judgementMarkdown(judgement),
          },
        };
      });
    },
  );
}
