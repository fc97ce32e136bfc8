import { Argument, type Command } from "commander";
import { writeResult } from "../output.ts";

const shells = ["bash", "zsh", "fish"] as const;

export function addCompletionCommand(program: Command): void {
  program
    .command("completion")
    .addArgument(new Argument("<shell>", "the shell that the script is for").choices(shells))
    .description("script with which a shell completes commands, options and their values")
    .action(async (shell: (typeof shells)[number]) => {
      const [{ commandShapes }, { bashScript }, { zshScript }, { fishScript }, { allPages }] =
        await Promise.all([
          import("../completion/command-shapes.ts"),
          import("../completion/bash-script.ts"),
          import("../completion/zsh-script.ts"),
          import("../completion/fish-script.ts"),
          import("../../report/explain/find-pages.ts"),
        ]);
      const codes = [...new Set(["method", ...allPages.map(({ code }) => code)])];
      const shapes = commandShapes(program, { code: codes });
      const scripts = { bash: bashScript, zsh: zshScript, fish: fishScript };
      await writeResult(scripts[shell](program.name(), shapes, "judge"), undefined);
    });
}
