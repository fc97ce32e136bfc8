import type { SuiteRow } from "../../judge/judgement.ts";
import { metricGroups, metricLabel } from "../../judge/label-metric.ts";
import type { Metric } from "../../measure/pass-summary.ts";
import { configTitle } from "../chart/names.ts";
import type { Look } from "../chart/picture.ts";
import { powerPicture } from "../chart/power-picture.ts";
import { intervalText, verdictText } from "../judgement-words.ts";
import { isCalled } from "../rank-rows.ts";
import { figureOf, figureTextPx, type NextId, pictureIfAny } from "./figure.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";
import { type Cell, sortedTable } from "./table.ts";

/** What each config draws and gives; nothing where the logs hold no power. */
export function powerSection(source: ReportSource, look: Look, nextId: NextId): Markup | null {
  const { shown: judgement } = source;
  const picture = pictureIfAny(() => powerPicture(source, look));
  if (picture === null) return null;
  const suite = judgement.suite.filter(({ tag }) => tag === null);
  const shown: readonly Metric[] = ["avgFps", ...(metricGroups[1] as readonly Metric[])].filter((metric) =>
    suite.some((row) => row.metric === metric),
  ) as Metric[];
  const configs = [...new Set(suite.map(({ config }) => config))];
  return html`<section id="power" aria-labelledby="power-title">
<h2 id="power-title">Power</h2>
<div class="figures pair">${figureOf(picture, figureTextPx * 24, nextId, { title: "Power against frame rate" })}</div>
${
  shown.length === 0
    ? null
    : sortedTable(
        "Power over all games, against the baseline",
        ["config", ...shown.map((metric) => metricLabel[metric])],
        configs.map((config): Cell[] => [
          configTitle(judgement, config),
          ...shown.map((metric) =>
            suiteCell(suite.find((row) => row.config === config && row.metric === metric)),
          ),
        ]),
      )
}
</section>`;
}

function suiteCell(row: SuiteRow | undefined): Cell {
  if (row === undefined) return null;
  const called = isCalled(row) ? html` called` : null;
  return {
    value: row.changePct,
    shown: html`<span class="words${called}">${verdictText(row)}</span> <span class="interval">${intervalText(row)}</span>`,
  };
}
