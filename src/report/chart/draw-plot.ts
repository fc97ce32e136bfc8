import { type PlotOptions, plotElement } from "./plot-library.ts";

const geometry = new Set("x y x1 x2 y1 y2 cx cy r width height d points transform dx dy rx ry".split(" "));

/**
 * A plot as SVG elements, without the root and without styles, which a strict page would not let through. Positions
 * are rounded to a hundredth of a pixel.
 */
export function drawPlot(options: PlotOptions): string {
  const root = plotElement(options);
  for (const style of [...root.querySelectorAll("style")]) style.remove();
  for (const element of root.querySelectorAll("*")) {
    element.removeAttribute("style");
    element.removeAttribute("aria-hidden");
    element.removeAttribute("aria-label");
    for (const { name, value } of [...element.attributes]) {
      if (geometry.has(name)) element.setAttribute(name, roundNumbers(value));
    }
  }
  // What the root gave to its texts.
  return `<g text-anchor="middle">${root.innerHTML}</g>`;
}

function roundNumbers(text: string): string {
  return text.replace(/-?\d+\.\d+(?:e[-+]?\d+)?/g, (number) => String(Number(Number(number).toFixed(2)) + 0));
}
