import type { Judgement, SuiteRow, TradeChange, Verdict } from "../judge/judgement.ts";
import { metricGroups } from "../judge/metric-groups.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import { visible } from "./escape.ts";
import { explainHint } from "./explain-hint.ts";
import {
  countSentences,
  factorRows,
  intervalText,
  isBetter,
  markText,
  methodSentences,
  notCountedRows,
  openLines,
  openTitle,
  sessionSentence,
  suiteSentences,
  tagSentences,
  verdictText,
} from "./judgement-words.ts";
import { rankRows, tableMetrics } from "./rank-rows.ts";
import { type Paint, paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import {
  choiceSentence,
  findChange,
  isTradeKnown,
  tradeMetrics,
  tradeSentences,
  tradeTitle,
} from "./trade-words.ts";
import { breakText, textWidth, wrapText } from "./wrap-text.ts";

const narrowest = 32;
const narrowestName = 14;
/** "unclear -12.3% " fits, and so does "-12.3 to +14.5%". */
const stackedCell = 17;
const oneLineCell = 31;
/** "unclear -12.3%" fits. */
const tradeCell = 14;
const longestName = 28;
/** Metrics beside each other in a table. */
const mostColumns = 3;
const firstHead = "game / config";
/** Longer lists say how many more there are, and where to see them. */
const mostListed = 12;

export interface TableOptions {
  /** Everything: kinds of games, power over all games, whole lists. */
  readonly details?: boolean;
}

/** What every part needs to know of the page it stands on. */
interface Page {
  readonly width: number;
  readonly paint: Paint;
  readonly hasDetails: boolean;
}

/** The judgement for a terminal or a pipe: the answer first, then what limits it, then what the words mean. */
export function judgementTable(judgement: Judgement, style: Style, options: TableOptions = {}): string {
  const width = Math.max(narrowest, style.width);
  const page = { width, paint: paintOf(style), hasDetails: options.details ?? false };
  const sections = [
    opening(judgement, page),
    verdictTable(judgement, page),
    suiteSection(judgement, page),
    ...tradeTables(judgement, page),
    listSection(
      "What the factors do, over games",
      factorRows(judgement).map(({ effect, metric, result }) => `${effect}: ${metric} ${result}`),
      page,
    ),
    listSection(
      "Not counted",
      notCountedRows(judgement).map(({ pass, reason }) => `${pass}: ${reason}`),
      page,
    ),
    listSection(openTitle, openLines(judgement, page.hasDetails), page),
    cautionSection(judgement, page),
    methodSentences(judgement)
      .map((sentence) => page.paint.quiet(wrapText(visible(sentence), width, "  ")))
      .join("\n"),
  ];
  return `${sections.filter((section) => section !== "").join("\n\n")}\n`;
}

function opening(judgement: Judgement, { width, paint }: Page): string {
  const { title } = judgement.session;
  return [
    ...(title === null ? [] : [paint.heading(wrapText(visible(title), width))]),
    wrapText(visible(sessionSentence(judgement)), width),
    ...countSentences(judgement).map((sentence) => wrapText(`  ${sentence}`, width, "    ")),
  ].join("\n");
}

interface TableRow {
  readonly name: string;
  readonly config: string;
  readonly cells: readonly (CellText | null)[];
}

interface CellText {
  readonly verdict: string;
  readonly interval: string;
  readonly paint: (text: string) => string;
}

function verdictTable(judgement: Judgement, page: Page): string {
  const metrics = tableMetrics(judgement);
  if (metrics.length === 0) return "Nothing could be compared.";
  const rows = rankRows(judgement).map(
    ({ game, config, verdicts }): TableRow => ({
      name: visible(game),
      config: visible(config),
      cells: metrics.map((metric) => {
        const verdict = verdicts.get(metric);
        return verdict === undefined ? null : cellText(verdict, markText(verdict), page.paint);
      }),
    }),
  );
  return layOut(metrics, rows, page);
}

/** One table per group of metrics and, with details, per kind of games; then what they say in sentences. */
function suiteSection(judgement: Judgement, page: Page): string {
  const { width, hasDetails } = page;
  const tags = [...new Set(judgement.suite.map(({ tag }) => tag))].filter(
    (tag) => hasDetails || tag === null,
  );
  const groups = hasDetails ? metricGroups : metricGroups.slice(0, 1);
  const tables = groups.flatMap((group) => tags.map((tag) => suiteTable(judgement, tag, group, page)));
  const sentences = [...suiteSentences(judgement), ...(hasDetails ? tagSentences(judgement) : [])];
  return [...tables, sentences.map((sentence) => wrapText(visible(sentence), width, "  ")).join("\n")]
    .filter((section) => section !== "")
    .join("\n\n");
}

/** Over all games; with details, or where there is one game only, per game. */
function tradeTables({ trade }: Judgement, page: Page): string[] {
  const { width, paint, hasDetails } = page;
  // Over all games, else of the games shown.
  const tables = hasDetails || trade[0]?.game !== null ? trade : trade.slice(0, 1);
  return tables.filter(isTradeKnown).map((table) => {
    const metrics = tradeMetrics(table);
    const rows = table.rows.filter(({ changes }) => changes.length > 0);
    const nameWidth = longest(rows.map(({ config }) => visible(config)));
    const cell = (change: TradeChange | undefined): string =>
      change === undefined
        ? "no data"
        : // No interval stands beside it that would ask for more digits.
          paintOfRow(change, paint)(verdictText({ ...change, lowPct: null, highPct: null }));
    const isFitting = nameWidth + metrics.length * (2 + tradeCell) <= width;
    return [
      paint.heading(wrapText(visible(tradeTitle(table)), width)),
      ...(isFitting
        ? [
            textTable(
              [
                ["config", ...metrics.map((metric) => metricLabel[metric])].map(paint.heading),
                ...rows.map((row) => [
                  breakText(visible(row.config), nameWidth),
                  ...metrics.map((metric) => cell(findChange(row, metric))),
                ]),
              ],
              [nameWidth, ...metrics.map(() => tradeCell)],
            ),
          ]
        : tradeSentences(table).map((sentence) => wrapText(visible(sentence), width, "  "))),
      wrapText(visible(choiceSentence(table)), width, "  "),
    ].join("\n");
  });
}

function suiteTable(judgement: Judgement, tag: string | null, group: readonly Metric[], page: Page): string {
  const suite = judgement.suite.filter((row) => row.tag === tag);
  const metrics = group.filter((metric) => suite.some((row) => row.metric === metric)).slice(0, mostColumns);
  if (metrics.length === 0) return "";
  const rows = judgement.session.configs
    .filter((config) => suite.some((row) => row.config === config))
    .map((config): TableRow => {
      const cells = metrics.map((metric) =>
        suite.find((row) => row.config === config && row.metric === metric),
      );
      const games = Math.max(...cells.map((row) => row?.games ?? 0));
      return {
        name: tag === null ? `all ${games} games` : `${visible(tag)} (${games})`,
        config: visible(config),
        cells: cells.map((row) => (row === undefined ? null : cellText(row, "", page.paint))),
      };
    });
  return layOut(metrics, rows, page);
}

function cellText(row: Verdict | SuiteRow, mark: string, paint: Paint): CellText {
  return {
    verdict: `${verdictText(row)}${mark}`,
    interval: intervalText(row),
    paint: paintOfRow(row, paint),
  };
}

function paintOfRow(
  { verdict, metric }: Pick<Verdict, "verdict" | "metric">,
  paint: Paint,
): (text: string) => string {
  if (verdict === "unclear") return paint.warn;
  const better = isBetter(verdict, metric);
  return better === true ? paint.good : better === false ? paint.bad : paint.quiet;
}

/**
 * One line per row where the width allows, else two (game and verdicts, then config and intervals), and on a very
 * narrow screen one line per metric.
 */
function layOut(metrics: readonly Metric[], rows: readonly TableRow[], { width, paint }: Page): string {
  const labels = metrics.map((metric) => paint.heading(metricLabel[metric]));
  const gap = 2;
  const nameWidth = longest(rows.map(({ name }) => name));
  const configWidth = longest(rows.map(({ config }) => config));
  if (nameWidth + gap + configWidth + metrics.length * (gap + oneLineCell) <= width) {
    return textTable(
      [
        [paint.heading("game"), paint.heading("config"), ...labels],
        ...rows.map(({ name, config, cells }) => [
          breakText(name, nameWidth),
          breakText(config, configWidth),
          ...cells.map((cell) =>
            cell === null ? "no data" : `${cell.paint(cell.verdict)}${inBrackets(cell.interval)}`,
          ),
        ]),
      ],
      [nameWidth, configWidth, ...metrics.map(() => oneLineCell)],
    );
  }
  if (width < narrowestName + metrics.length * (gap + stackedCell)) {
    return rows
      .map(({ name, config, cells }) =>
        [
          wrapText(`${name} / ${config}`, width, "  "),
          ...cells.map((cell, i) => {
            const label = metricLabel[metrics[i] as Metric];
            const said = cell === null ? "no data" : `${cell.verdict}${inBrackets(cell.interval)}`;
            return (cell?.paint ?? paint.quiet)(wrapText(`  ${label}: ${said}`, width, "    "));
          }),
        ].join("\n"),
      )
      .join("\n");
  }
  const first = Math.min(
    width - metrics.length * (gap + stackedCell),
    Math.max(nameWidth, configWidth + 2, firstHead.length),
  );
  return textTable(
    [
      [paint.heading(firstHead), ...labels],
      ...rows.flatMap(({ name, config, cells }) => [
        [
          breakText(name, first),
          ...cells.map((cell) => (cell === null ? "no data" : cell.paint(cell.verdict))),
        ],
        [breakText(`  ${config}`, first, "  "), ...cells.map((cell) => paint.quiet(cell?.interval ?? ""))],
      ]),
    ],
    [first, ...metrics.map(() => stackedCell)],
  );
}

function inBrackets(interval: string): string {
  return interval === "" ? "" : ` (${interval})`;
}

function longest(names: readonly string[]): number {
  return Math.min(longestName, Math.max(6, ...names.map(textWidth)));
}

/** However long the list, the word about power limits is never among those left out. */
function cautionSection({ cautions }: Judgement, page: Page): string {
  const own = cautions.filter(({ code }) => code !== "power-limits").map(({ text }) => text);
  const power = cautions.filter(({ code }) => code === "power-limits").map(({ text }) => text);
  const hint = explainHint(cautions.map(({ code }) => code).filter((code) => code !== "power-limits"));
  const section = listSection("Cautions", own, page, power);
  return hint === null ? section : `${section}\n${wrapText(hint, page.width, "  ")}`;
}

function listSection(
  title: string,
  items: readonly string[],
  { width, paint, hasDetails }: Page,
  always: readonly string[] = [],
): string {
  if (items.length + always.length === 0) return "";
  const line = (item: string): string => wrapText(`- ${visible(item)}`, width, "  ");
  const shown = items.slice(0, hasDetails ? items.length : mostListed).map(line);
  const more = items.length - shown.length;
  if (more > 0) shown.push(`- and ${more} more: --details lists them all`);
  return [paint.heading(wrapText(title, width)), ...shown, ...always.map(line)].join("\n");
}
