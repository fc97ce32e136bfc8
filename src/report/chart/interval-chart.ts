import { isCalled } from "../../judge/verdict.ts";
import { intervalText, verdictText } from "../judgement-words.ts";
import { type AxisLook, axisBottom, bottomMargin, gridX, signedPct } from "./axes.ts";
import { changeDomain } from "./change-domain.ts";
import { drawPlot } from "./draw-plot.ts";
import { type FontWeight, shorten, type TextRuler, wrap } from "./fit-text.ts";
import type { IntervalLane, IntervalRow } from "./interval-rows.ts";
import type { Look, Space } from "./picture.ts";
import { type Markish, Plot } from "./plot-library.ts";

/** Narrower than this many letters, words stand above their interval instead of beside it. */
const lettersBeside = 44;

/** Air between rows, as a share of a row with its air. */
const rowGap = 0.16;

/** Whether the words of a lane stand beside its interval in this room. */
function wordsBeside({ width, textPx }: Space): boolean {
  return width / textPx >= lettersBeside;
}

/** Height that a lane takes at least, its share of the air between rows included. */
export function laneHeight(space: Space): number {
  return space.textPx * (wordsBeside(space) ? 1.5 : 2.9);
}

/** Height of a chart of so many rows of so many lanes each. */
export function intervalsHeight(rows: number, lanes: number, space: Omit<Space, "height">): number {
  const { textPx } = space;
  return rows * (lanes * laneHeight({ ...space, height: 0 }) + 0.9 * textPx) + 3.4 * textPx;
}

/** A lane with what is drawn of it: bounds inside the picture, and words. */
interface DrawnLane extends IntervalLane {
  readonly row: number;
  /** The row's name, on lines. */
  readonly title: string;
  readonly low: number;
  readonly high: number;
  readonly cutLow: boolean;
  readonly cutHigh: boolean;
  readonly words: string;
  readonly interval: string;
}

function lanesOf(
  rows: readonly IntervalRow[],
  [least, most]: readonly [number, number],
  titleLines: (title: string) => string[],
  configTitle: (title: string) => string,
): DrawnLane[] {
  return rows.flatMap((row, index) =>
    row.lanes.map((lane) => ({
      ...lane,
      paint: { ...lane.paint, title: configTitle(lane.paint.title) },
      row: index,
      title: titleLines(row.title).join("\n"),
      low: Math.max(lane.lowPct ?? lane.changePct, least),
      high: Math.min(lane.highPct ?? lane.changePct, most),
      cutLow: lane.lowPct !== null && lane.lowPct < least,
      cutHigh: lane.highPct !== null && lane.highPct > most,
      words: `${verdictText(lane)}${lane.mark}`,
      interval: intervalText(lane),
    })),
  );
}

/** Where the words of lanes start, from the start of the first, and where they end. */
function wordColumns(
  lanes: readonly DrawnLane[],
  namesConfigs: boolean,
  textPx: number,
  ruler: TextRuler,
): { readonly config: number; readonly words: number; readonly interval: number; readonly end: number } {
  const gap = textPx * 0.9;
  const widest = (value: (lane: DrawnLane) => string, weight: FontWeight): number =>
    Math.max(0, ...lanes.map((lane) => ruler(value(lane), textPx, weight)));
  const words = namesConfigs ? widest(({ paint }) => paint.title, 400) + gap : 0;
  const interval = words + widest((lane) => lane.words, 600) + gap;
  return { config: 0, words, interval, end: interval + widest((lane) => lane.interval, 400) };
}

/**
 * Differences as dots on their intervals, with the zero line and the margin that matters as a band; the words and
 * figures of each stand with it. A dot is filled where a difference was shown and hollow where not; a dashed interval
 * cannot be told yet.
 */
export function drawIntervals(
  rows: readonly IntervalRow[],
  { axisLabel, mattersPct, namesConfigs }: { axisLabel: string; mattersPct: number; namesConfigs: boolean },
  space: Space,
  { theme, ruler }: Look,
): string {
  const { textPx } = space;
  const look = { textPx, theme };
  const beside = wordsBeside(space);
  const domain = changeDomain(rows, mattersPct);
  // Names leave room for the intervals, however long they are.
  const lanes = lanesOf(
    rows,
    domain,
    (title) => wrap(title, space.width * 0.24, 2, { sizePx: textPx, weight: 600 }, ruler),
    (title) => shorten(title, space.width * 0.3, { sizePx: textPx, weight: 400 }, ruler),
  );
  const names = rows.map((_, index) => lanes.find(({ row }) => row === index) as DrawnLane);
  const nameWidth = Math.max(
    0,
    ...names.flatMap(({ title }) => title.split("\n").map((line) => ruler(line, textPx, 600))),
  );
  const columns = wordColumns(lanes, namesConfigs, textPx, ruler);
  const gap = textPx * 0.9;
  const left = nameWidth + gap * 1.2;
  const right = beside ? gap * 1.4 + columns.end : gap;
  // Centred under the intervals, it must not leave the picture on the nearer side.
  const centre = (left + space.width - right) / 2;
  const labelRoom = 2 * Math.min(centre, space.width - centre);
  const label = shorten(axisLabel, labelRoom, { sizePx: textPx, weight: 400 }, ruler);
  // In a narrow room, words stand above their interval.
  const [rise, fall] = beside ? [0, 0] : [textPx * 0.62, textPx * 0.55];
  const lane = { y: ({ paint }: DrawnLane) => paint.config, fy: "row" } as const;
  const text = (
    at: "config" | "words" | "interval",
    value: (lane: DrawnLane) => string,
    fontWeight: FontWeight,
    fill: string | ((lane: DrawnLane) => string),
  ): Markish =>
    Plot.text(lanes, {
      ...lane,
      text: value,
      frameAnchor: beside ? "right" : "left",
      textAnchor: "start",
      dx: columns[at] + (beside ? gap * 1.4 : 0),
      dy: -rise,
      fontSize: textPx,
      fontWeight,
      fill,
      className: `lane-${at}`,
    });
  const intervals = (drawn: readonly DrawnLane[], dashes: string): Markish =>
    Plot.ruleY(
      drawn.filter(({ lowPct }) => lowPct !== null),
      {
        ...lane,
        x1: "low",
        x2: "high",
        dy: fall,
        stroke: ({ paint }: DrawnLane) => paint.color,
        strokeWidth: textPx * 0.17,
        strokeLinecap: "round",
        strokeDasharray: dashes,
        className: "interval",
      },
    );

  const matters = { x1: 100 * (1 / (1 + mattersPct / 100) - 1), x2: mattersPct, fill: theme.band };
  const zero = { stroke: theme.ink, strokeWidth: textPx / 14 };
  const [top, bottom] = [textPx * 0.4, bottomMargin(look)];
  const lanesPerRow = new Set(lanes.map(lane.y)).size;
  const rowHeight = ((space.height - top - bottom) * (1 - rowGap)) / (rows.length + rowGap);
  // Half of a lane is its words', the other its interval's.
  const strip = rowHeight / lanesPerRow / 2;

  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft: left,
    marginRight: right,
    marginTop: top,
    marginBottom: bottom,
    x: { type: "linear", domain },
    y: { type: "band", domain: [...new Set(lanes.map(lane.y))], axis: null, padding: 0 },
    fy: { domain: rows.map((_, index) => index), padding: rowGap, axis: null },
    color: { type: "identity" },
    symbol: { type: "identity" },
    marks: [
      ...(beside
        ? [
            Plot.rectX([null], { ...matters, className: "matters" }),
            gridX(look, 6),
            Plot.ruleX([0], { ...zero, className: "zero" }),
          ]
        : [
            // Nothing runs through the words.
            Plot.barX(lanes, { ...lane, ...matters, insetTop: strip, className: "matters" }),
            Plot.ruleY(lanes, { ...lane, dy: fall, stroke: theme.grid, strokeWidth: textPx / 18 }),
            Plot.tickX(lanes, { ...lane, ...zero, x: 0, insetTop: strip, className: "zero" }),
          ]),
      intervals(
        lanes.filter(({ verdict }) => verdict !== "unclear"),
        "none",
      ),
      intervals(
        lanes.filter(({ verdict }) => verdict === "unclear"),
        `${textPx * 0.34},${textPx * 0.34}`,
      ),
      ...cutArrows(lanes, { ...lane, dy: fall }, look),
      Plot.dot(lanes, {
        ...lane,
        x: "changePct",
        dy: fall,
        symbol: ({ paint }: DrawnLane) => paint.symbol,
        r: textPx * 0.34,
        fill: (one: DrawnLane) => (isCalled(one) ? one.paint.color : theme.paper),
        stroke: ({ paint }: DrawnLane) => paint.color,
        strokeWidth: textPx * 0.12,
        className: "estimate",
      }),
      Plot.text(names, {
        fy: "row",
        frameAnchor: "left",
        dx: -gap * 1.2,
        textAnchor: "end",
        text: "title",
        fontSize: textPx,
        fontWeight: 600,
        lineHeight: 1.1,
        fill: theme.ink,
        className: "row-title",
      }),
      ...(namesConfigs
        ? [
            text(
              "config",
              ({ paint }) => paint.title,
              400,
              ({ paint }) => paint.color,
            ),
          ]
        : []),
      text("words", ({ words }) => words, 600, theme.ink),
      text("interval", ({ interval }) => interval, 400, theme.quiet),
      axisBottom(look, { label, ticks: 6, format: signedPct, className: "change-axis" }),
    ],
  });
}

/** Arrowheads where an interval goes on beyond the picture. */
function cutArrows(
  lanes: readonly DrawnLane[],
  place: { readonly y: (lane: DrawnLane) => string; readonly fy: string; readonly dy: number },
  { textPx, theme }: AxisLook,
): Markish[] {
  const arrow = (side: "low" | "high"): Markish =>
    Plot.dot(
      lanes.filter((one) => (side === "low" ? one.cutLow : one.cutHigh)),
      {
        ...place,
        x: side,
        symbol: "triangle",
        rotate: side === "low" ? -90 : 90,
        r: textPx * 0.3,
        fill: ({ paint }: DrawnLane) => paint.color,
        stroke: theme.paper,
        className: "goes-on",
      },
    );
  return [arrow("low"), arrow("high")];
}
