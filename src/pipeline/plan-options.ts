import type { StatedNoise } from "../judge/planned-noise.ts";
import { defaultStopRule } from "../judge/stop-rule.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import { type PlanFinding, RunError } from "../shared/problem.ts";
import type { FolderOptions } from "./folder-options.ts";

/** What may be asked of a plan. */
export interface PlanOptions extends Omit<FolderOptions, "only"> {
  /** Names, or a number where no folder names them. */
  readonly games?: readonly string[] | number;
  readonly configs?: readonly string[] | number;
  /** Noise of a pass that is known without captures, such as "1% low 2%" or, of one game, "saltworks: 1% low 2%"; it wins over what captures show. */
  readonly noise?: readonly string[];
  /** What a boot adds to it, written alike. */
  readonly bootNoise?: readonly string[];
  readonly metrics?: readonly Metric[];
  /** The difference to show; what matters, where not given. */
  readonly differencePct?: number;
  /** Chance to show it; 80 where not given. */
  readonly chancePct?: number;
  readonly passes?: number;
  readonly boots?: number;
  readonly hours?: number;
  readonly leastPasses?: number;
  readonly mostPasses?: number;
  /** What a pass costs, set-up included; its length in the pilot and `setupMinutes` where not given. */
  readonly passMinutes?: number;
  readonly setupMinutes?: number;
  readonly switchMinutes?: number;
  /** Makes a run sheet, which needs a seed. */
  readonly sheet?: boolean;
  /** The whole number that its order comes from. */
  readonly seed?: number;
}

/** What stands in the way of a plan. */
export function planRefused(...findings: readonly PlanFinding[]): RunError {
  return new RunError(findings.map((finding) => ({ severity: "error", at: { file: "" }, ...finding })));
}

/** Options that do not go together, before anything is read. */
export function findClashes(
  folder: string | null,
  options: PlanOptions,
  noise: readonly StatedNoise[],
): PlanFinding[] {
  const { passes, boots, hours, leastPasses, mostPasses } = options;
  const clashes: PlanFinding[] = [];
  const clash = (is: boolean, one: string, other: string, why: string): void => {
    if (is) clashes.push({ code: "plan-options-clash", options: [one, other], why });
  };
  const isGiven = (value: unknown): boolean => value !== undefined;
  clash(isGiven(passes) && isGiven(hours), "--passes", "--hours", "one says how many, the other how long");
  clash(
    isGiven(passes) && isGiven(leastPasses),
    "--passes",
    "--least-passes",
    "one says exactly how many, the other at least how many",
  );
  clash(
    isGiven(passes) && isGiven(mostPasses),
    "--passes",
    "--most-passes",
    "one says exactly how many, the other at most how many",
  );
  clash(
    isGiven(options.passMinutes) && isGiven(options.setupMinutes),
    "--pass-time",
    "--setup-time",
    "the first has the set-up in it",
  );
  clash(
    leastOf(options) > mostOf(options),
    "--least-passes",
    "--most-passes",
    `at least ${leastOf(options)} and at most ${mostOf(options)}`,
  );
  if (boots !== undefined) {
    clash(
      passes !== undefined && passes % boots !== 0,
      "--passes",
      "--boots",
      `${passes} passes cannot be shared out evenly among ${boots} boots`,
    );
    clash(
      passes === undefined && boots > mostOf(options),
      "--boots",
      "--most-passes",
      "every boot has a pass of every game",
    );
  }
  for (const [kind, names] of [["games", options.games] as const, ["configs", options.configs] as const]) {
    clash(
      folder !== null && typeof names === "number",
      `--${kind} ${names}`,
      "a folder",
      "the folder names them",
    );
    if (folder === null && names === undefined) clashes.push({ code: "plan-names-missing", kind });
  }
  if (options.seed !== undefined && options.sheet !== true)
    clashes.push({ code: "plan-option-alone", option: "--seed", needs: "--sheet" });
  if (folder === null) {
    const wanted = options.metrics ?? [];
    const without = wanted.filter((metric) => !noise.some((own) => own.metric === metric));
    if (noise.length === 0 || without.length > 0) {
      const missing = (without.length > 0 ? without : (["avgFps", "low1Fps"] as const)).map(
        (metric) => metricLabel[metric],
      );
      clashes.push({ code: "plan-noise-missing", metrics: missing });
    }
  }
  return clashes;
}

/** Passes that every cell gets. */
export function leastOf({ leastPasses, mostPasses }: PlanOptions): number {
  return leastPasses ?? Math.min(defaultStopRule.leastPasses, mostPasses ?? defaultStopRule.leastPasses);
}

/** Passes that no cell goes beyond. */
export function mostOf({ leastPasses, mostPasses }: PlanOptions): number {
  return mostPasses ?? Math.max(defaultStopRule.mostPasses, leastPasses ?? defaultStopRule.mostPasses);
}
