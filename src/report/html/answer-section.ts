import type { Judgement } from "../../judge/judgement.ts";
import { hasPower, powerCaution } from "../../shared/power-caution.ts";
import { configTitle } from "../chart/names.ts";
import { findingSentence, notSaidSentence } from "../findings-report.ts";
import { countSentences, sessionSentence, suiteSentences } from "../judgement-words.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";

/** Sentences of this many findings are shown at once; the rest is folded. */
const shownFirst = 8;

/** The answer first, in sentences: what holds over all games, what the data supports, and what must not be said. */
export function answerSection({ shown: judgement, findings }: ReportSource): Markup {
  const said = findings.said.map((finding) => findingSentence(finding, judgement));
  const named = withTitles(judgement);
  const notSaid = findings.notSaid.map((entry) => notSaidSentence(entry, judgement));
  return html`<section id="answer" aria-labelledby="answer-title">
<h2 id="answer-title">The answer</h2>
${suiteSentences(named).map(
  (sentence) => html`<p class="lead">${sentence}</p>
`,
)}
<p>${sessionSentence(named)}</p>
<ul>${countSentences(judgement).map((sentence) => html`<li>${sentence}</li>`)}</ul>
<h3>What the data supports</h3>
${
  said.length === 0
    ? html`<p>Nothing: these passes tell no difference from noise, and show none to be absent.</p>`
    : listOf(said, "findings")
}
${notSaid.length === 0 ? null : html`<details><summary>What must not be said (${notSaid.length})</summary>${bullets(notSaid)}</details>`}
${hasPower(judgement.passes) ? html`<p class="note">${powerCaution}</p>` : null}
</section>`;
}

/** The judgement with configs' names for readers, as the findings have them. */
function withTitles(judgement: Judgement): Judgement {
  const { session, suite } = judgement;
  return {
    ...judgement,
    session: { ...session, baseline: configTitle(judgement, session.baseline) },
    suite: suite.map((row) => ({ ...row, config: configTitle(judgement, row.config) })),
  };
}

function listOf(sentences: readonly string[], what: string): Markup {
  const rest = sentences.slice(shownFirst);
  return html`${bullets(sentences.slice(0, shownFirst))}${
    rest.length === 0
      ? null
      : html`<details><summary>${rest.length} more ${what}</summary>${bullets(rest)}</details>`
  }`;
}

function bullets(sentences: readonly string[]): Markup {
  return html`<ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>`;
}
