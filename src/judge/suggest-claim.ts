import { unitsByMetric } from "../read/claim.ts";
import { type Figure, maskOf, type NameMask, saysNoDifference } from "../read/figures-in-text.ts";
import { type Metric, metrics } from "../shared/metrics.ts";
import { soleOf } from "../shared/non-empty.ts";
import { type ClaimDraft, draftOf } from "./claim-draft.ts";
import { type Compared, type Comparisons, ofSuite, ofVerdict } from "./compared.ts";
import { decideSize } from "./decide-claim.ts";
import { isCalled } from "./verdict.ts";

const metricWords: readonly (readonly [Metric, RegExp])[] = [
  ["low1Fps", /(?<![\d.,])1 ?(?:%|per ?cent)[ -]lows?\b|\bone[- ]per ?cent[- ]lows?\b/i],
  ["low01Fps", /\b0?[.,]1 ?(?:%|per ?cent)[ -]lows?\b/i],
  ["avgFps", /\b(?:average|avg|mean)\b/i],
  ["fpsPerWatt", /\b(?:per watt|efficien\w+)\b/i],
  ["joulesPerFrame", /\b(?:energy|joules?)\b/i],
  ["cpuPowerW", /\b(?:cpu|processor) (?:power|draw)\b/i],
  ["gpuPowerW", /\b(?:gpu|graphics) (?:power|draw)\b/i],
];
const upWords =
  /\b(?:higher|faster|gain(?:s|ed)?|better|more|rises?|rose|improve[sd]?|increase[sd]?|raise[sd]?|up)\b/i;
const downWords =
  /\b(?:lower(?:s|ed)?|slower|los(?:es|t|s)|worse|less|drop(?:s|ped)?|falls?|fell|decrease[sd]?|down|costs?)\b/i;

/** Names with the patterns that find them in a sentence; titles count as their names. */
interface Named {
  readonly name: string;
  readonly pattern: NameMask;
  /** Figures in the name itself: "35 watts" speaks of quiet-35w. */
  readonly figures: readonly Figure[];
}

/** Finds the claim that a sentence without one most likely means. */
export class ClaimSuggester {
  private readonly comparisons: Comparisons;
  private readonly rows: readonly Compared[];
  private readonly games: readonly Named[];
  private readonly configs: readonly Named[];
  private readonly tags: readonly Named[];

  constructor(comparisons: Comparisons, figuresOf: (name: string) => readonly Figure[]) {
    this.comparisons = comparisons;
    const { session, verdicts, suite } = comparisons.own;
    this.rows = [...verdicts.map(ofVerdict), ...suite.map(ofSuite)];
    const named = (name: string, title: string | undefined): Named[] => {
      const pattern = maskOf(title === undefined ? [name] : [name, title]);
      return pattern === null ? [] : [{ name, pattern, figures: figuresOf(name) }];
    };
    const titleIn = (titles: readonly { name: string; title: string }[] | undefined, name: string) =>
      titles?.find((entry) => entry.name === name)?.title;
    this.games = session.games.flatMap((name) => named(name, titleIn(session.titles?.games, name)));
    this.configs = session.configs.flatMap((name) => named(name, titleIn(session.titles?.configs, name)));
    this.tags = [...new Set((session.tags ?? []).map(({ tag }) => tag))].flatMap((tag) =>
      named(tag, undefined),
    );
  }

  /**
   * @param figures those of the sentence that no claim checks, without those that belong to names
   * @param nameFigures those that belong to names of configs
   * @returns null unless exactly one reading fits the data
   */
  suggest(text: string, figures: readonly Figure[], nameFigures: readonly Figure[]): ClaimDraft | null {
    const games = mentioned(this.games, text);
    const tags = mentioned(this.tags, text);
    const inName = this.configs.filter(({ figures: own }) =>
      own.some((a) => nameFigures.some((b) => a.unit === b.unit && a.value === b.value)),
    );
    const configs = [...mentioned(this.configs, text), ...inName.map(({ name }) => name)];
    const wanted = metricWords.filter(([, pattern]) => pattern.test(text)).map(([metric]) => metric);
    const isMeant = (metric: Metric, config: string): boolean =>
      (configs.length === 0 || configs.includes(config)) && (wanted.length === 0 || wanted.includes(metric));
    const rows = this.rows.filter(
      ({ game, tag, metric, config }) =>
        isMeant(metric, config) &&
        (game !== null
          ? games.includes(game) || (games.length === 0 && tags.length === 0)
          : games.length === 0 && (tag === null ? tags.length === 0 : tags.includes(tag))),
    );
    const [figure, ...others] = figures;
    if (others.length > 0) return null;
    const drafts =
      figure === undefined
        ? this.noDifference(text, rows)
        : figure.unit === "%"
          ? this.sizes(text, figure, rows)
          : this.values(figure, games, isMeant);
    return soleOf(drafts);
  }

  private noDifference(text: string, rows: readonly Compared[]): ClaimDraft[] {
    if (!saysNoDifference(text)) return [];
    const fitting = rows.filter(({ verdict }) => verdict === "same" || verdict === "unclear");
    return fitting.length === rows.length ? fitting.map((row) => draftOf(row, { is: "within-noise" })) : [];
  }

  private sizes(text: string, figure: Figure, rows: readonly Compared[]): ClaimDraft[] {
    const isUp = upWords.test(text);
    const isDown = downWords.test(text);
    const direction = figure.sign !== 0 ? figure.sign : isUp === isDown ? 0 : isUp ? 1 : -1;
    return rows.filter(isCalled).flatMap((row) => {
      const sign = row.verdict === "higher" ? 1 : -1;
      const byPct = sign * figure.value;
      const fits = direction !== -sign && decideSize(byPct, null, row).holds;
      return fits ? [draftOf(row, { byPct })] : [];
    });
  }

  private values(
    figure: Figure,
    games: readonly string[],
    isMeant: (metric: Metric, config: string) => boolean,
  ): ClaimDraft[] {
    const { session } = this.comparisons.own;
    const none = { tag: null, is: null, byPct: null, giveOrTakePct: null, differsAtMostPct: null };
    return (games.length === 0 ? session.games : games).flatMap((game) =>
      metrics
        .filter((metric) => unitsByMetric[metric] === figure.unit)
        .flatMap((metric) =>
          session.configs
            .filter((config) => isMeant(metric, config))
            .filter((config) => {
              const cell = this.comparisons.valueOf(game, config, metric);
              return cell !== null && Math.abs(cell.value - figure.value) <= 0.01 * cell.value;
            })
            .map((config) => ({ ...none, game, config, metric, about: figure.value })),
        ),
    );
  }
}

function mentioned(names: readonly Named[], text: string): string[] {
  return names
    .filter(({ pattern }) => {
      pattern.lastIndex = 0;
      return pattern.test(text);
    })
    .map(({ name }) => name);
}
