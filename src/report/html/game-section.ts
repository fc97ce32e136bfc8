import { capital } from "../../shared/capital.ts";
import { metricLabel } from "../../shared/metrics.ts";
import { configTitle, gameTitle } from "../chart/names.ts";
import { cellsOf } from "../chart/one-game.ts";
import { passesHeight, passesPictureOf } from "../chart/passes-picture.ts";
import type { Look, Picture } from "../chart/picture.ts";
import { tailsPictureOf } from "../chart/tails-picture.ts";
import { tracesPictureOf } from "../chart/traces-picture.ts";
import { findingSentence } from "../findings-report.ts";
import { tableMetrics } from "../rank-rows.ts";
import { figureOf, figureTextPx, type NextId, pictureIfAny } from "./figure.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";

/** One game: what may be said of it, its passes as dots, its frame times and the slow end of their distribution. */
export function gameSection(source: ReportSource, game: string, look: Look, nextId: NextId): Markup {
  const { shown: judgement, session, findings } = source;
  const id = nextId();
  const cells = cellsOf(source, game, look);
  const notes = session.games.find(({ name }) => name === game);
  const facts = [notes?.scene, notes?.settings, notes?.tags.join(", ")].filter(Boolean).join(" · ");
  const about = findings.said.filter(({ rows }) => rows.some((row) => row.game === game));
  // What it has in common with other games was said above, and is worth repeating only where there is nothing else.
  const own = about.filter(({ rows }) => rows.length === 1);
  const said = (own.length > 0 ? own : about).map((finding) => findingSentence(finding, judgement));
  const metrics = tableMetrics(judgement).filter((metric) =>
    judgement.passes.some((pass) => pass.game === game && pass[metric] !== null),
  );
  const open = metrics.flatMap((metric) => {
    const configs = judgement.verdicts
      .filter((row) => row.game === game && row.metric === metric && row.verdict === "unclear")
      .map(({ config }) => configTitle(judgement, config));
    return configs.length === 0 ? [] : [`${metricLabel[metric]} (${configs.join(", ")})`];
  });
  const passes = metrics.map((metric) =>
    figureOf(passesPictureOf(source, game, metric, look), passesHeight(cells.length, figureTextPx), nextId, {
      title: capital(metricLabel[metric]),
      subtitle: "",
      notes: [],
    }),
  );
  return html`<section class="game" id="${id}" aria-labelledby="${id}t">
<h2 id="${id}t">${gameTitle(judgement, game)}</h2>
${facts === "" ? null : html`<p class="quiet">${facts}</p>`}
${
  said.length === 0
    ? html`<p>Nothing can be said of this game yet.</p>`
    : html`<ul>${said.map((sentence) => html`<li>${sentence}</li>`)}</ul>`
}
${open.length === 0 ? null : html`<p class="quiet">Cannot be told yet: ${open.join(", ")}.</p>`}
<div class="figures">${passes}</div>
${frameFigures(source, game, cells.length, look, nextId)}
</section>`;
}

/** What a session has too few frames for is left out of its page. */
function frameFigures(
  source: ReportSource,
  game: string,
  configs: number,
  look: Look,
  nextId: NextId,
): Markup | null {
  const draw = (make: () => Picture, height: number, title: string): Markup[] => {
    const picture = pictureIfAny(make);
    return picture === null ? [] : [figureOf(picture, height, nextId, { title, notes: [] })];
  };
  const figures = [
    ...draw(() => tracesPictureOf(source, game, look), figureTextPx * (configs * 7 + 4), "Frame by frame"),
    ...draw(() => tailsPictureOf(source, game, look), figureTextPx * 22, "The slowest frames"),
  ];
  return figures.length === 0 ? null : html`<div class="figures pair">${figures}</div>`;
}
