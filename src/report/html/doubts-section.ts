import { notCountedRows, openLines, openTitle } from "../judgement-words.ts";
import { html, type Markup } from "./markup.ts";
import type { ReportSource } from "./report-source.ts";

/** Passes set aside with reasons, cautions, and what cannot be told yet. */
export function doubtsSection({ shown: judgement }: ReportSource): Markup {
  const out = notCountedRows(judgement);
  const open = openLines(judgement, true);
  return html`<section id="doubts" aria-labelledby="doubts-title">
<h2 id="doubts-title">Set aside, cautions, still open</h2>
<h3>Passes that do not count</h3>
${
  out.length === 0
    ? html`<p>None.</p>`
    : html`<ul>${out.map(({ pass, reason }) => html`<li>${pass}: ${reason}</li>`)}</ul>`
}
${
  judgement.cautions.length === 0
    ? null
    : html`<h3>Cautions</h3>
<ul>${judgement.cautions.map(({ text }) => html`<li>${withCode(text)}</li>`)}</ul>`
}
${
  open.length === 0
    ? null
    : html`<details><summary>${openTitle}</summary><ul>${open.map((line) => html`<li>${line}</li>`)}</ul></details>`
}
</section>`;
}

/** What stands between backticks is to be typed. */
function withCode(text: string): (string | Markup)[] {
  return text.split("`").map((part, i) => (i % 2 === 1 ? html`<code>${part}</code>` : part));
}
