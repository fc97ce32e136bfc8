import { expect, test } from "vitest";
import { type TextStyle, wrap } from "../../../src/report/chart/fit-text.ts";

const style: TextStyle = { sizePx: 1, weight: 400 };
/** Every character is one pixel wide. */
const ruler = (text: string): number => text.length;

test.for([
  { it: "spaces are where it breaks", text: "Moss and Marrow", width: 9, lines: ["Moss and", "Marrow"] },
  {
    it: "a word that fits keeps its hyphens",
    text: "the run-to-run noise",
    width: 11,
    lines: ["the", "run-to-run", "noise"],
  },
  {
    it: "a word that is too wide breaks after a hyphen",
    text: "hollow-parliament",
    width: 11,
    lines: ["hollow-", "parliament"],
  },
  { it: "and after an underscore", text: "moss_and_marrow", width: 9, lines: ["moss_and_", "marrow"] },
  { it: "never after the sign of a number", text: "-1234567 x", width: 4, lines: ["-12…", "x"] },
  { it: "what has no such place is cut", text: "hollowparliament", width: 6, lines: ["hollo…"] },
  {
    it: "what does not fit on the last line is cut there",
    text: "a-b-c-d-e-f-g",
    width: 4,
    most: 2,
    lines: ["a-b-", "c-d…"],
  },
])("$it: $text", ({ text, width, most = 3, lines }) => {
  expect(wrap(text, width, most, style, ruler)).toEqual(lines);
});
