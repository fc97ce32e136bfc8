import type { Plan } from "../judge/plan.ts";
import type { PlannedComparison } from "../judge/plan-session.ts";
import { markdownText, visible } from "./escape.ts";
import { markdownTable } from "./markdown-table.ts";
import {
  bootSentences,
  type PlanRow,
  planHeads,
  planMethod,
  planRows,
  planSentence,
  reachedSentence,
  timeSentence,
} from "./plan-words.ts";
import { paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import { type CsvCell, toCsv } from "./to-csv.ts";
import { textWidth, wrapText } from "./wrap-text.ts";

const longestGame = 24;
const allAlike = "every game";

/** The plan for a terminal: what it takes and shows, then a line per game and metric. */
export function planTable(plan: Plan, style: Style): string {
  const paint = paintOf(style);
  const rows = planRows(plan);
  const heads = planHeads(plan);
  const body = rows.map((row, i) => {
    const isFirst = i === 0 || rows[i - 1]?.game !== row.game;
    const cells = cellsOf(row, isFirst).map(visible);
    return row.isReached ? cells : cells.map((cell, j) => (j >= 4 ? paint.warn(cell) : cell));
  });
  const shown = rows.map((row) => cellsOf(row, true).map(visible));
  const widths = heads.map((head, i) => {
    const widest = Math.max(...shown.map((cells) => textWidth(cells[i] as string)));
    return Math.max(
      Math.min(widest, i === 0 ? longestGame : widest),
      ...head.split("\n").map((line) => line.length),
    );
  });
  const head = heads.map((text) => text.split("\n").map(paint.heading).join("\n"));
  const align = heads.map((_, i) => (i === 0 || i === 2 ? ("left" as const) : ("right" as const)));
  const line = (text: string): string => wrapText(text, style.width, "  ");
  return `${[
    line(paint.heading(visible(planSentence(plan)))),
    line(reachedSentence(plan)),
    "",
    widthOf(widths) <= style.width
      ? textTable([head, ...body], widths, align)
      : indent.length + widthOf(widths.slice(2)) <= style.width
        ? underGames(rows, [head, ...body], widths, align)
        : inSentences(rows, heads, style.width),
    "",
    ...[timeSentence(plan), ...bootSentences(plan), ...planMethod(plan)].map((text) => line(visible(text))),
    ...plan.cautions.map(({ text }) => line(`caution: ${visible(text)}`)),
  ].join("\n")}\n`;
}

const gap = 2;
const indent = "  ";
const widthOf = (widths: readonly number[]): number => widths.reduce((sum, width) => sum + width + gap, -gap);

/** The same table with each game, and its passes, on a line of its own above its metrics. */
function underGames(
  rows: readonly PlanRow[],
  cells: readonly (readonly string[])[],
  widths: readonly number[],
  align: readonly ("left" | "right")[],
): string {
  const lines = textTable(
    cells.map((row) => row.slice(2)),
    widths.slice(2),
    align.slice(2),
    gap,
  ).split("\n");
  const heads = lines.length - rows.length;
  return lines
    .flatMap((line, at) => {
      const row = rows[at - heads];
      const isFirst = row !== undefined && (at === heads || rows[at - heads - 1]?.game !== row.game);
      return [...(isFirst ? [gameTitle(row)] : []), line === "" ? "" : `${indent}${line}`];
    })
    .join("\n");
}

const gameTitle = (row: PlanRow): string => visible(`${row.game ?? allAlike}: ${row.passes} passes`);

/** Each metric's figures in words below its game, where no table fits. */
function inSentences(rows: readonly PlanRow[], heads: readonly string[], width: number): string {
  return rows
    .flatMap((row, i) => {
      const isFirst = rows[i - 1]?.game !== row.game || i === 0;
      const figures = cellsOf(row, false).slice(3);
      const said = figures.map((figure, j) => `${heads[j + 3]?.replace(/\n(.*)/, " ($1)")} ${figure}`);
      return [
        ...(isFirst ? [wrapText(gameTitle(row), width, indent)] : []),
        wrapText(`${indent}${row.metric}: ${said.join(", ")}`, width, `${indent}${indent}`),
      ];
    })
    .join("\n");
}

function cellsOf(row: PlanRow, isFirst: boolean): string[] {
  const { passes, metric, noise, shows, chance, needs, same, follow } = row;
  return [
    ...(isFirst ? [row.game ?? allAlike, passes] : ["", ""]),
    metric,
    noise,
    shows,
    chance,
    needs,
    same,
    follow,
  ];
}

/** The plan as Markdown: the same content and order as the table. */
export function planMarkdown(plan: Plan): string {
  const table = markdownTable(
    planHeads(plan).map((head) => head.replace("\n", " ")),
    planRows(plan).map((row) => cellsOf(row, true)),
  );
  const sentences = [timeSentence(plan), ...bootSentences(plan), ...planMethod(plan)];
  return `${[
    markdownText(planSentence(plan)),
    markdownText(reachedSentence(plan)),
    table,
    ...sentences.map(markdownText),
    ...plan.cautions.map(({ text }) => `> ${markdownText(text)}`),
  ].join("\n\n")}\n`;
}

const csvColumns = [
  "game",
  "config",
  "against",
  "metric",
  "noisePct",
  "noiseFrom",
  "bootNoisePct",
  "bestPassesPerBoot",
  "passesNeeded",
  "passesForSame",
  "passes",
  "resolvesPct",
  "chancePct",
  "chanceOfSamePct",
  "isReached",
  "passesInFollow",
  "stopInFollow",
] as const satisfies readonly (keyof PlannedComparison)[];

/** One row per comparison, with the names of the data contract as headers. */
export function planCsv({ comparisons }: Plan): string {
  return toCsv(
    csvColumns,
    comparisons.map((row): CsvCell[] => csvColumns.map((column) => row[column])),
  );
}
