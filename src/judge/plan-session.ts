import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import { type AskedComparison, neededPasses } from "./asked-passes.ts";
import { bestPassesPerBoot } from "./boot-noise.ts";
import { verdictKey } from "./judge-columns.ts";
import { leastUnits, Outlook } from "./outlook.ts";
import { expectedPrecision } from "./plan-passes.ts";
import type { NoiseOf, NoiseSource, PlannedNoise } from "./planned-noise.ts";
import { askPasses, type PassesAsked, type StopReason } from "./stop-rule.ts";

/** What is to be planned. Percentages are percent, times minutes. */
export interface PlanSettings {
  readonly title: string | null;
  readonly baseline: string;
  readonly games: readonly string[];
  /** The baseline first. */
  readonly configs: readonly string[];
  readonly lows: LowsDefinition;
  /** Metrics that are to be settled. */
  readonly metrics: readonly Metric[];
  /** The difference that is to be shown where there is one. */
  readonly differencePct: number;
  readonly mattersPct: number;
  readonly confidencePct: number;
  /** Chance that it is shown. */
  readonly chancePct: number;
  readonly leastPasses: number;
  /** No cell is planned beyond this: what needs more is out of reach. */
  readonly mostPasses: number;
  readonly amount:
    | { readonly kind: "needed" }
    | { readonly kind: "passes"; readonly passes: number }
    | { readonly kind: "time"; readonly minutes: number };
  /** Boots per config, where they are given. */
  readonly boots: number | null;
  /** What a pass of this game costs, set-up included. */
  readonly passMinutes: (game: string) => number;
  /** Getting the machine into another config, such as a reboot. */
  readonly switchMinutes: number;
}

/** One game, config and metric against the baseline, as it is planned. */
export interface PlannedComparison {
  readonly game: string;
  readonly config: string;
  readonly against: string;
  readonly metric: Metric;
  /** Noise of one pass, one standard deviation; null where nobody knows. */
  readonly noisePct: number | null;
  readonly noiseFrom: NoiseSource | null;
  /** Noise of a boot beside it; null where that is unknown. */
  readonly bootNoisePct: number | null;
  /** Passes per boot that make the most of the time, not rounded; null where the levels are not known or boots add nothing. */
  readonly bestPassesPerBoot: number | null;
  /** Passes per config, in the boots planned, that show the difference; null where more than 100 are needed. */
  readonly passesNeeded: number | null;
  /** The same for `same` where nothing differs. */
  readonly passesForSame: number | null;
  /** Passes per config that are planned. */
  readonly passes: number;
  /** With these: the smallest difference that is shown with the chance wanted, ... */
  readonly resolvesPct: number | null;
  /** ... the chance to show the difference wanted, ... */
  readonly chancePct: number | null;
  /** ... and the chance of `same` where nothing differs. */
  readonly chanceOfSamePct: number | null;
  /** The difference is shown with the chance wanted. */
  readonly isReached: boolean;
  /** Passes per config after which following the session asks for no more of it, and why; null with several boots. */
  readonly passesInFollow: number | null;
  readonly stopInFollow: StopReason | null;
}

export interface PlannedGame {
  readonly game: string;
  readonly passesPerBoot: number;
  /** Per config. */
  readonly passes: number;
  readonly minutesPerPass: number;
}

/** A session planned: how many passes of what, what they will show, and how long they take. */
export interface SessionPlan {
  readonly boots: number;
  readonly games: readonly PlannedGame[];
  readonly comparisons: readonly PlannedComparison[];
  /** Captures in all, those that repeat the baseline included. */
  readonly captures: number;
  readonly switches: number;
  /** At the end the baseline is captured once more, as a check for drift: where each config has one boot. */
  readonly isBaselineRepeated: boolean;
  readonly minutes: number;
  /** Captures after which following the session says that it is enough; null with several boots, or unknown noise. */
  readonly capturesInFollow: number | null;
}

/** Less than what was given cannot be planned: the least there is takes so long. */
export interface TooLittleTime {
  readonly leastMinutes: number;
  readonly captures: number;
}

const mostBoots = 10;

/**
 * Plans a session. Every config of a game gets the same number of passes. Where the noise of boots is known, boots and
 * passes per boot are balanced: of all numbers of boots the plan that shows most is taken, then the quickest (the
 * optimum of Kalibera & Jones 2013 in whole numbers, all games sharing the boots). With a time given, what settles most
 * comparisons for its minutes comes first.
 * @param asked what a pilot's own first passes ask for when the session is followed; noise that is stated asks otherwise
 */
export function planSession(
  noiseOf: NoiseOf,
  settings: PlanSettings,
  asked: readonly AskedComparison[] = [],
): SessionPlan | TooLittleTime {
  const rows = rowsOf(noiseOf, settings, asked);
  const drafts = bootsToTry(rows, settings).map((boots) => new Draft(boots, rows, settings));
  const { amount } = settings;
  for (const draft of drafts) {
    if (amount.kind === "passes") draft.setAll(Math.max(1, amount.passes / draft.boots));
    else draft.fill(amount.kind === "time" ? amount.minutes : Number.POSITIVE_INFINITY);
  }
  const fitting =
    amount.kind === "time" ? drafts.filter((draft) => draft.minutes() <= amount.minutes) : drafts;
  const best = fitting.sort(compareDrafts)[0];
  if (best !== undefined) return best.plan();
  const least = drafts.sort((a, b) => a.minutes() - b.minutes())[0] as Draft;
  return { leastMinutes: least.minutes(), captures: least.captures() };
}

function bootsToTry(rows: readonly Row[], { boots, mostPasses, amount }: PlanSettings): number[] {
  if (boots !== null) return [boots];
  if (rows.every(({ outlook }) => (outlook?.noise.bootVariance ?? null) === null)) return [1];
  const most = amount.kind === "passes" ? amount.passes : Math.min(mostBoots, mostPasses);
  const all = Array.from({ length: Math.max(0, most - leastUnits + 1) }, (_, i) => leastUnits + i);
  const whole = all.filter((count) => amount.kind !== "passes" || amount.passes % count === 0);
  return whole.length > 0 ? whole : [most];
}

/** What shows more comes first, then what is quicker. */
function compareDrafts(a: Draft, b: Draft): number {
  return b.reached() - a.reached() || a.minutes() - b.minutes() || a.boots - b.boots;
}

/** A comparison; without an outlook nobody knows its noise. */
interface Row {
  readonly game: string;
  readonly config: string;
  readonly metric: Metric;
  readonly outlook: Outlook | null;
  /** What it asks for when the session is followed. */
  readonly asked: PassesAsked | null;
}

function rowsOf(noiseOf: NoiseOf, settings: PlanSettings, asked: readonly AskedComparison[]): Row[] {
  const ofPilot = new Map(asked.map((own) => [verdictKey(own), own]));
  const outlooks = new Map<PlannedNoise, Outlook>();
  const outlookOf = (metric: Metric, noise: PlannedNoise): Outlook => {
    const outlook = outlooks.get(noise) ?? new Outlook(metric, noise, settings);
    outlooks.set(noise, outlook);
    return outlook;
  };
  return settings.games.flatMap((game) =>
    settings.configs
      .filter((config) => config !== settings.baseline)
      .flatMap((config) =>
        settings.metrics.map((metric) => {
          const noise = noiseOf(game, config, metric);
          if (noise === null) return { game, config, metric, outlook: null, asked: null };
          const known =
            noise.source === "stated" ? undefined : ofPilot.get(verdictKey({ game, config, metric }));
          return {
            game,
            config,
            metric,
            outlook: outlookOf(metric, noise),
            asked: known ?? expectAsked(noise, settings),
          };
        }),
      ),
  );
}

/** What first passes would ask for, were the noise that they show the one planned with. */
function expectAsked({ passVariance, prior }: PlannedNoise, settings: PlanSettings): PassesAsked {
  const { leastPasses } = settings;
  const noise = { variance: passVariance, priorDf: prior(leastPasses).priorDf };
  const { df } = expectedPrecision(leastPasses, noise);
  return askPasses({ variance: passVariance, degreesOfFreedom: df }, settings, settings);
}

function planRow(
  { game, config, metric, outlook, asked }: Row,
  boots: number,
  perBoot: number,
  { baseline, chancePct }: PlanSettings,
  minutes: { readonly boot: number; readonly pass: number },
): PlannedComparison {
  const followed = boots === 1 ? asked : null;
  const base = {
    game,
    config,
    against: baseline,
    metric,
    passes: boots * perBoot,
    passesInFollow: followed?.passes ?? null,
    stopInFollow: followed?.stop ?? null,
  };
  if (outlook === null || base.passes < 2) {
    const unknown = { noisePct: null, noiseFrom: null, bootNoisePct: null, bestPassesPerBoot: null };
    const none = { passesNeeded: null, passesForSame: null, resolvesPct: null };
    return { ...base, ...unknown, ...none, chancePct: null, chanceOfSamePct: null, isReached: false };
  }
  const { passVariance, bootVariance, source } = outlook.noise;
  const shown = outlook.shown(boots, perBoot);
  const pct = (variance: number): number => 100 * Math.sqrt(variance);
  const times = (passes: number | null): number | null => (passes === null ? null : passes * boots);
  return {
    ...base,
    noisePct: pct(passVariance),
    noiseFrom: source,
    bootNoisePct: bootVariance === null ? null : pct(bootVariance),
    bestPassesPerBoot:
      bootVariance === null || bootVariance === 0
        ? null
        : bestPassesPerBoot({ pass: passVariance, boot: bootVariance }, minutes),
    passesNeeded: times(outlook.needed(boots)),
    passesForSame: times(outlook.neededForSame(boots)),
    ...shown,
    isReached: shown.chancePct >= chancePct,
  };
}

/** A plan with a fixed number of boots, whose games still may get more passes. */
class Draft {
  readonly boots: number;
  readonly #rows: readonly Row[];
  readonly #settings: PlanSettings;
  readonly #perBoot: Map<string, number>;
  /** Per row, passes per boot that it needs, where that is within reach. */
  readonly #needs: ReadonlyMap<Row, number | null>;

  constructor(boots: number, rows: readonly Row[], settings: PlanSettings) {
    this.boots = boots;
    this.#rows = rows;
    this.#settings = settings;
    this.#perBoot = new Map(settings.games.map((game) => [game, Math.ceil(settings.leastPasses / boots)]));
    this.#needs = new Map(
      rows.map((row) => {
        const needed = row.outlook?.needed(boots) ?? null;
        return [row, needed !== null && needed <= this.#most() ? needed : null];
      }),
    );
  }

  setAll(perBoot: number): void {
    for (const game of this.#perBoot.keys()) this.#perBoot.set(game, perBoot);
  }

  /**
   * Gives games what they need while the time lasts, first whatever settles most comparisons for its minutes; the rest
   * goes evenly to the games with comparisons that are left.
   */
  fill(minutes: number): void {
    for (;;) {
      const offers = this.#offers().sort((a, b) => a.minutesEach - b.minutesEach);
      if (!offers.some(({ game, perBoot }) => this.#tryOut(game, perBoot, minutes))) break;
    }
    if (Number.isFinite(minutes)) this.#spend(minutes);
  }

  /** Passes that would settle more comparisons of a game, and what each of those would cost. */
  #offers(): { game: string; perBoot: number; minutesEach: number }[] {
    return [...this.#perBoot].flatMap(([game, now]) => {
      const open = this.#rows
        .filter((row) => row.game === game && !this.#isReached(row))
        .flatMap((row) => this.#needs.get(row) ?? []);
      return [...new Set(open)].map((perBoot) => {
        const settled = open.filter((needed) => needed <= perBoot).length;
        return { game, perBoot, minutesEach: ((perBoot - now) * this.#roundMinutes(game)) / settled };
      });
    });
  }

  #spend(minutes: number): void {
    const open = new Set(this.#rows.filter((row) => !this.#isReached(row)).map(({ game }) => game));
    while (open.size > 0) {
      const fewest = [...open].sort(
        (a, b) => (this.#perBoot.get(a) as number) - (this.#perBoot.get(b) as number),
      );
      const game = fewest[0] as string;
      const more = (this.#perBoot.get(game) as number) + 1;
      if (more > this.#most() || !this.#tryOut(game, more, minutes)) open.delete(game);
    }
  }

  /** Sets a game's passes unless that takes too long. */
  #tryOut(game: string, perBoot: number, minutes: number): boolean {
    const before = this.#perBoot.get(game) as number;
    this.#perBoot.set(game, perBoot);
    if (this.minutes() <= minutes) return true;
    this.#perBoot.set(game, before);
    return false;
  }

  #most(): number {
    return Math.max(1, Math.floor(this.#settings.mostPasses / this.boots));
  }

  #isReached(row: Row): boolean {
    const needed = this.#needs.get(row) ?? null;
    return needed !== null && needed <= (this.#perBoot.get(row.game) as number);
  }

  reached(): number {
    return this.#rows.filter((row) => this.#isReached(row)).length;
  }

  /** One more pass of a game in every boot of every config. */
  #roundMinutes(game: string): number {
    return this.boots * this.#settings.configs.length * this.#settings.passMinutes(game);
  }

  #isBaselineRepeated(): boolean {
    return this.boots === 1 && this.#settings.switchMinutes > 0;
  }

  #followed(): number | null {
    const { games, configs, baseline, leastPasses } = this.#settings;
    const asked = this.#rows.flatMap(({ asked: own, ...row }) => (own === null ? [] : [{ ...row, ...own }]));
    if (this.boots > 1 || asked.length < this.#rows.length) return null;
    const needed = neededPasses(asked, baseline, this.#settings);
    const rest = games.length * configs.length - needed.size;
    return [...needed.values()].reduce((sum, passes) => sum + passes, rest * leastPasses);
  }

  #switches(): number {
    const { configs, switchMinutes } = this.#settings;
    if (switchMinutes === 0 && this.boots === 1) return 0;
    return this.boots * configs.length + (this.#isBaselineRepeated() ? 1 : 0);
  }

  captures(): number {
    const passes = [...this.#perBoot.values()].reduce((sum, perBoot) => sum + perBoot * this.boots, 0);
    return passes * this.#settings.configs.length + (this.#isBaselineRepeated() ? this.#perBoot.size : 0);
  }

  minutes(): number {
    const { passMinutes, switchMinutes } = this.#settings;
    let sum = this.#switches() * switchMinutes;
    for (const [game, perBoot] of this.#perBoot) {
      sum += perBoot * this.#roundMinutes(game) + (this.#isBaselineRepeated() ? passMinutes(game) : 0);
    }
    return sum;
  }

  plan(): SessionPlan {
    const { passMinutes, switchMinutes } = this.#settings;
    const games = [...this.#perBoot].map(([game, passesPerBoot]) => ({
      game,
      passesPerBoot,
      passes: passesPerBoot * this.boots,
      minutesPerPass: passMinutes(game),
    }));
    const minutes = {
      boot: switchMinutes,
      pass: games.reduce((sum, { minutesPerPass }) => sum + minutesPerPass, 0),
    };
    return {
      boots: this.boots,
      games,
      comparisons: this.#rows.map((row) =>
        planRow(row, this.boots, this.#perBoot.get(row.game) as number, this.#settings, minutes),
      ),
      captures: this.captures(),
      switches: this.#switches(),
      isBaselineRepeated: this.#isBaselineRepeated(),
      minutes: this.minutes(),
      capturesInFollow: this.#followed(),
    };
  }
}
