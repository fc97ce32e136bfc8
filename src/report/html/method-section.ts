import { formatGiven, formatPct } from "../../shared/format-number.ts";
import { configTitle, gameTitle } from "../chart/names.ts";
import { factorRows, methodSentences } from "../judgement-words.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";

/** The method in plain words, then the system and the settings. */
export function methodSection(source: ReportSource): Markup {
  const { shown: judgement } = source;
  const factors = factorRows(judgement);
  return html`<section id="method" aria-labelledby="method-title">
<h2 id="method-title">How this was told</h2>
${methodSentences(judgement).map(
  (sentence) => html`<p>${sentence}</p>
`,
)}
<p>Each pass is one value per metric; everything is compared as ratios. How noisy a game is, is judged from its own passes and, since a few passes say little about noise, from the other games under the same two configs (Smyth 2004). Passes slower than chance allows in a whole session are set aside and shown.</p>
<p>Lines of frame times are thinned: of each short stretch the fastest and the slowest frame are drawn, so that no spike is lost (minimum and maximum per bucket; Jugel, Jerzak, Hackenbroich and Markl 2014, Proceedings of the VLDB Endowment 7(10), 797-808). Of each config the pass with the middle average FPS is drawn. Curves of the slowest frames show quantiles of frame time (Hyndman and Fan 1996, type 7) as FPS.</p>
${
  factors.length === 0
    ? null
    : html`<h3>Factors, over all games</h3><ul>${factors.map(
        ({ effect, metric, result }) => html`<li>${effect}, ${metric}: ${result}</li>`,
      )}</ul>`
}
</section>
${systemSection(source)}`;
}

function systemSection({ shown: judgement, session }: ReportSource): Markup {
  const { keepS, skipS } = session.trim;
  const kept =
    skipS === 0 && keepS === null
      ? "whole passes"
      : `from ${formatGiven(skipS)} s ${keepS === null ? "to the end" : `for ${formatGiven(keepS)} s`}`;
  const facts: [string, string][] = [
    ...session.system.map(({ name, value }): [string, string] => [name, value]),
    ["baseline", configTitle(judgement, judgement.session.baseline)],
    ["what matters", formatPct(judgement.session.mattersPct)],
    ["confidence", formatPct(judgement.session.confidencePct)],
    ["window of each pass", kept],
    ...(judgement.made === undefined
      ? []
      : ([
          ["captures", judgement.made.folder],
          ["judged by", `runjury ${judgement.made.version}`],
        ] as [string, string][])),
  ];
  const configs = session.configs.map(({ name, threads, changes, frameCapFps, levels }): [string, string] => [
    configTitle(judgement, name),
    [
      ...(threads === null ? [] : [`${threads} threads`]),
      ...(changes.length === 0 ? [] : [`changes ${changes.join(", ")}`]),
      ...(frameCapFps === null ? [] : [`frame cap ${formatGiven(frameCapFps)} FPS`]),
      ...Object.entries(levels).map(([factor, level]) => `${factor}: ${level}`),
    ].join("; "),
  ]);
  const games = session.games.map(({ name, scene, settings, tags, frameCapFps }): [string, string] => [
    gameTitle(judgement, name),
    [
      ...(scene === null ? [] : [scene]),
      ...(settings === null ? [] : [settings]),
      ...(frameCapFps === null ? [] : [`frame cap ${formatGiven(frameCapFps)} FPS`]),
      ...(tags.length === 0 ? [] : [tags.join(", ")]),
    ].join("; "),
  ]);
  return html`<section id="system" aria-labelledby="system-title">
<h2 id="system-title">System and settings</h2>
${list(facts)}
${told(configs) ? html`<h3>Configs</h3>${list(configs)}` : null}
${told(games) ? html`<h3>Games</h3>${list(games)}` : null}
</section>`;
}

function told(entries: readonly (readonly [string, string])[]): boolean {
  return entries.some(([, text]) => text !== "");
}

function list(entries: readonly (readonly [string, string])[]): Markup {
  return html`<dl>${entries
    .filter(([, text]) => text !== "")
    .map(([name, text]) => html`<dt>${name}</dt><dd>${text}</dd>`)}</dl>`;
}
