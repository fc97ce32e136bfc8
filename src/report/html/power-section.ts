import type { Judgement, TradeChange, TradeTable } from "../../judge/judgement.ts";
import { isCalled } from "../../judge/verdict.ts";
import { metricLabel } from "../../shared/metrics.ts";
import { configTitle, gameTitle } from "../chart/names.ts";
import type { Look } from "../chart/picture.ts";
import { powerPicture } from "../chart/power-picture.ts";
import { intervalText, verdictText } from "../judgement-words.ts";
import { choiceSentence, findChange, isTradeKnown, tradeMetrics, tradeTitle } from "../trade-words.ts";
import { figureOf, figureTextPx, type NextId, pictureIfAny } from "./figure.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";
import { type Cell, sortedTable } from "./table.ts";

/** What each config draws and gives: over all games, then folded for each; nothing where the logs hold no power. */
export function powerSection(source: ReportSource, look: Look, nextId: NextId): Markup | null {
  const picture = pictureIfAny(() => powerPicture(source, look));
  const [first, ...others] = source.shown.trade.filter(isTradeKnown);
  if (picture === null && first === undefined) return null;
  return html`<section id="power" aria-labelledby="power-title">
<h2 id="power-title">Power</h2>
${
  picture === null
    ? null
    : html`<div class="figures pair">${figureOf(picture, figureTextPx * 24, nextId, { title: "Power against frame rate" })}</div>`
}
${first === undefined ? null : tradeOf(source, first)}
${
  others.length === 0
    ? null
    : html`<details><summary>Power in each game</summary>${others.map((table) => tradeOf(source, table))}</details>`
}
</section>`;
}

function tradeOf({ shown }: ReportSource, table: TradeTable): Markup {
  const metrics = tradeMetrics(table);
  const rows = table.rows.filter(({ changes }) => changes.length > 0);
  const named = withTitles(table, shown);
  return html`${sortedTable(
    tradeTitle(named),
    ["config", ...metrics.map((metric) => metricLabel[metric])],
    rows.map((row): Cell[] => [
      configTitle(shown, row.config),
      ...metrics.map((metric) => changeCell(findChange(row, metric))),
    ]),
  )}
<p>${choiceSentence(named)}</p>`;
}

/** The table with names for readers, as the rest of the page has them. */
function withTitles(table: TradeTable, judgement: Judgement): TradeTable {
  const title = (config: string): string => configTitle(judgement, config);
  return {
    game: table.game === null ? null : gameTitle(judgement, table.game),
    against: title(table.against),
    rows: table.rows.map((row) => ({
      ...row,
      config: title(row.config),
      beatenBy: row.beatenBy.map(title),
    })),
  };
}

function changeCell(change: TradeChange | undefined): Cell {
  if (change === undefined) return null;
  const called = isCalled(change) ? html` called` : null;
  return {
    value: change.changePct,
    shown: html`<span class="words${called}">${verdictText(change)}</span> <span class="interval">${intervalText(change)}</span>`,
  };
}
