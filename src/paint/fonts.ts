import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import opentype, { type Font, type Glyph } from "opentype.js";
import type { FontWeight, TextRuler } from "../report/chart/fit-text.ts";
import { textWidth } from "../report/wrap-text.ts";

/*
 * The font that comes with the program (Source Sans 3, SIL Open Font License 1.1), so that a picture looks the same on
 * every machine. Its package cuts it into parts by script; a part is read when a character needs it.
 */

/** In the order in which a character is looked for. */
const scripts = [
  "latin",
  "latin-ext",
  "greek",
  "cyrillic",
  "vietnamese",
  "cyrillic-ext",
  "greek-ext",
] as const;

const require = createRequire(import.meta.url);
const fonts = new Map<string, Font>();

function fontFile(script: string, weight: FontWeight, extension: "woff" | "woff2"): string {
  return require.resolve(
    `@fontsource/source-sans-3/files/source-sans-3-${script}-${weight}-normal.${extension}`,
  );
}

function fontOf(script: string, weight: FontWeight): Font {
  const key = `${script}-${weight}`;
  const known = fonts.get(key);
  if (known !== undefined) return known;
  const bytes = readFileSync(fontFile(script, weight, "woff"));
  const font = opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
  fonts.set(key, font);
  return font;
}

/** A letter in its place. */
export interface PlacedGlyph {
  readonly glyph: Glyph;
  /** From the start of the text, in units of the text's size. */
  readonly xEm: number;
}

/** The part of the font that has a character. */
function scriptOf(character: string, weight: FontWeight): (typeof scripts)[number] | undefined {
  return scripts.find((name) => fontOf(name, weight).charToGlyphIndex(character) > 0);
}

/**
 * The letters of a text one after another, kerned; what the font does not have is an empty box, as wide as the letter
 * may be in the font of a viewer that has it.
 */
export function placeGlyphs(
  text: string,
  weight: FontWeight,
): { readonly glyphs: readonly PlacedGlyph[]; readonly widthEm: number } {
  const glyphs: PlacedGlyph[] = [];
  let x = 0;
  let last: { readonly font: Font; readonly glyph: Glyph } | undefined;
  for (const character of text) {
    const script = scriptOf(character, weight);
    const font = fontOf(script ?? "latin", weight);
    const glyph = font.charToGlyph(character);
    if (last?.font === font) x += font.getKerningValue(last.glyph, glyph) / font.unitsPerEm;
    glyphs.push({ glyph, xEm: x });
    const widthEm = (glyph.advanceWidth ?? 0) / font.unitsPerEm;
    // Chinese characters and emoji are square.
    x += script === undefined && textWidth(character) > 1 ? Math.max(1, widthEm) : widthEm;
    last = { font, glyph };
  }
  return { glyphs, widthEm: x };
}

/** Characters of a text that the font does not have, each once. */
export function missingLetters(text: string): string[] {
  const rare = new Set(text.match(/\P{ASCII}/gu));
  return [...rare].filter((character) => scriptOf(character, 400) === undefined);
}

/** Width of a text in the font that comes with the program. */
export const rulerOfFont: TextRuler = (text, sizePx, weight) => placeGlyphs(text, weight).widthEm * sizePx;

/**
 * Style rules that carry the font in both weights, for a page or an SVG file: the Latin part, and of the others those
 * that have letters of the text, such as names of games; without them a viewer's own font, wider or narrower, would
 * stand in places that were measured with this one.
 */
export function fontFaces(text: string): string {
  const rare = [...new Set(text.match(/\P{ASCII}/gu))];
  return scripts
    .map((script) => ({ script, own: rare.filter((character) => scriptOf(character, 400) === script) }))
    .filter(({ script, own }) => script === "latin" || own.length > 0)
    .flatMap(({ script, own }) => ([400, 600] as const).map((weight) => fontFace(script, weight, own)))
    .join("");
}

function fontFace(script: string, weight: FontWeight, characters: readonly string[]): string {
  const data = readFileSync(fontFile(script, weight, "woff2")).toString("base64");
  const codes = characters.map((character) => `U+${(character.codePointAt(0) ?? 0).toString(16)}`);
  const range = script === "latin" ? "" : `;unicode-range:${codes.join(",")}`;
  return `@font-face{font-family:"Source Sans 3";font-weight:${weight};src:url(data:font/woff2;base64,${data}) format("woff2")${range}}`;
}
