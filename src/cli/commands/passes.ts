import type { Command } from "commander";
import { addFolderOptions, addOutputOptions, type RawOptions, toFolderOptions } from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addPassesCommand(program: Command): void {
  const command = program
    .command("passes")
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .description("one row per pass with every metric and flag");
  addOutputOptions(addFolderOptions(command)).action(async (folder: string, raw: RawOptions) => {
    const [{ listFolder }, { passesCsv, passesJson, passesMarkdown, passesTable }] = await Promise.all([
      import("../../pipeline/judge-folder.ts"),
      import("../../report/passes-report.ts"),
    ]);
    await runAndWrite(raw, async (hooks) => {
      const { passes, problems } = await listFolder(folder, toFolderOptions(raw), hooks);
      return {
        problems,
        render: {
          table: (style) => passesTable(passes, style),
          json: () => passesJson(passes),
          csv: () => passesCsv(passes),
          markdown: () => passesMarkdown(passes),
        },
      };
    });
  });
}
