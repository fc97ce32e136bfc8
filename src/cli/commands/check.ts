import { type Command, Option } from "commander";
import type { CheckOptions, ScriptSource } from "../../index.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import {
  addJudgeOptions,
  addMeasureOptions,
  addOutputOptions,
  type RawOptions,
  toFolderOptions,
} from "../options.ts";
import { runAndWrite } from "../run-and-write.ts";

interface RawCheckOptions extends RawOptions {
  readonly strict?: boolean;
  readonly requireClaims?: boolean;
  readonly scriptFormat?: "markdown" | "yaml";
}

export function addCheckCommand(program: Command): void {
  const command = program
    .command("check")
    .argument("<script>", "Markdown script or claims.yaml, or - for standard input")
    .argument("<source>", "folder of captures, or a judgement saved with judge --format json")
    .description("hold each claim of a script against the data; exit 1 if one does not hold")
    .option("--strict", "fail on what was only not refuted, and on a saved judgement that is out of date")
    .option("--require-claims", "fail on sentences with numbers that no claim checks")
    .addOption(
      new Option("--script-format <form>", "form of the script (default: by its name)").choices([
        "markdown",
        "yaml",
      ]),
    );
  addOutputOptions(addMeasureOptions(addJudgeOptions(command))).action(
    async (script: string, source: string, raw: RawCheckOptions) => {
      const [{ checkScript }, { checkCsv, checkJson, checkMarkdown, checkSummary, checkTable }] =
        await Promise.all([import("../../pipeline/gate.ts"), import("../../report/check-report.ts")]);
      await runAndWrite(raw, async (hooks) => {
        const { check, problems } = await checkScript(sourceOf(script), source, toCheckOptions(raw), hooks);
        // A table says it itself; in other forms the answer would be lost in a file or a pipe.
        const isSilent = raw.quiet === true || (raw.format === "table" && raw.output === undefined);
        return {
          problems,
          ...(!isSilent && { summary: `${check.holds ? "passed" : "failed"}: ${checkSummary(check)}` }),
          exitCode: check.counts.error > 0 ? 2 : check.holds ? 0 : 1,
          render: {
            table: (style) => checkTable(check, style),
            json: () => checkJson(check),
            csv: () => checkCsv(check),
            markdown: () => checkMarkdown(check),
          },
        };
      });
    },
  );
}

function toCheckOptions(raw: RawCheckOptions): CheckOptions {
  return withoutGaps({
    ...toFolderOptions(raw),
    strict: raw.strict,
    requireClaims: raw.requireClaims,
    scriptFormat: raw.scriptFormat,
  });
}

function sourceOf(script: string): ScriptSource {
  return script === "-" ? { file: "standard-input", bytes: process.stdin } : script;
}
