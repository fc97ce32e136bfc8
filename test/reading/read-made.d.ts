import type { LogReading, LogSettings } from "../../src/read/log.ts";

export type Outcome = "right" | "asked in doubt" | "asked without need" | "refused" | "wrong in silence";

export function readMade(
  readLog: (source: never, settings: LogSettings) => Promise<LogReading>,
  seed: number,
): Promise<{
  readonly made: { readonly traits: readonly string[] };
  readonly outcome: Outcome;
  readonly why: string;
}>;
