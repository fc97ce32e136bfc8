import type { Judgement, SuiteRow, Verdict } from "../judge/judgement.ts";
import { lessIsBetter, metricGroups, metricLabel } from "../judge/label-metric.ts";
import type { Metric } from "../measure/pass-summary.ts";
import { visible } from "./escape.ts";
import {
  countSentences,
  hasPower,
  intervalText,
  isBetter,
  markText,
  methodSentences,
  notCountedRows,
  type OpenRow,
  openRows,
  openTitle,
  powerCaution,
  sessionSentence,
  suiteSentences,
  verdictText,
} from "./judgement-words.ts";
import { rankRows, tableMetrics } from "./rank-rows.ts";
import { type Paint, paintOf, type Style } from "./style.ts";
import { breakText, textTable, wrapText } from "./text-table.ts";

const narrowest = 24;
const narrowestName = 14;
/** "unclear -12.3% " fits, and so does "-12.3 to +14.5%". */
const stackedCell = 17;
const oneLineCell = 31;
const longestName = 28;
const firstHead = "game / config";
/** Longer lists say how many more there are, and where to see them. */
const mostListed = 12;

/** The judgement for a terminal or a pipe: the answer first, then what limits it, then what the words mean. */
export function judgementTable(judgement: Judgement, style: Style): string {
  const width = Math.max(narrowest, style.width);
  const paint = paintOf(style);
  const sections = [
    opening(judgement, width, paint),
    verdictTable(judgement, width, paint),
    suiteSection(judgement, width, paint),
    listSection(
      "Not counted",
      notCountedRows(judgement),
      ({ pass, reason }) => `${pass}: ${reason}`,
      width,
      paint,
    ),
    listSection(openTitle, openRows(judgement), openText, width, paint),
    listSection("Cautions", cautionTexts(judgement), (text) => text, width, paint),
    methodSentences(judgement)
      .map((sentence) => paint.quiet(wrapText(visible(sentence), width, "  ")))
      .join("\n"),
  ];
  return `${sections.filter((section) => section !== "").join("\n\n")}\n`;
}

function opening(judgement: Judgement, width: number, paint: Paint): string {
  const { title } = judgement.session;
  return [
    ...(title === null ? [] : [paint.heading(wrapText(visible(title), width))]),
    wrapText(visible(sessionSentence(judgement)), width),
    ...countSentences(judgement).map((sentence) => `  ${sentence}`),
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

function verdictTable(judgement: Judgement, width: number, paint: Paint): string {
  const metrics = tableMetrics(judgement);
  if (metrics.length === 0) return "Nothing could be compared.";
  const rows = rankRows(judgement).map(
    ({ game, config, verdicts }): TableRow => ({
      name: visible(game),
      config: visible(config),
      cells: metrics.map((metric) => {
        const verdict = verdicts.get(metric);
        return verdict === undefined ? null : cellText(verdict, markText(verdict), paint);
      }),
    }),
  );
  return layOut(metrics, rows, width, paint);
}

function suiteSection(judgement: Judgement, width: number, paint: Paint): string {
  const sections = metricGroups.map((group) => {
    const metrics = group
      .filter((metric) => judgement.suite.some((row) => row.metric === metric))
      .slice(0, 3);
    if (metrics.length === 0) return "";
    const configs = judgement.session.configs.filter((config) =>
      judgement.suite.some((row) => row.config === config),
    );
    const rows = configs.map((config): TableRow => {
      const cells = metrics.map((metric) =>
        judgement.suite.find((row) => row.tag === null && row.config === config && row.metric === metric),
      );
      const games = Math.max(...cells.map((row) => row?.games ?? 0));
      return {
        name: `all ${games} games`,
        config: visible(config),
        cells: cells.map((row) => (row === undefined ? null : cellText(row, "", paint))),
      };
    });
    return layOut(metrics, rows, width, paint);
  });
  const sentences = suiteSentences(judgement).map((sentence) => wrapText(visible(sentence), width, "  "));
  return [...sections, sentences.join("\n")].filter((section) => section !== "").join("\n\n");
}

function cellText(row: Verdict | SuiteRow, mark: string, paint: Paint): CellText {
  const better = isBetter(row.verdict, row.metric, lessIsBetter);
  const called = better === true ? paint.good : better === false ? paint.bad : paint.quiet;
  return {
    verdict: `${verdictText(row)}${mark}`,
    interval: intervalText(row),
    paint: row.verdict === "unclear" ? paint.warn : called,
  };
}

/**
 * One line per row where the width allows, else two (game and verdicts, then config and intervals), and on a very
 * narrow screen one line per metric.
 */
function layOut(metrics: readonly Metric[], rows: readonly TableRow[], width: number, paint: Paint): string {
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
  return Math.min(longestName, Math.max(6, ...names.map((name) => name.length)));
}

function openText({ game, config, needed }: OpenRow): string {
  const parts = needed.map(({ metric, text }) => `${metricLabel[metric]} ${text}`);
  return `${game} / ${config}: ${parts.join(", ")}`;
}

function cautionTexts(judgement: Judgement): string[] {
  const texts = judgement.cautions.map(({ text }) => text);
  return hasPower(judgement) ? [...texts, powerCaution] : texts;
}

function listSection<T>(
  title: string,
  items: readonly T[],
  word: (item: T) => string,
  width: number,
  paint: Paint,
): string {
  if (items.length === 0) return "";
  const shown = items.slice(0, mostListed).map((item) => wrapText(`- ${visible(word(item))}`, width, "  "));
  const more = items.length - shown.length;
  if (more > 0) shown.push(`- and ${more} more: --format csv lists them all`);
  return [paint.heading(wrapText(title, width)), ...shown].join("\n");
}
