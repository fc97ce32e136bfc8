import type { Command } from "commander";
import type { Judgement } from "../../index.ts";
import {
  addFolderOptions,
  addJudgeOptions,
  addOutputOptions,
  type RawOptions,
  toFolderOptions,
} from "../options.ts";
import { type Rendering, runAndWrite } from "../run-and-write.ts";

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
      const { judgeFolder } = await import("../../pipeline/judge-folder.ts");
      await runAndWrite(raw, async (hooks) => {
        const { judgement, problems } = await judgeFolder(folder, toFolderOptions(raw), hooks);
        return { problems, render: await renderings(judgement, raw) };
      });
    },
  );
}

/** Only what the format needs is loaded: most of a run on a warm cache is loading. */
async function renderings(
  judgement: Judgement,
  { format, details }: RawOptions,
): Promise<Rendering["render"]> {
  switch (format) {
    case "table": {
      const { judgementTable } = await import("../../report/judgement-table.ts");
      return { table: (style) => judgementTable(judgement, style, { details: details ?? false }) };
    }
    case "json": {
      const { toJson } = await import("../../report/to-json.ts");
      return { json: () => toJson(judgement) };
    }
    case "csv": {
      const { judgementCsv } = await import("../../report/judgement-csv.ts");
      return { csv: () => judgementCsv(judgement) };
    }
    case "markdown": {
      const { judgementMarkdown } = await import("../../report/judgement-markdown.ts");
      return { markdown: () => judgementMarkdown(judgement) };
    }
  }
}
