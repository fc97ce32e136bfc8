import type { PathCommand } from "opentype.js";
import type { FontWeight } from "../report/chart/fit-text.ts";
import type { SvgElement } from "../report/chart/plot-library.ts";
import { placeGlyphs } from "./fonts.ts";

/**
 * Replaces every text of an SVG picture by the outlines of its letters, so that whatever draws it needs no font. Knows
 * what our own pictures use: size, weight, anchor, fill and stroke, inherited or not; x, y and dy in pixels or em; lines
 * as tspans.
 */
export function outlineTexts(root: SvgElement): void {
  for (const text of [...root.querySelectorAll("text")]) {
    const d = outlineLines(text);
    const stroke = inherited(text, "stroke") ?? "none";
    // A halo goes below its letters, as paint-order asks of browsers.
    if (stroke !== "none") insertPath(text, d, { fill: "none", stroke });
    insertPath(text, d, { fill: inherited(text, "fill") ?? "#000", stroke: "none" });
    text.remove();
  }
}

function outlineLines(text: SvgElement): string {
  const sizePx = Number(inherited(text, "font-size") ?? 10);
  const weight: FontWeight = Number(inherited(text, "font-weight") ?? 400) >= 600 ? 600 : 400;
  const anchor = inherited(text, "text-anchor") ?? "start";
  const share = anchor === "start" ? 0 : anchor === "middle" ? 0.5 : 1;
  const spans = [...text.querySelectorAll("tspan")];
  let y = offset(text, "y", sizePx) + offset(text, "dy", sizePx);
  return (spans.length === 0 ? [text] : spans)
    .map((line) => {
      if (line !== text) {
        if (line.getAttribute("y") !== null) y = offset(line, "y", sizePx);
        y += offset(line, "dy", sizePx);
      }
      const { glyphs, widthEm } = placeGlyphs(line.textContent, weight);
      const x = offset(line, "x", sizePx) - share * widthEm * sizePx;
      return glyphs
        .flatMap(({ glyph, xEm }) => glyph.getPath(x + xEm * sizePx, y, sizePx).commands)
        .map(pathCommand)
        .join("");
    })
    .join("");
}

/** The font library's own path data holds NaN where a coordinate is next to zero. */
function pathCommand(command: PathCommand): string {
  const at = (...values: readonly number[]): string => values.map((value) => value.toFixed(2)).join(" ");
  switch (command.type) {
    case "M":
    case "L":
      return `${command.type}${at(command.x, command.y)}`;
    case "Q":
      return `Q${at(command.x1, command.y1, command.x, command.y)}`;
    case "C":
      return `C${at(command.x1, command.y1, command.x2, command.y2, command.x, command.y)}`;
    case "Z":
      return "Z";
  }
}

function insertPath(text: SvgElement, d: string, attributes: Readonly<Record<string, string>>): void {
  const path = text.ownerDocument.createElementNS("http://www.w3.org/2000/svg", "path");
  const transform = text.getAttribute("transform");
  const all = { d, ...attributes, ...(transform !== null && { transform }) };
  for (const [name, value] of Object.entries(all)) path.setAttribute(name, value);
  text.parentNode?.insertBefore(path, text);
}

function inherited(element: SvgElement, name: string): string | null {
  for (let at: SvgElement | null = element; at?.getAttribute !== undefined; at = at.parentNode) {
    const value = at.getAttribute(name);
    if (value !== null) return value;
  }
  return null;
}

/** A position in pixels; "0.32em" is a share of the text's size. */
function offset(element: SvgElement, name: string, sizePx: number): number {
  const text = element.getAttribute(name);
  if (text === null) return 0;
  return Number.parseFloat(text) * (text.endsWith("em") ? sizePx : 1);
}
