import { expect, test } from "vitest";
import { missingLetters } from "../../src/paint/fonts.ts";

// Which scripts the font has: its package's files, "latin" to "vietnamese".
test.for([
  { text: "Tide Runner, 35 W", missing: [] },
  { text: "Schüttelfrost, ção, Łódź", missing: [] },
  { text: "Ελλάδα мир Việt", missing: [] },
  { text: "鋼之鋼", missing: ["鋼", "之"] },
  { text: "moss 🌱", missing: ["🌱"] },
])("of $text the font lacks $missing", ({ text, missing }) => {
  expect(missingLetters(text)).toEqual(missing);
});
