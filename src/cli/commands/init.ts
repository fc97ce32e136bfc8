import path from "node:path";
import type { Command } from "commander";
import { visible } from "../../report/escape.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import { writeResult } from "../output.ts";
import { progressLine } from "../progress.ts";
import { tellProblems } from "../tell-problems.ts";

interface InitOptions {
  readonly baseline?: string;
  readonly force?: boolean;
  readonly output?: string;
  readonly quiet?: boolean;
}

export function addInitCommand(program: Command): void {
  program
    .command("init")
    .argument("<folder>", "captures")
    .description("look at a folder and write a commented session.yaml for it")
    .option("--baseline <config>", "the config that the others are compared with")
    .option("--force", "replace a session file that is there already")
    .option("-o, --output <file>", "write to this file instead of session.yaml in the folder")
    .option("--quiet", "no progress and no notes on standard error")
    .action(async (folder: string, options: InitOptions) => {
      const [{ describeFolder }, { foundWords, writeSessionFile }] = await Promise.all([
        import("../../pipeline/describe-folder.ts"),
        import("../../report/session-file.ts"),
      ]);
      const progress = await progressLine(process.stderr, options.quiet === true);
      const { found, problems } = await describeFolder(
        folder,
        withoutGaps({ baseline: options.baseline }),
        progress.hooks,
      ).finally(progress.stop);
      await tellProblems(problems, options.quiet === true);
      const file = options.output ?? path.join(folder, "session.yaml");
      await writeResult(writeSessionFile(found), file, { replaces: options.force === true });
      if (options.quiet !== true)
        process.stderr.write(`${visible(path.normalize(file))} was written: ${foundWords(found)}\n`);
    });
}
