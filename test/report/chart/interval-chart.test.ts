import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { changeDomain } from "../../../src/report/chart/change-domain.ts";
import { shorten, type TextRuler, wrap } from "../../../src/report/chart/fit-text.ts";
import { drawIntervals } from "../../../src/report/chart/interval-chart.ts";
import type { IntervalLane } from "../../../src/report/chart/interval-rows.ts";
import { parseSvg } from "../../../src/report/chart/plot-library.ts";
import { lightTheme } from "../../../src/report/chart/theme.ts";

/** Every letter is half as wide as it is high. */
const ruler: TextRuler = (text, sizePx) => [...text].length * sizePx * 0.5;

function lane(verdict: IntervalLane["verdict"], lowPct: number, highPct: number): IntervalLane {
  const paint = { config: "parked", title: "parked", color: "#0063a8", symbol: "diamond" as const };
  return { paint, metric: "avgFps", verdict, lowPct, highPct, changePct: (lowPct + highPct) / 2, mark: "" };
}

function draw(lanes: readonly IntervalLane[], axisLabel = "change") {
  const rows = lanes.map((one, i) => ({ title: `game ${i}`, lanes: [one] }));
  const options = { axisLabel, mattersPct: 3, namesConfigs: true };
  const space = { width: 1800, height: 600, textPx: 30 };
  return parseSvg(
    `<svg xmlns="http://www.w3.org/2000/svg">${drawIntervals(rows, options, space, { theme: lightTheme, ruler })}</svg>`,
  );
}

describe("the stretch of percent that is drawn", () => {
  test("holds every estimate, every settled interval and the margin that matters", () => {
    const lanes = fc.tuple(
      fc.constantFrom<IntervalLane["verdict"]>("higher", "lower", "same", "unclear"),
      fc.double({ min: -60, max: 200, noNaN: true }),
      fc.double({ min: 0.1, max: 150, noNaN: true }),
    );
    fc.assert(
      fc.property(fc.array(lanes, { minLength: 1, maxLength: 8 }), (drawn) => {
        const all = drawn.map(([verdict, low, width]) => lane(verdict, low, low + width));
        const [least, most] = changeDomain([{ title: "", lanes: all }], 3);
        for (const { verdict, changePct, lowPct, highPct } of all) {
          expect(changePct).toBeGreaterThanOrEqual(least);
          expect(changePct).toBeLessThanOrEqual(most);
          if (verdict === "unclear") continue;
          expect(lowPct).toBeGreaterThanOrEqual(least);
          expect(highPct).toBeLessThanOrEqual(most);
        }
        expect(least).toBeLessThan(-3);
        expect(most).toBeGreaterThan(3);
      }),
    );
  });

  test("is not squeezed by one interval that says nothing; arrows show that it goes on", () => {
    const narrow = lane("same", -1, 1);
    const hopeless = lane("unclear", -70, 72);
    const [least, most] = changeDomain([{ title: "", lanes: [narrow, hopeless] }], 3);
    expect(most - least).toBeLessThan(30);
    const svg = draw([narrow, hopeless]);
    expect([...svg.querySelectorAll(".goes-on path")]).toHaveLength(2);
    expect([...draw([narrow]).querySelectorAll(".goes-on path")]).toHaveLength(0);
  });
});

test.for([12, 60, 500])("a config's title of %d letters leaves room for the intervals", (letters) => {
  const title = "M".repeat(letters);
  const plain = lane("same", -1, 1);
  const svg = draw([{ ...plain, paint: { ...plain.paint, title } }], `change against ${title}`);
  const widths = [...svg.querySelectorAll("rect")].map((rect) => Number(rect.getAttribute("width")));
  expect(Math.min(...widths)).toBeGreaterThan(0);
  const texts = [...svg.querySelectorAll("text")].map((text) => text.textContent ?? "");
  for (const text of texts) expect(ruler(text, 30, 400)).toBeLessThanOrEqual(1800);
  // What fits is shown whole.
  expect(texts.includes(title)).toBe(letters === 12);
  expect(texts.some((text) => text.includes("…"))).toBe(letters > 12);
});

test("what cannot be told is dashed and hollow, what was shown solid and filled", () => {
  const look = (verdict: IntervalLane["verdict"]) => {
    const svg = draw([lane(verdict, 5, 9)]);
    const [line] = [...svg.querySelectorAll(".interval line")];
    const [dot] = [...svg.querySelectorAll(".estimate path")];
    const dashes =
      line?.getAttribute("stroke-dasharray") ?? line?.parentNode?.getAttribute("stroke-dasharray");
    return { dashed: dashes !== "none" && dashes !== null, filled: dot?.getAttribute("fill") === "#0063a8" };
  };
  expect(look("higher")).toEqual({ dashed: false, filled: true });
  expect(look("same")).toEqual({ dashed: false, filled: false });
  expect(look("unclear")).toEqual({ dashed: true, filled: false });
});

describe("texts that are too long", () => {
  const style = { sizePx: 10, weight: 400 } as const;

  test("end in an ellipsis, within the room", () => {
    expect(shorten("harbour flyover", 50, style, ruler)).toBe("harbour f…");
    expect(shorten("harbour", 50, style, ruler)).toBe("harbour");
    fc.assert(
      fc.property(
        fc.string({ unit: "grapheme", maxLength: 60 }),
        fc.integer({ min: 10, max: 200 }),
        (text, room) => {
          expect(ruler(shorten(text, room, style, ruler), 10, 400)).toBeLessThanOrEqual(room);
        },
      ),
    );
  });

  test("are not cut inside what readers see as one character", () => {
    const flags = "\u{1f1e9}\u{1f1ea}".repeat(6);
    for (let room = 15; room < 60; room += 5)
      expect([...shorten(flags, room, style, ruler)].filter((c) => c !== "…").length % 2).toBe(0);
  });

  test("break at spaces, and only the last line is cut", () => {
    expect(wrap("the full chamber debate of the second act", 80, 2, style, ruler)).toEqual([
      "the full chamber",
      "debate of the s…",
    ]);
    expect(wrap("short", 80, 2, style, ruler)).toEqual(["short"]);
  });
});
