import type { Command } from "commander";
import { addMeasureOptions, addOutputOptions, type RawOptions, toFolderOptions } from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addCapCommand(program: Command): void {
  const command = program
    .command("cap")
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .description("the frame cap to try for each uncapped game and config, and what caps that were tried did");
  addOutputOptions(addMeasureOptions(command)).action(async (folder: string, raw: RawOptions) => {
    const [{ planFolderCaps }, { capCsv, capMarkdown, capTable }, { toJson }] = await Promise.all([
      import("../../pipeline/plan-folder-caps.ts"),
      import("../../report/cap-report.ts"),
      import("../../report/to-json.ts"),
    ]);
    await runAndWrite(raw, async (hooks) => {
      const { plan, problems } = await planFolderCaps(folder, toFolderOptions(raw), hooks);
      return {
        problems,
        render: {
          table: (style) => capTable(plan, style),
          json: () => toJson(plan),
          csv: () => capCsv(plan),
          markdown: () => capMarkdown(plan),
        },
      };
    });
  });
}
