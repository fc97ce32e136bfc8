import type { Verdict } from "../../judge/judgement.ts";
import { isCalled } from "../../judge/verdict.ts";
import { capital } from "../../shared/capital.ts";
import { type Metric, metricLabel } from "../../shared/metrics.ts";
import { intervalsHeight } from "../chart/interval-chart.ts";
import { configTitle, gameTitle } from "../chart/names.ts";
import { intervalNotes } from "../chart/notes.ts";
import type { Look } from "../chart/picture.ts";
import { verdictsPicture } from "../chart/verdicts-picture.ts";
import { intervalText, markText, verdictText } from "../judgement-words.ts";
import { rankRows, tableMetrics } from "../rank-rows.ts";
import { figureOf, figureTextPx, figureWidth, type NextId } from "./figure.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";
import { type Cell, sortedTable } from "./table.ts";

/** Every game with estimate and interval per metric: as pictures side by side, and as a table that sorts. */
export function gamesSection(source: ReportSource, look: Look, nextId: NextId): Markup {
  const { shown: judgement } = source;
  const ranked = rankRows(judgement);
  const games = [...new Set(ranked.map(({ game }) => game))];
  const metrics = tableMetrics(judgement);
  const figures = metrics.map((metric) => {
    const verdicts = judgement.verdicts.filter((verdict) => verdict.metric === metric);
    const rows = new Set(verdicts.map(({ game }) => game)).size;
    const lanes = new Set(verdicts.map(({ config }) => config)).size;
    const picture = verdictsPicture(source, { metric, page: 1, rows: rows * lanes }, look, games);
    const height = intervalsHeight(rows, lanes, { width: figureWidth, textPx: figureTextPx });
    const words = { title: capital(metricLabel[metric]), subtitle: "", notes: [] };
    return figureOf(picture, height, nextId, words);
  });
  return html`<section id="games" aria-labelledby="games-title">
<h2 id="games-title">Game by game</h2>
<div class="figures">${figures}</div>
<p class="note">${intervalNotes(judgement, "low1Fps", judgement.verdicts).join(" ")}</p>
${sortedTable(
  "Every game and config against the baseline, the surest differences first",
  ["game", "config", ...metrics.map((metric) => metricLabel[metric])],
  ranked.map(({ game, config, verdicts }): Cell[] => [
    gameTitle(judgement, game),
    configTitle(judgement, config),
    ...metrics.map((metric: Metric) => verdictCell(verdicts.get(metric))),
  ]),
)}
</section>`;
}

/** "lower -8.7%" over its interval; sorts by the change. */
export function verdictCell(verdict: Verdict | undefined): Cell {
  if (verdict === undefined) return null;
  const called = isCalled(verdict) ? html` called` : null;
  return {
    value: verdict.changePct,
    shown: html`<span class="words${called}">${verdictText(verdict)}${markText(verdict)}</span> <span class="interval">${intervalText(verdict)}</span>`,
  };
}
