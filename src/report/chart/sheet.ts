import { markupText } from "../escape.ts";
import type { ConfigPaint } from "./config-paint.ts";
import { type FontWeight, wrap } from "./fit-text.ts";
import { laneHeight } from "./interval-chart.ts";
import type { Look, Picture, Space } from "./picture.ts";
import { symbolPath } from "./plot-library.ts";

export interface SheetSize {
  /** In pixels of the finished picture. */
  readonly width: number;
  readonly height: number;
}

/** The shorter side of every sheet in its own units; text is sized for it, so that 4K looks like HD. */
const shortSide = 1080;
/**
 * Sizes of ordinary text, the first that leaves room for all lines: on a phone held across, a full-screen picture shows
 * them at 14 to 18 of its pixels (common practice, no source).
 */
const textSizesPx = [40, 37, 34, 31] as const;
const smallestPx = 31;
const pad = 56;

/** Lanes of a list of intervals that fit on a sheet of this size, with its smallest text. */
export function sheetRows(size: SheetSize): number {
  return rowsThatFit(size, smallestPx);
}

function rowsThatFit(size: SheetSize, textPx: number): number {
  const { width, height } = unitsOf(size);
  const words = 10.5 * textPx;
  const lane = laneHeight({ width: width - 2 * pad, height, textPx });
  return Math.max(1, Math.floor((height - 2 * pad - words) / lane));
}

/**
 * A picture with its title, legend and notes as one SVG file of the given size.
 * @param transparent leaves the paper out
 * @param fontFaces style rules that carry the font; "" leaves it to the viewer
 */
export function drawSheet(
  picture: Picture,
  size: SheetSize,
  look: Look,
  { transparent, fontFaces }: { readonly transparent: boolean; readonly fontFaces: string },
): string {
  const { width, height } = unitsOf(size);
  const room = width - 2 * pad;
  const { theme, ruler } = look;
  const textPx = textSizesPx.find((px) => rowsThatFit(size, px) >= picture.lines) ?? smallestPx;
  const parts: string[] = [];
  let y = pad;

  const write = (text: string, sizePx: number, weight: FontWeight, fill: string, mostLines: number): void => {
    for (const line of wrap(text, room, mostLines, { sizePx, weight }, ruler)) {
      y += sizePx;
      parts.push(textElement(line, pad, y, sizePx, weight, fill));
      y += sizePx * 0.2;
    }
  };
  write(picture.title, textPx * 1.85, 600, theme.ink, 2);
  y += textPx * 0.1;
  write(picture.subtitle, textPx * 1.1, 400, theme.quiet, 2);
  if (picture.legend.length > 0) {
    y += textPx * 0.55;
    const legend = drawLegend(picture.legend, { left: pad, top: y, room, textPx }, look);
    parts.push(legend.svg);
    y += legend.height;
  }
  y += textPx * 0.9;

  const noteSize = textPx * 0.82;
  const notes = wrap(picture.notes.join(" "), room, 6, { sizePx: noteSize, weight: 400 }, ruler);
  const notesHeight = notes.length * noteSize * 1.3;
  const chart: Space = { width: room, height: height - pad * 0.8 - notesHeight - y - textPx * 0.3, textPx };
  parts.push(`<g transform="translate(${pad},${round(y)})">${picture.draw(chart)}</g>`);
  for (const [i, line] of notes.entries()) {
    const at = height - pad * 0.8 - notesHeight + (i + 1) * noteSize * 1.3 - noteSize * 0.3;
    parts.push(textElement(line, pad, at, noteSize, 400, theme.quiet));
  }

  const paper = transparent ? "" : `<rect width="${width}" height="${height}" fill="${theme.paper}"/>`;
  const style = fontFaces === "" ? "" : `<style>${fontFaces}</style>`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${size.width}" height="${size.height}"`,
    ` viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="title about" font-family="${fontStack}">`,
    `<title id="title">${markupText(`${picture.title}. ${picture.subtitle}`)}</title>`,
    `<desc id="about">${markupText([...picture.description, ...picture.notes].join(" "))}</desc>`,
    `${style}${paper}${parts.join("")}</svg>\n`,
  ].join("");
}

/** The font that pictures are measured with comes first. */
export const fontStack = "'Source Sans 3', system-ui, sans-serif";

function unitsOf({ width, height }: SheetSize): { width: number; height: number } {
  const scale = shortSide / Math.min(width, height);
  return { width: Math.round(width * scale), height: Math.round(height * scale) };
}

function textElement(
  text: string,
  x: number,
  y: number,
  sizePx: number,
  weight: FontWeight,
  fill: string,
): string {
  const at = `x="${round(x)}" y="${round(y)}" font-size="${round(sizePx)}"`;
  return `<text ${at} font-weight="${weight}" fill="${fill}">${markupText(text)}</text>`;
}

/** Shape, colour and name of each config, on as many lines as it takes. */
function drawLegend(
  entries: readonly ConfigPaint[],
  { left, top, room, textPx }: { left: number; top: number; room: number; textPx: number },
  { theme, ruler }: Look,
): { readonly svg: string; readonly height: number } {
  const line = textPx * 1.4;
  const indent = textPx * 1.1;
  const parts: string[] = [];
  let x = left;
  let y = top;
  for (const paint of entries) {
    const titles = wrap(paint.title, room - indent, 2, { sizePx: textPx, weight: 600 }, ruler);
    const width = indent + Math.max(0, ...titles.map((title) => ruler(title, textPx, 600)));
    if (x > left && x + width > left + room) {
      x = left;
      y += line;
    }
    const shape = symbolPath(paint.symbol, textPx * 0.36);
    const at = `translate(${round(x + textPx * 0.4)},${round(y + textPx * 0.66)})`;
    parts.push(`<path d="${shape}" transform="${at}" fill="${paint.color}"/>`);
    for (const [i, title] of titles.entries()) {
      if (i > 0) y += textPx * 1.15;
      parts.push(textElement(title, x + indent, y + textPx, textPx, 600, theme.ink));
    }
    x += width + textPx * 1.4;
  }
  return { svg: parts.join(""), height: y + line - top };
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
