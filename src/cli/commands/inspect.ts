import { stat } from "node:fs/promises";
import type { Command } from "commander";
import { addOutputOptions, addReadOptions, type RawOptions, toFolderOptions } from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

export function addInspectCommand(program: Command): void {
  const command = program
    .command("inspect")
    .argument("<log>", "one log, or a folder to see which of its logs disagree")
    .description(
      "how a log was read: encoding, dialect, columns, units, the evidence for each, rows not used",
    );
  addOutputOptions(addReadOptions(command), ["table", "json"]).action(
    async (log: string, raw: RawOptions) => {
      const [{ inspectFile, inspectFolder }, report, { toJson }] = await Promise.all([
        import("../../pipeline/inspect-logs.ts"),
        import("../../report/inspect-report.ts"),
        import("../../report/to-json.ts"),
      ]);
      await runAndWrite(raw, async (hooks) => {
        const options = toFolderOptions(raw);
        if (await isFolder(log)) {
          const { comparison, problems } = await inspectFolder(log, options, hooks);
          return {
            problems,
            exitCode: comparison.usual.files.length === 0 ? 2 : 0,
            render: {
              table: (style) => report.comparisonTable(comparison, style),
              json: () => toJson(report.comparisonData(comparison, problems)),
            },
          };
        }
        hooks.onLogs?.([log]);
        const { inspection, problems } = await inspectFile(log, options);
        return {
          problems,
          exitCode: inspection.figures === null ? 2 : 0,
          render: {
            table: (style) => report.inspectTable(inspection, style),
            json: () => toJson(report.inspectionData(inspection, problems)),
          },
        };
      });
    },
  );
}

async function isFolder(file: string): Promise<boolean> {
  try {
    return (await stat(file)).isDirectory();
  } catch {
    return false;
  }
}
