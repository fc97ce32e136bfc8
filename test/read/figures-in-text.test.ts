import { describe, expect, test } from "vitest";
import { figuresIn, maskOf, saysMultiple, saysNoDifference } from "../../src/read/figures-in-text.ts";

describe("figures are the numbers with a unit that a sentence says", () => {
  test.for([
    ["it drops by about 9%", ["9 %"]],
    ["it drops by 9 per cent, or nine percent", ["9 %", "9 %"]],
    ["twenty-five percent", ["25 %"]],
    ["-3.5% and +2%", ["-3.5 %", "+2 %"]],
    ["\u22123.5%", ["-3.5 %"]],
    ["7-9%", ["7 %", "9 %"]],
    ["between 5 and 9 percent", ["5 %", "9 %"]],
    ["5% to 9%", ["5 %", "9 %"]],
    ["9,5% in a language with decimal commas", ["9.5 %"]],
    ["1,200 FPS", ["1200 FPS"]],
    ["60fps, 60 frames per second", ["60 FPS", "60 FPS"]],
    ["54 W or 54 watts or 54w", ["54 W", "54 W", "54 W"]],
    ["3.4 FPS per watt, 0.29 joules", ["3.4 FPS/W", "0.29 J"]],
    ["the 1% low, the 0.1% lows, 1 percent lows", []],
    ["the 1% and 0.1% lows rise by 2%", ["2 %"]],
    ["one percent lows", []],
    ["with 95% confidence, a 95% interval", []],
    ["six games, 4 passes, version 1.2.3, 99th percentile", []],
    ["", []],
  ] as const)("%s", ([text, expected]) => {
    const sign = { "-1": "-", 0: "", 1: "+" } as const;
    expect(figuresIn(text).map((f) => `${sign[f.sign]}${f.value} ${f.unit}`)).toEqual(expected);
  });

  test.for([
    { written: "12.50 %", value: 12.5, decimals: 2, sign: 0 },
    { written: "+7%", value: 7, decimals: 0, sign: 1 },
    { written: "-0.25%", value: 0.25, decimals: 2, sign: -1 },
    { written: "1,234.5 FPS", value: 1234.5, decimals: 1, sign: 0 },
    { written: "12,345,678 FPS", value: 12_345_678, decimals: 0, sign: 0 },
    { written: "9,75 W", value: 9.75, decimals: 2, sign: 0 },
    { written: "Thirty-five percent", value: 35, decimals: 0, sign: 0 },
    { written: "zero joules", value: 0, decimals: 0, sign: 0 },
  ])("$written is kept as written, with its sign and decimals", ({ written, ...figure }) => {
    expect(figuresIn(`It took ${written}, and then some.`)).toMatchObject([{ ...figure, text: written }]);
  });

  test("both ends of a range are of the same words", () => {
    expect(figuresIn("It took 7.5-9 percent more.")).toMatchObject([
      { value: 7.5, decimals: 1, text: "7.5-9 percent" },
      { value: 9, decimals: 0, text: "7.5-9 percent" },
    ]);
  });

  test("the longest name goes first, and only whole names go", () => {
    const values = (names: readonly string[], text: string): number[] =>
      figuresIn(text, maskOf(names)).map(({ value }) => value);
    expect(values(["Club", "Club 5% Gold"], "Club 5% Gold gains 4%")).toEqual([4]);
    expect(values(["Top 9%"], "The stop 9% later, Top 9% 3%")).toEqual([9, 3]);
    expect(values(["Lantern (5% off)"], "Lantern (5% off) gains 4%")).toEqual([4]);
    expect(values(["quiet--35w"], "quiet 35W gains 4%")).toEqual([4]);
  });

  test("short names and numbers alone are no names", () => {
    expect(maskOf(["5%", "35", "404", ""])).toBeNull();
    expect(maskOf([])).toBeNull();
    expect(figuresIn("404 W", maskOf(["404", "Saltworks"])).map(({ value }) => value)).toEqual([404]);
    expect(figuresIn("5 W", maskOf(["5W", "Saltworks"])).map(({ value }) => value)).toEqual([5]);
    expect(figuresIn("35W at 4%", maskOf(["35W"])).map(({ value }) => value)).toEqual([4]);
  });

  test("what stands in names of games and configs is none, however they are spelt", () => {
    const names = maskOf(["quiet-35w", "Quiet 35 W", "5% Club"]);
    expect(figuresIn("Quiet 35 W, quiet-35w and 5% Club gain 4%", names).map((f) => f.value)).toEqual([4]);
  });

  test.for([
    ["it is within margin of error", true],
    ["they are virtually identical", true],
    ["no measurable difference", true],
    ["run-to-run noise", true],
    ["it is faster", false],
    ["the identical twins", false],
  ] as const)('"%s" says that there is no difference: %s', ([text, expected]) => {
    expect(saysNoDifference(text)).toBe(expected);
  });

  test.for([
    ["twice as fast at 65 watts", true],
    ["half the power", true],
    ["you lose a third of the 1% low", true],
    ["a quarter slower", true],
    ["it doubles the frame rate", true],
    ["1.5x the FPS", true],
    ["two thirds of its performance", true],
    ["a double-digit gain", true],
    ["I ran it twice", false],
    ["half an hour later", false],
    ["a third game", false],
    ["twice the length of this video", false],
    ["three times in a row", false],
    ["more than half of you asked", false],
  ] as const)('"%s" says a size in words: %s', ([text, expected]) => {
    expect(saysMultiple(text)).toBe(expected);
  });
});
