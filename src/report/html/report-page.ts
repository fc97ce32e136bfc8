import { createHash } from "node:crypto";
import type { TextRuler } from "../chart/fit-text.ts";
import { gameTitle } from "../chart/names.ts";
import type { Look } from "../chart/picture.ts";
import { rankRows } from "../rank-rows.ts";
import { toJson } from "../to-json.ts";
import { answerSection } from "./answer-section.ts";
import { dataSection } from "./data-section.ts";
import { doubtsSection } from "./doubts-section.ts";
import { gameSection } from "./game-section.ts";
import { gamesSection } from "./games-section.ts";
import { html, type Markup, trusted } from "./markup.ts";
import { methodSection } from "./method-section.ts";
import { pageScript } from "./page-script.ts";
import { pageStyle } from "./page-style.ts";
import { pageTheme } from "./page-theme.ts";
import { powerSection } from "./power-section.ts";
import type { ReportSource } from "./report-source.ts";
import { suiteSection } from "./suite-section.ts";

/**
 * A session as one HTML file that needs nothing else: no network, no other file, no script to be read. What runs and what
 * styles is named by its hash in the page's own policy (Content Security Policy Level 3), so that nothing in the data
 * could ever run.
 * @param fontFaces style rules that carry the font
 */
export function reportPage(
  source: ReportSource,
  { ruler, fontFaces }: { readonly ruler: TextRuler; readonly fontFaces: string },
): string {
  const { shown: judgement } = source;
  const look: Look = { theme: pageTheme, ruler };
  let ids = 0;
  const nextId = (): string => `f${++ids}`;
  const style = pageStyle(fontFaces);
  const policy = [
    "default-src 'none'",
    `script-src '${hashOf(pageScript)}'`,
    `style-src '${hashOf(style)}'`,
    "img-src data:",
    "font-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const title = judgement.session.title ?? "What really changed";
  const suite = suiteSection(source, look, nextId);
  const games = gamesSection(source, look, nextId);
  const power = powerSection(source, look, nextId);
  const order = [...new Set([...rankRows(judgement).map(({ game }) => game), ...judgement.session.games])];
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${trusted(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<link rel="icon" href="data:,">
<style>${trusted(style)}</style>
</head>
<body>
<a class="skip" href="#answer">To the answer</a>
<header>
<h1>${title}</h1>
<p class="quiet">${gameList(order.map((game) => gameTitle(judgement, game)))}</p>
<div class="controls" hidden><button type="button" id="theme">Dark page</button><button type="button" id="download">Download the data (JSON)</button></div>
${navigation({ suite: suite !== null, power: power !== null })}
</header>
<main>
${answerSection(source)}
${suite}
${games}
${power}
${order.map((game) => gameSection(source, game, look, nextId))}
${doubtsSection(source)}
${methodSection(source)}
${dataSection(source)}
</main>
<footer><p class="quiet">The page carries its data: the judgement as JSON, as <code>runjury judge --format json</code> prints it.</p></footer>
<script type="application/json" id="judgement">${trusted(jsonInPage(toJson(judgement)))}</script>
<script>${trusted(pageScript)}</script>
</body>
</html>
`;
  return page.text;
}

/** So many games are named at the top. */
const mostNamed = 12;

function gameList(titles: readonly string[]): string {
  const more = titles.length - mostNamed;
  return [...titles.slice(0, mostNamed), ...(more > 0 ? [`and ${more} more`] : [])].join(" · ");
}

function navigation({ suite, power }: { readonly suite: boolean; readonly power: boolean }): Markup {
  const links = [
    ["answer", "The answer"],
    ...(suite ? [["suite", "All games"]] : []),
    ["games", "Game by game"],
    ...(power ? [["power", "Power"]] : []),
    ["doubts", "Set aside and cautions"],
    ["method", "Method"],
    ["system", "System"],
    ["data", "Figures"],
  ] as const;
  return html`<nav aria-label="On this page"><ul>${links.map(
    ([id, text]) => html`<li><a href="#${id as string}">${text as string}</a></li>`,
  )}</ul></nav>`;
}

/** JSON inside a script element: a "<" would be able to end it (HTML Standard, 4.12.1.3). */
function jsonInPage(json: string): string {
  return json.replace(/</g, "\\u003c");
}

function hashOf(text: string): string {
  return `sha256-${createHash("sha256").update(text, "utf8").digest("base64")}`;
}
