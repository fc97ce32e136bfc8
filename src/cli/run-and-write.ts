import { type Hooks, type Problem, renderProblems, type Style } from "../index.ts";
import type { Format, RawOptions } from "./options.ts";
import { styleOf, writeResult } from "./output.ts";
import { progressLine } from "./progress.ts";

/** A result that knows how to become text in each format. */
export interface Rendering {
  readonly problems: readonly Problem[];
  readonly render: Readonly<Record<Format, (style: Style) => string>>;
}

/** One library call, one renderer, one stream: what every command that reads a folder does. */
export async function runAndWrite(
  raw: Pick<RawOptions, "format" | "output" | "quiet">,
  run: (hooks: Hooks) => Promise<Rendering>,
): Promise<void> {
  const progress = progressLine(process.stderr, raw.quiet === true);
  let rendering: Rendering;
  try {
    rendering = await run(progress.hooks);
  } finally {
    progress.stop();
  }
  // Errors are never silenced: a log that was left out can change the answer.
  const told = rendering.problems.filter(({ severity }) => raw.quiet !== true || severity === "error");
  process.stderr.write(renderProblems(told, styleOf(process.stderr)));
  const style = raw.output === undefined ? styleOf(process.stdout) : { width: 80, color: false };
  await writeResult(rendering.render[raw.format](style), raw.output);
}
