import { Command, CommanderError } from "commander";
import { visible } from "../report/escape.ts";
import { wrapText } from "../report/wrap-text.ts";
import { RunError } from "../shared/problem.ts";
import { version } from "../version.ts";
import { addCapCommand } from "./commands/cap.ts";
import { addCaptionsCommand } from "./commands/captions.ts";
import { addChartCommand } from "./commands/chart.ts";
import { addCheckCommand } from "./commands/check.ts";
import { addCompletionCommand } from "./commands/completion.ts";
import { addExplainCommand } from "./commands/explain.ts";
import { addFindingsCommand } from "./commands/findings.ts";
import { addFollowCommand } from "./commands/follow.ts";
import { addInitCommand } from "./commands/init.ts";
import { addInspectCommand } from "./commands/inspect.ts";
import { addJudgeCommand } from "./commands/judge.ts";
import { addPassesCommand } from "./commands/passes.ts";
import { addPlanCommand } from "./commands/plan.ts";
import { addReportCommand } from "./commands/report.ts";
import { addSchemaCommand } from "./commands/schema.ts";
import { addExamples } from "./examples.ts";
import { helpLayout } from "./help-layout.ts";
import { misspeltCommand } from "./misspelt-command.ts";
import { endQuietlyWhenClosed, problemStyleOf } from "./output.ts";

/** Runs the command line and sets the process's exit code: 0 done, 1 a gate failed, 2 it could not be done. */
export async function main(argv: readonly string[]): Promise<void> {
  endQuietlyWhenClosed(process.stdout, process.stderr);
  try {
    const program = buildProgram();
    const words = argv.slice(2);
    const names = ["help", ...program.commands.map((command) => command.name())];
    if (words.length === 0) program.help({ error: true });
    const misspelt = misspeltCommand(words, names);
    if (misspelt !== null) program.error(`error: ${misspelt}`);
    await program.parseAsync([...argv]);
  } catch (error) {
    process.exitCode = await report(error);
  }
}

function buildProgram(): Command {
  const program = new Command("runjury")
    .description("Tells which differences between benchmark runs are real and which are run-to-run noise.")
    .version(version)
    .showHelpAfterError("(see runjury --help)")
    .configureHelp(helpLayout)
    .configureOutput({ outputError: (text, write) => write(text.split("\n").map(errorLine).join("\n")) })
    .exitOverride();
  addJudgeCommand(program);
  addPassesCommand(program);
  addCheckCommand(program);
  addFindingsCommand(program);
  addPlanCommand(program);
  addFollowCommand(program);
  addReportCommand(program);
  addChartCommand(program);
  addCaptionsCommand(program);
  addCapCommand(program);
  addInspectCommand(program);
  addInitCommand(program);
  addSchemaCommand(program);
  addExplainCommand(program);
  addCompletionCommand(program);
  for (const command of program.commands) {
    const name = `runjury ${command.name()}`;
    command.exitOverride().showHelpAfterError(`(usage: ${name} ${command.usage()}; see ${name} --help)`);
  }
  for (const command of [program, ...program.commands]) addExamples(command);
  return program;
}

function errorLine(text: string): string {
  const { width } = problemStyleOf(process.stderr);
  return width == null ? visible(text) : wrapText(visible(text), width, "  ");
}

async function report(error: unknown): Promise<number> {
  if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
  if (error instanceof RunError) {
    const { renderProblems } = await import("../report/describe-problem.ts");
    process.stderr.write(renderProblems(error.problems, problemStyleOf(process.stderr)));
    return 2;
  }
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  const shown = process.env.RUNJURY_DEBUG === undefined ? "" : `${stack}\n`;
  const message = error instanceof Error ? error.message : String(error);
  process.stderr.write(`runjury: error: this is a fault of runjury itself: ${JSON.stringify(message)}\n`);
  process.stderr.write(shown === "" ? "  set RUNJURY_DEBUG=1 to see where\n" : shown);
  return 2;
}
