import type { Problem } from "../index.ts";
import { problemStyleOf } from "./output.ts";

/** Problems on standard error. Errors are never silenced: a log that was left out can change the answer. */
export async function tellProblems(problems: readonly Problem[], isQuiet: boolean): Promise<void> {
  const told = problems.filter(({ severity }) => !isQuiet || severity === "error");
  if (told.length === 0) return;
  const { renderProblems } = await import("../report/describe-problem.ts");
  process.stderr.write(renderProblems(told, problemStyleOf(process.stderr)));
}
