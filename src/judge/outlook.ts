import type { Metric } from "../shared/metrics.ts";
import { pctOfLog } from "./log-scale.ts";
import { metricGroups } from "./metric-groups.ts";
import { smallestEnough } from "./plan-passes.ts";
import type { PlannedNoise } from "./planned-noise.ts";
import { PlannedTest } from "./planned-test.ts";
import { logMargin } from "./verdict.ts";

/** What every comparison of a plan is asked. Percentages are percent. */
export interface OutlookSettings {
  readonly games: readonly string[];
  readonly configs: readonly string[];
  readonly differencePct: number;
  readonly mattersPct: number;
  readonly confidencePct: number;
  readonly chancePct: number;
}

/** What a number of boots and passes will show of one comparison. */
export interface Shown {
  /** The smallest difference shown with the chance wanted; null where none within reason is. */
  readonly resolvesPct: number | null;
  readonly chancePct: number;
  readonly chanceOfSamePct: number;
}

/** With two boots, or two passes, chances are too rough to plan by. */
export const leastUnits = 3;
/** Nobody makes more passes of one cell. */
const mostSearched = 100;

/** What comparisons of one metric and one noise will show, whatever is captured. Answers are kept. */
export class Outlook {
  readonly noise: PlannedNoise;
  readonly #settings: OutlookSettings;
  readonly #alpha: number;
  readonly #alphaAlone: number;
  readonly #needed = new Map<number, number | null>();
  readonly #shown = new Map<string, Shown>();

  constructor(metric: Metric, noise: PlannedNoise, settings: OutlookSettings) {
    this.noise = noise;
    this.#settings = settings;
    this.#alpha = 1 - settings.confidencePct / 100;
    this.#alphaAlone = this.#alpha / familySize(metric, settings);
  }

  /** Passes per boot that show the difference wanted with its chance; null where up to 100 passes do not. */
  needed(boots: number): number | null {
    const known = this.#needed.get(boots);
    if (known !== undefined) return known;
    const { chancePct, differencePct } = this.#settings;
    const needed = searchPasses(
      boots,
      (perBoot) => this.#chance(boots, perBoot, differencePct) >= chancePct / 100,
    );
    this.#needed.set(boots, needed);
    return needed;
  }

  /** Passes per boot that give `same` with that chance where nothing differs. */
  neededForSame(boots: number): number | null {
    return searchPasses(
      boots,
      (perBoot) => this.#chanceOfSame(boots, perBoot) >= this.#settings.chancePct / 100,
    );
  }

  shown(boots: number, perBoot: number): Shown {
    const key = `${boots} ${perBoot}`;
    const known = this.#shown.get(key);
    if (known !== undefined) return known;
    const { chancePct, differencePct } = this.#settings;
    const { standardError, units } = this.#precision(boots, perBoot);
    const test = new PlannedTest(units, this.noise.prior(units), this.#alphaAlone);
    const smallest = test.smallestShown(chancePct / 100);
    const shown = {
      resolvesPct: smallest === null ? null : pctOfLog(smallest * standardError),
      chancePct: 100 * this.#chance(boots, perBoot, differencePct),
      chanceOfSamePct: 100 * this.#chanceOfSame(boots, perBoot),
    };
    this.#shown.set(key, shown);
    return shown;
  }

  #chance(boots: number, perBoot: number, differencePct: number): number {
    const { standardError, units } = this.#precision(boots, perBoot);
    const test = new PlannedTest(units, this.noise.prior(units), this.#alphaAlone);
    return test.chanceToShow(logMargin(differencePct) / standardError);
  }

  #chanceOfSame(boots: number, perBoot: number): number {
    const { standardError, units } = this.#precision(boots, perBoot);
    const test = new PlannedTest(units, this.noise.prior(units), this.#alpha);
    return test.chanceOfSame(logMargin(this.#settings.mattersPct) / standardError);
  }

  /** From two boots on their means are the independent values, as in a judgement. */
  #precision(boots: number, perBoot: number): { units: number; standardError: number } {
    const { passVariance, bootVariance } = this.noise;
    const units = boots === 1 ? perBoot : boots;
    const variance = boots === 1 ? passVariance : (bootVariance ?? 0) + passVariance / perBoot;
    return { units, standardError: Math.sqrt((2 * variance) / units) };
  }
}

function searchPasses(boots: number, isEnough: (perBoot: number) => boolean): number | null {
  return smallestEnough(boots === 1 ? leastUnits : 1, Math.floor(mostSearched / boots), isEnough);
}

/**
 * Comparisons whose false alarms are held together. A difference that is the only one there is needs a p of alpha over
 * this number, in either way of control: the hardest case.
 */
function familySize(metric: Metric, { games, configs }: OutlookSettings): number {
  const group = metricGroups.find((own) => own.includes(metric)) as readonly Metric[];
  return group.length * (configs.length - 1) * games.length;
}
