import { beforeAll, describe, expect, test } from "vitest";
import type { Judgement } from "../../../src/judge/judgement.ts";
import { rulerOfFont } from "../../../src/paint/fonts.ts";
import { judgeMeasured } from "../../../src/pipeline/judge-folder.ts";
import { makePicture } from "../../../src/report/chart/draw-picture.ts";
import type { PictureKind, PictureSource } from "../../../src/report/chart/picture.ts";
import { parseSvg, type SvgElement } from "../../../src/report/chart/plot-library.ts";
import { drawSheet, sheetRows } from "../../../src/report/chart/sheet.ts";
import { lightTheme } from "../../../src/report/chart/theme.ts";
import type { Metric } from "../../../src/shared/metrics.ts";

/*
 * What a picture shows is read back out of the drawn SVG, through the figures printed at its axis and nothing else, and
 * held to the judgement.
 */

let judgement: Judgement;
let show: (only: readonly string[]) => Judgement;
let frames: PictureSource["frames"];
beforeAll(async () => {
  const options = { only: [], traceBuckets: 900 };
  ({ judgement, show, frames } = await judgeMeasured("demo-data", options, {}));
}, 60_000);

interface Drawn {
  readonly metric?: Metric | null;
  readonly only?: readonly string[];
  readonly size?: { readonly width: number; readonly height: number };
  /** Another than the demo's. */
  readonly of?: Judgement;
}

function draw(
  kind: PictureKind,
  { metric = null, only = [], size = { width: 1920, height: 1080 }, of }: Drawn = {},
): SvgElement {
  const look = { theme: lightTheme, ruler: rulerOfFont };
  const source = { judgement: of ?? judgement, shown: of ?? show(only), frames };
  const picture = makePicture(kind, source, { metric, page: 1, rows: sheetRows(size) }, look);
  return parseSvg(drawSheet(picture, size, look, { transparent: false, fontFaces: "" }));
}

/** Where an element lies: its own position and the shifts of everything around it. */
function positionOf(element: SvgElement): [x: number, y: number] {
  let [x, y] = [Number(element.getAttribute("cx") ?? 0), Number(element.getAttribute("cy") ?? 0)];
  for (let at: SvgElement | null = element; at?.getAttribute !== undefined; at = at.parentNode) {
    const [, dx = 0, dy = 0] =
      /translate\((-?[\d.]+),(-?[\d.]+)\)/.exec(at.getAttribute("transform") ?? "") ?? [];
    x += Number(dx);
    y += Number(dy);
  }
  return [x, y];
}

/** Reads values off an axis: from the places and figures of its first and last tick, as a reader would. */
function axisOf(svg: SvgElement, name: string, along: 0 | 1, toScale = (value: number): number => value) {
  const ticks = [...svg.querySelectorAll(`.${name} text`)]
    .map((text) => ({ at: positionOf(text)[along], value: toScale(Number.parseFloat(text.textContent)) }))
    .filter(({ value }) => Number.isFinite(value))
    .sort((a, b) => a.at - b.at);
  const [first, last] = [ticks[0], ticks.at(-1)];
  if (first === undefined || last === undefined || first.at === last.at) throw new Error(`no axis ${name}`);
  const perValue = (last.at - first.at) / (last.value - first.value);
  return (value: number): number => first.at + (toScale(value) - first.value) * perValue;
}

function centres(svg: SvgElement, selector: string): [number, number][] {
  return [...svg.querySelectorAll(selector)].map(positionOf);
}

describe("verdicts of all games", () => {
  test.for(["avgFps", "low1Fps", "low01Fps", "cpuPowerW"] as const)(
    "estimates and interval ends lie where the judgement says, within a pixel (%s)",
    (metric) => {
      const svg = draw("verdicts", { metric });
      const xOf = axisOf(svg, "change-axis", 0);
      const verdicts = judgement.verdicts.filter((verdict) => verdict.metric === metric);
      const dots = centres(svg, ".estimate path").map(([x]) => x);
      expect(dots.length).toBe(verdicts.length);
      expectAll(
        dots,
        verdicts.map(({ changePct }) => xOf(changePct)),
      );
      const lines = [...svg.querySelectorAll(".interval line")];
      expect(lines.length).toBe(verdicts.length);
      const end = (name: "x1" | "x2") =>
        lines.map((line) => positionOf(line)[0] + Number(line.getAttribute(name)));
      const cut = svg.querySelectorAll(".goes-on path");
      if ([...cut].length === 0) {
        expectAll(
          end("x1"),
          verdicts.map(({ lowPct }) => xOf(lowPct as number)),
        );
        expectAll(
          end("x2"),
          verdicts.map(({ highPct }) => xOf(highPct as number)),
        );
      }
    },
  );

  test("the band is the margin that matters, symmetric as a ratio", () => {
    const svg = draw("verdicts");
    const xOf = axisOf(svg, "change-axis", 0);
    const [band] = [...svg.querySelectorAll(".matters rect")];
    const left = positionOf(band as SvgElement)[0] + Number(band?.getAttribute("x"));
    expect(left).toBeCloseTo(xOf(-100 * (1 - 1 / 1.03)), 0);
    expect(left + Number(band?.getAttribute("width"))).toBeCloseTo(xOf(3), 0);
  });
});

test("in a narrow picture nothing upright runs through the words of an interval", () => {
  const svg = draw("verdicts", { size: { width: 1080, height: 1920 } });
  const words = [...svg.querySelectorAll(".lane-words text, .lane-interval text, .lane-config text")];
  const px = Number([...svg.querySelectorAll(".lane-words")][0]?.getAttribute("font-size"));
  expect(px).toBeGreaterThan(20);
  const spans = [
    ...[...svg.querySelectorAll(".matters rect")].map((rect) => {
      const top = positionOf(rect)[1] + Number(rect.getAttribute("y"));
      return [top, top + Number(rect.getAttribute("height"))] as const;
    }),
    ...[...svg.querySelectorAll(".zero line")].map((line) => {
      const at = positionOf(line)[1];
      return [at + Number(line.getAttribute("y1")), at + Number(line.getAttribute("y2"))] as const;
    }),
  ];
  expect([words.length, spans.length]).toEqual([36, 24]);
  for (const word of words) {
    const middle = positionOf(word)[1];
    // Half of a capital's height, 0.66 of the letters' size in the font that comes along.
    const isCrossed = ([from, to]: readonly [number, number]): boolean =>
      from < middle + 0.33 * px && to > middle - 0.33 * px;
    expect(spans.filter(isCrossed)).toEqual([]);
  }
});

test("the mean of all games is filled only where a difference was shown", () => {
  const fills = (of: Judgement): (string | null)[] =>
    [...draw("power", { of }).querySelectorAll(".mean path")].map((path) => path.getAttribute("fill"));
  expect(judgement.suite.find(({ metric }) => metric === "avgFps")?.verdict).toBe("unclear");
  expect(fills(judgement)).toEqual([lightTheme.paper, lightTheme.paper]);
  const suite = judgement.suite.map((row) => ({ ...row, verdict: "higher" as const }));
  expect(fills({ ...judgement, suite })).not.toContain(lightTheme.paper);
});

test("one game's passes lie at their figures, those set aside too", () => {
  const svg = draw("passes", { only: ["moss-and-marrow"], metric: "low1Fps" });
  const xOf = axisOf(svg, "value-axis", 0);
  const passes = judgement.passes.filter(({ game }) => game === "moss-and-marrow");
  const figures = (counted: boolean): number[] =>
    passes.filter((pass) => pass.counted === counted).map(({ low1Fps }) => xOf(low1Fps as number));
  expectAll(
    centres(svg, ".pass path, .pass circle").map(([x]) => x),
    figures(true),
  );
  expect(figures(false)).toHaveLength(1);
  expectAll(
    centres(svg, ".set-aside path").map(([x]) => x),
    figures(false),
  );
});

test("power and frame rate of every game lie at the changes that were judged", () => {
  const svg = draw("power");
  const [xOf, yOf] = [axisOf(svg, "power-axis", 0), axisOf(svg, "fps-axis", 1)];
  const of = (metric: string) => judgement.verdicts.filter((verdict) => verdict.metric === metric);
  const dots = centres(svg, ".game path");
  expectAll(
    dots.map(([x]) => x),
    of("cpuPowerW").map(({ changePct }) => xOf(changePct)),
  );
  expectAll(
    dots.map(([, y]) => y),
    of("avgFps").map(({ changePct }) => yOf(changePct)),
  );
});

test("the marks of the tails lie at the geometric means of the lows", () => {
  const svg = draw("tails", { only: ["ninth-lantern"] });
  const yOf = axisOf(svg, "fps-axis", 1);
  const xOf = axisOf(svg, "share-axis", 0, Math.log);
  const marks = centres(svg, ".mark path, .mark circle");
  const wanted = (["low1Fps", "low01Fps"] as const).flatMap((metric) =>
    judgement.session.configs.map((config): [number, number] => {
      const values = judgement.passes
        .filter((pass) => pass.game === "ninth-lantern" && pass.config === config && pass.counted)
        .map((pass) => Math.log(pass[metric] as number));
      const mean = Math.exp(values.reduce((sum, value) => sum + value, 0) / values.length);
      return [xOf(metric === "low1Fps" ? 1 : 0.1), yOf(mean)];
    }),
  );
  expect(marks.length).toBe(wanted.length);
  expectAll(
    marks.map(([x]) => x),
    wanted.map(([x]) => x),
  );
  expectAll(
    marks.map(([, y]) => y),
    wanted.map(([, y]) => y),
  );
});

test("the slowest frame of a trace is drawn at its height", () => {
  const svg = draw("traces", { only: ["ninth-lantern"] });
  const words = [...svg.querySelectorAll("text")].map(({ textContent }) => textContent);
  const slowest = words.flatMap((text) => /slowest ([\d.]+) ms/.exec(text)?.[1] ?? []).map(Number);
  expect(slowest).toHaveLength(3);
  const panels = [...svg.querySelectorAll(".trace")];
  const tops = panels.map((panel) => {
    const [path] = [...panel.querySelectorAll("path")];
    const ys = [...(path?.getAttribute("d") ?? "").matchAll(/[ML]-?[\d.]+,(-?[\d.]+)/g)].map(([, y]) =>
      Number(y),
    );
    return positionOf(path as SvgElement)[1] + Math.min(...ys);
  });
  const axes = [...svg.querySelectorAll("g.time-axis")].filter(
    (axis) => [...axis.querySelectorAll("text")].length > 0,
  );
  expect(axes).toHaveLength(3);
  for (const [i, axis] of axes.entries()) {
    const ticks = [...axis.querySelectorAll("text")].map((text) => ({
      at: positionOf(text)[1],
      ms: Math.log(Number(text.textContent)),
    }));
    const [first, last] = [ticks[0], ticks.at(-1)] as const;
    if (first === undefined || last === undefined) throw new Error("no ticks");
    const at =
      first.at + ((Math.log(slowest[i] as number) - first.ms) * (last.at - first.at)) / (last.ms - first.ms);
    expect(Math.abs((tops[i] as number) - at)).toBeLessThan(1);
  }
});

/** The same positions in any order, each within a pixel. */
function expectAll(actual: readonly number[], expected: readonly number[]): void {
  const [a, b] = [[...actual].sort((x, y) => x - y), [...expected].sort((x, y) => x - y)];
  expect(a.length).toBe(b.length);
  expect(a.length).toBeGreaterThan(0);
  for (const [i, at] of a.entries()) expect(Math.abs(at - (b[i] as number))).toBeLessThan(1);
}
