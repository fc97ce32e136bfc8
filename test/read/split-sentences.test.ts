import { describe, expect, test } from "vitest";
import { splitSentences } from "../../src/read/split-sentences.ts";

const sentencesOf = (text: string) => splitSentences(text).map(({ start, end }) => text.slice(start, end));

describe("a sentence ends with its mark, before white space", () => {
  test.for([
    { text: "One. Two! Three? Four\u2026 Five", is: ["One.", "Two!", "Three?", "Four\u2026", "Five"] },
    { text: "Really?! Yes... no.", is: ["Really?!", "Yes...", "no."] },
    { text: 'He said "stop." Then went.', is: ['He said "stop."', "Then went."] },
    { text: "It fell (by a lot.) Then rose.", is: ["It fell (by a lot.)", "Then rose."] },
    {
      text: "It fell \u201cfar.\u201d Then [rose.] Then 'held.' So.",
      is: ["It fell \u201cfar.\u201d", "Then [rose.]", "Then 'held.'", "So."],
    },
    { text: "At 35 watts. 1% low drops.", is: ["At 35 watts.", "1% low drops."] },
    { text: "It is 9.5% lower.", is: ["It is 9.5% lower."] },
    { text: "See runjury.example for more.", is: ["See runjury.example for more."] },
    { text: "  One.\n\n  Two.  ", is: ["One.", "Two."] },
    { text: "No mark at all", is: ["No mark at all"] },
    { text: " \n ", is: [] },
    { text: "", is: [] },
  ])("$text", ({ text, is }) => {
    expect(sentencesOf(text)).toEqual(is);
  });
});

describe("an abbreviation's full stop ends no sentence", () => {
  test.for([
    "In games, e.g. Saltworks, it holds.",
    "In games (e.g. Saltworks) it holds.",
    'In games, "e.g. Saltworks", it holds.',
    "In games, 'i.e. Saltworks', it holds.",
    "E.g. Saltworks holds.",
    "That is 35 W vs. 54 W.",
    "It takes approx. 9% more.",
    "See Fig. 2 and no. 3.",
    "By Dr. Alder, resp. Ms. Birch of St. Orm.",
    "At 9 p.m. it ended.",
    "Games, drivers, etc. were the same.",
    "Ca. 9%, cf. Mr. Alder and Mrs. Birch.",
  ])("%s", (text) => {
    expect(sentencesOf(text)).toEqual([text]);
  });

  test.for([
    { text: "It was a ruse. It worked.", is: ["It was a ruse.", "It worked."] },
    { text: "We tested indoors at the desk, no. Why?", is: ["We tested indoors at the desk, no. Why?"] },
    { text: "They say yes or no! Then stop.", is: ["They say yes or no!", "Then stop."] },
    { text: "This is the canvas. That the paint.", is: ["This is the canvas.", "That the paint."] },
    { text: "So e.g... then.", is: ["So e.g...", "then."] },
    { text: "Config A. Config B.", is: ["Config A.", "Config B."] },
    { text: "Once there.Then here. Done", is: ["Once there.Then here.", "Done"] },
    // A mark that ended the sentence before is no part of an abbreviation.
    { text: "Yes. vs. no.", is: ["Yes.", "vs. no."] },
  ])("$text", ({ text, is }) => {
    expect(sentencesOf(text)).toEqual(is);
  });
});
