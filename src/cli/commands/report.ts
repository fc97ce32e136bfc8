import type { Command } from "commander";
import { addFolderOptions, addJudgeOptions, type RawOptions, toFolderOptions } from "../options.ts";
import { isShown } from "../output.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addReportCommand(program: Command): void {
  const command = program
    .command("report")
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .description("a page to read and to show: the answer, pictures, every figure, in one HTML file")
    .option("-o, --output <file>", "write the page to a file instead of standard output")
    .option("--quiet", "no progress and no notes on standard error");
  addFolderOptions(addJudgeOptions(command)).action(
    async (folder: string, raw: Omit<RawOptions, "format">) => {
      if (isShown(raw.output)) {
        command.error(
          "error: a page is nothing to read in a terminal: give --output report.html, or pipe it on",
        );
      }
      const { writeReport } = await import("../../pipeline/pictures.ts");
      await runAndWrite({ ...raw, format: "html" }, async (hooks) => {
        const { page, problems } = await writeReport(folder, toFolderOptions(raw), hooks);
        return { problems, render: { html: () => page } };
      });
    },
  );
}
