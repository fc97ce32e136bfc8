import { formatCount, formatFigure, formatP, formatPct } from "../../shared/format-number.ts";
import { metricLabel, metrics } from "../../shared/metrics.ts";
import { configTitle, gameTitle } from "../chart/names.ts";
import { labelWithUnit } from "../metric-unit.ts";
import { steadiness, steadinessLabel, steadinessNote } from "../steadiness-words.ts";
import { verdictCell } from "./games-section.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";
import { type Cell, sortedTable } from "./table.ts";

/** Every comparison and every pass as tables that sort. */
export function dataSection(source: ReportSource): Markup {
  return html`<section id="data" aria-labelledby="data-title">
<h2 id="data-title">All the figures</h2>
<details><summary>Every comparison</summary>${comparisons(source)}</details>
<details><summary>Every pass</summary>${passes(source)}</details>
</section>`;
}

function comparisons({ shown: judgement }: ReportSource): Markup {
  const heads = [
    "game",
    "config",
    "metric",
    "value",
    "baseline",
    "verdict",
    "p, adjusted",
    "could show",
    "passes",
  ];
  return sortedTable(
    "Every comparison with the baseline",
    heads,
    judgement.verdicts.map((verdict): Cell[] => [
      gameTitle(judgement, verdict.game),
      configTitle(judgement, verdict.config),
      metricLabel[verdict.metric],
      figureCell(verdict.value),
      figureCell(verdict.againstValue),
      verdictCell(verdict),
      verdict.pAdjusted === null ? null : { value: verdict.pAdjusted, shown: formatP(verdict.pAdjusted) },
      verdict.resolvesPct === null
        ? null
        : { value: verdict.resolvesPct, shown: formatPct(verdict.resolvesPct) },
      `${verdict.passes} and ${verdict.againstPasses}`,
    ]),
  );
}

function passes({ shown: judgement }: ReportSource): Markup {
  const shown = metrics.filter((metric) => judgement.passes.some((pass) => pass[metric] !== null));
  const even = steadiness.filter((key) => judgement.passes.some((pass) => pass[key] !== null));
  const table = sortedTable(
    "Every pass",
    [
      "game",
      "config",
      "pass",
      "counts",
      "frames",
      "seconds",
      ...shown.map(labelWithUnit),
      ...even.map((key) => steadinessLabel[key].replace("\n", " ")),
      "noticed",
    ],
    judgement.passes.map((pass): Cell[] => [
      gameTitle(judgement, pass.game),
      configTitle(judgement, pass.config),
      [...(pass.boot === null ? [] : [pass.boot]), pass.pass].join(" / "),
      pass.counted ? "yes" : "no",
      { value: pass.frames, shown: formatCount(pass.frames) },
      figureCell(pass.seconds),
      ...shown.map((metric) => figureCell(pass[metric])),
      ...even.map((key) => figureCell(pass[key])),
      pass.flags.map(({ severity, text }) => `${severity}: ${text}`).join("; "),
    ]),
  );
  return html`${table}${even.length === 0 ? null : html`<p class="note">${steadinessNote}.</p>`}`;
}

function figureCell(value: number | null): Cell {
  return value === null ? null : { value, shown: formatFigure(value) };
}
