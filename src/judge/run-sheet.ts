import { uniformInt } from "pure-rand/distribution/uniformInt";
import { xoroshiro128plus } from "pure-rand/generator/xoroshiro128plus";
import type { SessionPlan } from "./plan-session.ts";

/** One thing to do: get the machine into a config, or capture a pass. */
export type SheetStep =
  | {
      readonly step: number;
      readonly kind: "switch";
      readonly config: string;
      readonly boot: string;
      /** The baseline once more, as a check for drift. */
      readonly isRepeat: boolean;
    }
  | {
      readonly step: number;
      readonly kind: "capture";
      readonly round: number;
      readonly game: string;
      readonly config: string;
      readonly boot: string;
      readonly pass: string;
    };

export interface RunSheet {
  readonly seed: number;
  /** Configs stay together because changing one costs a reboot. */
  readonly isRestricted: boolean;
  readonly steps: readonly SheetStep[];
}

type StepDraft = SheetStep extends infer Step ? (Step extends SheetStep ? Omit<Step, "step"> : never) : never;

/**
 * The order of a planned session, by chance within rounds so that what changes over an evening (warming up, drift)
 * falls on all alike. Where changing a config means a reboot, configs are shuffled as blocks, one block each per round
 * of boots, and games within a block; a config with a single boot has its baseline captured once more at the end.
 * @param seed a whole number; the same seed gives the same sheet
 * @see randomised complete blocks: Fisher 1935, The Design of Experiments, chapter 4 (from memory)
 */
export function makeRunSheet(
  plan: SessionPlan,
  { configs, baseline }: { readonly configs: readonly string[]; readonly baseline: string },
  seed: number,
): RunSheet {
  const random = xoroshiro128plus(seed);
  const shuffle = <T>(items: readonly T[]): T[] => {
    const mixed = [...items];
    // Fisher & Yates, as Durstenfeld 1964 wrote it.
    for (let last = mixed.length - 1; last > 0; last--) {
      const other = uniformInt(random, 0, last);
      [mixed[last], mixed[other]] = [mixed[other] as T, mixed[last] as T];
    }
    return mixed;
  };
  const isRestricted = plan.switches > 0;
  const blocks = isRestricted ? blocksOf(plan, configs, baseline, shuffle) : roundsOf(plan, configs, shuffle);
  return { seed, isRestricted, steps: blocks.map((step, i) => ({ step: i + 1, ...step })) };
}

type Shuffle = <T>(items: readonly T[]) => T[];

/** Every round has every game under every config that still needs a pass. */
function roundsOf({ games }: SessionPlan, configs: readonly string[], shuffle: Shuffle): StepDraft[] {
  return rounds(games).flatMap((round) => {
    const cells = games
      .filter(({ passes }) => passes >= round)
      .flatMap(({ game }) => configs.map((config) => ({ game, config })));
    return shuffle(cells).map(
      (cell): StepDraft => ({ kind: "capture", round, ...cell, boot: "boot-1", pass: `pass-${round}` }),
    );
  });
}

function blocksOf(
  { boots, games, isBaselineRepeated }: SessionPlan,
  configs: readonly string[],
  baseline: string,
  shuffle: Shuffle,
): StepDraft[] {
  const steps: StepDraft[] = [];
  for (let number = 1; number <= boots; number++) {
    const boot = `boot-${number}`;
    let order = shuffle(configs);
    // Two blocks of the baseline in a row would check nothing.
    while (isBaselineRepeated && order.at(-1) === baseline) order = shuffle(configs);
    for (const config of order) {
      steps.push({ kind: "switch", config, boot, isRepeat: false });
      const perBoot = games.map(({ game, passesPerBoot }) => ({ game, passes: passesPerBoot }));
      for (const round of rounds(perBoot)) {
        const left = perBoot.filter(({ passes }) => passes >= round);
        for (const { game } of shuffle(left)) {
          steps.push({ kind: "capture", round, game, config, boot, pass: `pass-${round}` });
        }
      }
    }
  }
  if (!isBaselineRepeated) return steps;
  steps.push({ kind: "switch", config: baseline, boot: "boot-2", isRepeat: true });
  for (const { game, passes } of shuffle(games)) {
    const pass = `pass-${passes + 1}`;
    steps.push({ kind: "capture", round: passes + 1, game, config: baseline, boot: "boot-2", pass });
  }
  return steps;
}

function rounds(games: readonly { readonly passes: number }[]): number[] {
  return Array.from({ length: Math.max(...games.map(({ passes }) => passes)) }, (_, i) => i + 1);
}
