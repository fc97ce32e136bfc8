import type { Command } from "commander";
import {
  addJudgeOptions,
  addMeasureOptions,
  addOutputOptions,
  type RawOptions,
  toFolderOptions,
} from "../options.ts";
import { isShown } from "../output.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addFindingsCommand(program: Command): void {
  const command = program
    .command("findings")
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .description("sentences that the data supports, each with its claim attached; and what must not be said");
  addOutputOptions(addMeasureOptions(addJudgeOptions(command)), ["markdown", "json", "csv"]).action(
    async (folder: string, raw: RawOptions) => {
      const [{ findFindings }, { findingsCsv, findingsJson, findingsMarkdown, findingsText }] =
        await Promise.all([import("../../pipeline/gate.ts"), import("../../report/findings-report.ts")]);
      await runAndWrite(raw, async (hooks) => {
        const { findings, problems } = await findFindings(folder, toFolderOptions(raw), hooks);
        return {
          problems,
          render: {
            markdown: (style) =>
              isShown(raw.output) ? findingsText(findings, style) : findingsMarkdown(findings),
            json: () => findingsJson(findings),
            csv: () => findingsCsv(findings),
          },
        };
      });
    },
  );
}
