import { expect, test } from "vitest";
import { fontFaces, rulerOfFont } from "../../src/paint/fonts.ts";

const rangesIn = (text: string): string[] =>
  [...fontFaces(text).matchAll(/unicode-range:([^;}]*)/g)].map(([, range]) => range as string);

test("a page carries the parts of the font that its names need, in both weights, and no others", () => {
  expect(fontFaces("Tide Runner").match(/@font-face/g)).toHaveLength(2);
  // Code points: The Unicode Standard, blocks Cyrillic and Greek.
  expect(rangesIn("мир Ω")).toEqual(["U+3a9", "U+3a9", "U+43c,U+438,U+440", "U+43c,U+438,U+440"]);
  expect(fontFaces("鋼").match(/@font-face/g)).toHaveLength(2);
});

test("a letter that the font lacks is given the room that it takes in another font: square characters a square", () => {
  expect(rulerOfFont("鋼鐵", 20, 400)).toBeGreaterThanOrEqual(40);
  expect(rulerOfFont("🌱", 20, 600)).toBeGreaterThanOrEqual(20);
  expect(rulerOfFont("ii", 20, 400)).toBeLessThan(20);
});
