import type { Judgement, SuiteRow, TradeTable, Verdict } from "../judge/judgement.ts";
import { metricLabel } from "../shared/metrics.ts";
import { markdownText } from "./escape.ts";
import {
  countSentences,
  factorRows,
  intervalText,
  markText,
  methodSentences,
  neededText,
  notCountedRows,
  openRows,
  openTitle,
  sessionSentence,
  suiteSentences,
  tagSentences,
  verdictText,
} from "./judgement-words.ts";
import { markdownTable } from "./markdown-table.ts";
import { rankRows, tableMetrics } from "./rank-rows.ts";
import { choiceSentence, findChange, isTradeKnown, tradeMetrics, tradeTitle } from "./trade-words.ts";

/** The judgement as Markdown: the same content and order as the table, every list whole. */
export function judgementMarkdown(judgement: Judgement): string {
  const metrics = tableMetrics(judgement);
  const labels = metrics.map((metric) => metricLabel[metric]);
  const cell = (row: Verdict | SuiteRow | undefined, mark = ""): string =>
    row === undefined ? "no data" : `${verdictText(row)}${mark} (${intervalText(row)})`;
  const suite = judgement.suite.map((row) => [
    row.tag ?? "all",
    row.config,
    metricLabel[row.metric],
    String(row.games),
    cell(row),
    `${row.counts.lower} / ${row.counts.higher} / ${row.counts.same} / ${row.counts.unclear}`,
  ]);
  const open = openRows(judgement);
  const factors = factorRows(judgement);
  const sections = [
    `# ${markdownText(judgement.session.title ?? "Judgement")}`,
    markdownText(sessionSentence(judgement)),
    list(countSentences(judgement)),
    markdownTable(
      ["game", "config", ...labels],
      rankRows(judgement).map(({ game, config, verdicts }) => [
        game,
        config,
        ...metrics.map((metric) => {
          const verdict = verdicts.get(metric);
          return cell(verdict, verdict === undefined ? "" : markText(verdict));
        }),
      ]),
    ),
    ...section(
      "All games together",
      suite.length === 0
        ? ""
        : markdownTable(
            ["kind", "config", "metric", "games", "verdict", "games lower / higher / same / unclear"],
            suite,
          ),
      list([...suiteSentences(judgement), ...tagSentences(judgement)]),
    ),
    ...judgement.trade
      .filter(isTradeKnown)
      .flatMap((table) =>
        section(markdownText(tradeTitle(table)), tradeTable(table), markdownText(choiceSentence(table))),
      ),
    ...section(
      "What the factors do, over games",
      factors.length === 0
        ? ""
        : markdownTable(
            ["effect", "metric", "result"],
            factors.map(({ effect, metric, result }) => [effect, metric, result]),
          ),
    ),
    ...section(
      "Not counted",
      list(notCountedRows(judgement).map(({ pass, reason }) => `${pass}: ${reason}`)),
    ),
    ...section(
      openTitle,
      open.length === 0
        ? ""
        : markdownTable(
            ["game", "config", ...labels],
            open.map(({ game, config, needed }) => [
              game,
              config,
              ...metrics.map((metric) =>
                needed
                  .filter((entry) => entry.metric === metric)
                  .map(neededText)
                  .join(""),
              ),
            ]),
          ),
    ),
    ...section("Cautions", list(judgement.cautions.map(({ text }) => text))),
    ...section("How to read it", list(methodSentences(judgement))),
  ];
  return `${sections.join("\n\n")}\n`;
}

function tradeTable(table: TradeTable): string {
  const metrics = tradeMetrics(table);
  return markdownTable(
    ["config", ...metrics.map((metric) => metricLabel[metric])],
    table.rows
      .filter(({ changes }) => changes.length > 0)
      .map((row) => [
        row.config,
        ...metrics.map((metric) => {
          const change = findChange(row, metric);
          return change === undefined ? "no data" : `${verdictText(change)} (${intervalText(change)})`;
        }),
      ]),
  );
}

function section(title: string, ...bodies: readonly string[]): string[] {
  const present = bodies.filter((body) => body !== "");
  return present.length === 0 ? [] : [`## ${title}`, ...present];
}

function list(items: readonly string[]): string {
  return items.map((item) => `- ${markdownText(item)}`).join("\n");
}
