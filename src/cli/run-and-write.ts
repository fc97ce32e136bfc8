import path from "node:path";
import type { Hooks, Problem, Style } from "../index.ts";
import { visible } from "../report/escape.ts";
import type { Format, RawOptions } from "./options.ts";
import { refuseCapture, styleOf, writeResult } from "./output.ts";
import { progressLine } from "./progress.ts";
import { tellProblems } from "./tell-problems.ts";

/** A result that knows how to become text in each format. */
export interface Rendering<Form extends string = Format> {
  readonly problems: readonly Problem[];
  readonly render: Readonly<Partial<Record<Form, (style: Style) => string | Uint8Array>>>;
  /** Other than 0: a gate failed, or what was asked could not be done, though there is something to show. */
  readonly exitCode?: 0 | 1 | 2;
  /** One line for standard error. */
  readonly summary?: string;
}

/** One library call, one renderer, one stream: what every command that reads a folder does. */
export async function runAndWrite<Form extends string = Format>(
  raw: Pick<RawOptions, "output" | "quiet"> & { readonly format: Form },
  run: (hooks: Hooks) => Promise<Rendering<Form>>,
): Promise<void> {
  const progress = await progressLine(process.stderr, raw.quiet === true);
  let rendering: Rendering<Form>;
  try {
    const onLogs = (files: readonly string[]): void => refuseCapture(files, raw.output);
    rendering = await run({ ...progress.hooks, onLogs });
  } finally {
    progress.stop();
  }
  await tellProblems(rendering.problems, raw.quiet === true);
  const style = raw.output === undefined ? styleOf(process.stdout) : { width: 80, color: false };
  const render = rendering.render[raw.format];
  if (render === undefined) throw new Error(`no rendering as ${raw.format}`);
  await writeResult(render(style), raw.output);
  // Somebody who waits at a terminal sees that it is done.
  if (raw.output !== undefined && raw.quiet !== true && process.stderr.isTTY)
    process.stderr.write(`${visible(path.normalize(raw.output))} was written\n`);
  if (rendering.summary !== undefined) process.stderr.write(`${rendering.summary}\n`);
  if (rendering.exitCode !== undefined) process.exitCode = rendering.exitCode;
}
