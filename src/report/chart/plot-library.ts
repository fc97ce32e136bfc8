/*
 * The charting library and the document it draws in. The only file that imports them, and only pictures import it: the
 * build puts both into this one file (bin/build/bundle.js), so that nobody who installs the program installs their
 * sixty packages, and a picture need not load as many files.
 */
import * as Plot from "@observablehq/plot";
import { DOMParser, parseHTML } from "linkedom";

export type { Markish, PlotOptions } from "@observablehq/plot";
export { Plot };

/** As much of an element as is needed here; the program is compiled without a browser's types. */
export interface SvgElement {
  readonly tagName: string;
  readonly textContent: string;
  readonly innerHTML: string;
  readonly ownerDocument: { createElementNS(namespace: string, name: string): SvgElement };
  readonly parentNode: SvgElement | null;
  readonly children: Iterable<SvgElement>;
  readonly attributes: Iterable<{ readonly name: string; readonly value: string }>;
  querySelectorAll(selector: string): Iterable<SvgElement>;
  getAttribute(name: string): string | null;
  setAttribute(name: string, value: string): void;
  removeAttribute(name: string): void;
  insertBefore(element: SvgElement, before: SvgElement): void;
  remove(): void;
  toString(): string;
}

/** Draws a plot and gives its root element. */
export function plotElement(options: Plot.PlotOptions): SvgElement {
  const { document } = parseHTML("<!doctype html><html><body></body></html>");
  return Plot.plot({ ...options, document: document as never }) as unknown as SvgElement;
}

/** The root element of an SVG file. */
export function parseSvg(svg: string): SvgElement {
  const document = new DOMParser().parseFromString(svg, "image/svg+xml");
  return document.documentElement as unknown as SvgElement;
}

/** Path of a symbol around 0, 0, as the plots draw it. */
export function symbolPath(name: Plot.SymbolType, radius: number): string {
  const node = plotElement({
    width: 2,
    height: 2,
    margin: 1,
    axis: null,
    marks: [Plot.dot([null], { frameAnchor: "middle", symbol: name, r: radius })],
  });
  for (const dot of node.querySelectorAll("path")) return dot.getAttribute("d") ?? "";
  return `M${radius},0A${radius},${radius},0,1,1,${-radius},0A${radius},${radius},0,1,1,${radius},0Z`;
}
