import { RunError } from "../../shared/problem.ts";
import type { ConfigPaint } from "../chart/config-paint.ts";
import type { Picture } from "../chart/picture.ts";
import { symbolPath } from "../chart/plot-library.ts";
import { html, type Markup, trusted } from "./markup.ts";

/** The room of every chart of a page: narrow enough to be read on a phone. */
export const figureWidth = 440;
export const figureTextPx = 15;

/** Ids are the places of figures on the page. */
export type NextId = () => string;

/** A picture with its words around it; the figures in words go with it for screen readers. */
export function figureOf(
  picture: Picture,
  height: number,
  nextId: NextId,
  {
    title = picture.title,
    subtitle = picture.subtitle,
    notes = picture.notes,
  }: {
    readonly title?: string;
    readonly subtitle?: string;
    readonly notes?: readonly string[];
  } = {},
): Markup {
  const id = nextId();
  const drawn = picture.draw({ width: figureWidth, height, textPx: figureTextPx });
  return html`<figure>
<h3>${title}</h3>
${subtitle === "" ? null : html`<p class="sub">${subtitle}</p>`}
${picture.legend.length === 0 ? null : legendOf(picture.legend)}
<svg role="img" aria-labelledby="${id}" aria-describedby="${id}d" viewBox="0 0 ${figureWidth} ${Math.round(height)}"><title id="${id}">${title}. ${picture.subtitle}</title><desc id="${id}d">${picture.description.join(" ")}</desc>${trusted(drawn)}</svg>
${notes.length === 0 ? null : html`<figcaption>${notes.join(" ")}</figcaption>`}
</figure>`;
}

/** The picture, or null where the session lacks what it shows. */
export function pictureIfAny(make: () => Picture): Picture | null {
  try {
    return make();
  } catch (error) {
    if (error instanceof RunError) return null;
    throw error;
  }
}

function legendOf(paints: readonly ConfigPaint[]): Markup {
  return html`<ul class="legend">${paints.map(
    ({ title, symbol, color }) =>
      html`<li><svg viewBox="-10 -10 20 20" aria-hidden="true"><path d="${symbolPath(symbol, 7)}" fill="${color}"/></svg>${title}</li>`,
  )}</ul>`;
}
