import { html, type Markup } from "./markup.ts";

/** A cell: text, or a figure with the text it is shown as; null is empty and sorts last. */
export type Cell = string | null | { readonly value: number; readonly shown: string | Markup } | Markup;

/** A table that sorts by its heads; the first cell of a row names it. */
export function sortedTable(
  caption: string,
  heads: readonly string[],
  rows: readonly (readonly Cell[])[],
): Markup {
  return html`<div class="scroll" tabindex="0" role="region" aria-label="${caption}"><table class="sorts">
<caption>${caption}</caption>
<thead><tr>${heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) => html`<tr>${row.map(cellOf)}</tr>
`,
  )}</tbody>
</table></div>`;
}

function cellOf(cell: Cell, index: number): Markup {
  const name = index === 0 ? html` class="name"` : null;
  if (cell === null) return html`<td${name}></td>`;
  if (typeof cell === "object" && "value" in cell)
    return html`<td${name} data-value="${cell.value}">${cell.shown}</td>`;
  return html`<td${name}>${cell}</td>`;
}
