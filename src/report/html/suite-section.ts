import { capital } from "../../shared/capital.ts";
import { metricLabel } from "../../shared/metrics.ts";
import { drawIntervals, intervalsHeight } from "../chart/interval-chart.ts";
import { configTitle } from "../chart/names.ts";
import type { Look, Picture } from "../chart/picture.ts";
import { suiteNotes, suiteRows } from "../chart/tags-picture.ts";
import { tableMetrics } from "../rank-rows.ts";
import { figureOf, figureTextPx, figureWidth, type NextId } from "./figure.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";

/** All games together and each kind of games, a chart per metric; nothing where there is one game. */
export function suiteSection(source: ReportSource, look: Look, nextId: NextId): Markup | null {
  const { shown: judgement } = source;
  if (judgement.suite.length === 0) return null;
  const baseline = configTitle(judgement, judgement.session.baseline);
  const figures = tableMetrics(judgement).flatMap((metric) => {
    const { rows, sentences } = suiteRows(source, metric, look, true);
    if (rows.length === 0) return [];
    const options = {
      axisLabel: `change against ${baseline}`,
      mattersPct: judgement.session.mattersPct,
      namesConfigs: true,
    };
    const picture: Picture = {
      title: `${capital(metricLabel[metric])} over games`,
      subtitle: `Change against ${baseline}`,
      legend: [],
      notes: [],
      lines: 0,
      description: sentences,
      draw: (space) => drawIntervals(rows, options, space, look),
    };
    const lanes = Math.max(...rows.map((row) => row.lanes.length));
    const height = intervalsHeight(rows.length, lanes, { width: figureWidth, textPx: figureTextPx });
    return [figureOf(picture, height, nextId, { title: capital(metricLabel[metric]), subtitle: "" })];
  });
  return html`<section id="suite" aria-labelledby="suite-title">
<h2 id="suite-title">All games together</h2>
<div class="figures">${figures}</div>
<p class="note">${suiteNotes(judgement, "low1Fps").join(" ")}</p>
</section>`;
}
