import { counted } from "../shared/counted.ts";
import { formatCount, formatPct } from "../shared/format-number.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import { powerCaution } from "../shared/power-caution.ts";
import type { FalseAlarmControl } from "./control-false-alarms.ts";
import type { Caution } from "./judgement.ts";
import type { PlannedComparison, SessionPlan } from "./plan-session.ts";
import type { RunSheet, SheetStep } from "./run-sheet.ts";

/** A run sheet whose captures have the names of their files. */
export interface NamedSheet extends Omit<RunSheet, "steps"> {
  readonly layout: string;
  /** Where the layout has no place for boots: what session.yaml must say of it. */
  readonly isLayoutNew: boolean;
  readonly steps: readonly (SheetStep & {
    /** null for a change of config. */
    readonly file: string | null;
  })[];
}

/** All that planning says. It is the JSON of `plan --format json`, key for key. */
export interface Plan {
  readonly format: "runjury.plan/1";
  readonly session: {
    readonly title: string | null;
    readonly baseline: string;
    readonly games: readonly string[];
    readonly configs: readonly string[];
    readonly metrics: readonly Metric[];
    readonly lows: LowsDefinition;
    readonly differencePct: number;
    readonly mattersPct: number;
    readonly confidencePct: number;
    readonly falseAlarmControl: FalseAlarmControl;
    readonly chancePct: number;
    readonly leastPasses: number;
    readonly mostPasses: number;
    readonly switchMinutes: number;
    /** The time that was given; null where none was. */
    readonly budgetMinutes: number | null;
  };
  /** The captures that the noise comes from; null where all of it was stated. */
  readonly pilot: { readonly passes: number; readonly counted: number } | null;
  readonly plan: Omit<SessionPlan, "comparisons">;
  readonly comparisons: readonly PlannedComparison[];
  readonly cautions: readonly Caution[];
  readonly sheet: NamedSheet | null;
}

/** What limits a plan. */
export function planCautions(plan: Omit<Plan, "cautions">): Caution[] {
  const { comparisons, session } = plan;
  const { boots, games, isBaselineRepeated } = plan.plan;
  const cautions: Caution[] = [];
  const count = (is: (comparison: PlannedComparison) => boolean): number => comparisons.filter(is).length;
  const add = (code: string, isTrue: boolean, text: string): void => {
    if (isTrue) cautions.push({ code, text });
  };
  const unknown = count(({ noiseFrom }) => noiseFrom === null);
  const borrowed = count(({ noiseFrom }) => noiseFrom === "other-games");
  add(
    "noise-unknown",
    unknown > 0,
    `The noise of ${counted(unknown, "comparison")} is not known, so nothing is planned for ${unknown === 1 ? "it" : "them"}: capture three passes of one of the cells, or state the noise.`,
  );
  add(
    "noise-borrowed",
    borrowed > 0,
    `The noise of ${counted(borrowed, "comparison")} is taken from other games or configs: no two passes of its own show it.`,
  );
  add(
    "noise-estimated",
    count(({ noiseFrom }) => noiseFrom === "pilot" || noiseFrom === "other-games") > 0,
    "The noise is itself an estimate from few passes: take what is said of chances and differences as rough.",
  );
  add(
    "few-units",
    boots === 1 ? games.some(({ passes }) => passes < 3) : boots < 3,
    `With fewer than three ${boots === 1 ? "passes" : "boots"} the chances are too optimistic.`,
  );
  const far = count(
    ({ noiseFrom, passesNeeded }) =>
      noiseFrom !== null && (passesNeeded === null || passesNeeded > session.mostPasses),
  );
  add(
    "out-of-reach",
    far > 0,
    `${far > 1 && far === comparisons.length ? "All " : ""}${counted(far, "comparison")} would need more than ${formatCount(session.mostPasses)} passes per config, the most that is planned (--most-passes): ${
      far === comparisons.length
        ? `this plan will hardly show a difference of ${formatPct(session.differencePct)}.`
        : "the plan is made for the others."
    }`,
  );
  add(
    "one-boot",
    isBaselineRepeated,
    "Each config gets one boot, so what a boot changes will look like what the config changes. The baseline is repeated at the end to show drift; only several boots per config show their noise (--boots 3).",
  );
  add(
    "boot-noise-unknown",
    boots > 1 && count(({ noiseFrom, bootNoisePct }) => noiseFrom !== null && bootNoisePct === null) > 0,
    'How much boots differ is not known and reckoned as nothing, so that the chances are too optimistic; state it with --boot-noise, such as "1% low 1%".',
  );
  cautions.push({ code: "power-limits", text: powerCaution });
  return cautions;
}
