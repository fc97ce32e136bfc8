import { intervalText, verdictText } from "../judgement-words.ts";
import { axisBottom, bottomMargin, gridX, signedPct } from "./axes.ts";
import { changeDomain } from "./change-domain.ts";
import type { ConfigPaint } from "./config-paint.ts";
import { drawPlot } from "./draw-plot.ts";
import { type TextStyle, wrap } from "./fit-text.ts";
import type { IntervalRow } from "./interval-rows.ts";
import type { Look, Space } from "./picture.ts";
import { type Markish, Plot } from "./plot-library.ts";

/** Narrower than this many letters, words stand above their interval instead of beside it. */
const lettersBeside = 44;

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
  const regular: TextStyle = { sizePx: textPx, weight: 400 };
  const bold: TextStyle = { sizePx: textPx, weight: 600 };
  const widest = (texts: readonly string[], style: TextStyle): number =>
    Math.max(0, ...texts.map((text) => ruler(text, style.sizePx, style.weight)));

  const domain = changeDomain(rows, mattersPct);
  const lanes = rows.flatMap((row, index) => {
    const titles = wrap(row.title, space.width * 0.24, 2, bold, ruler).join("\n");
    return row.lanes.map((lane) => ({
      ...lane,
      row: index,
      title: titles,
      key: lane.paint.config,
      low: Math.max(lane.lowPct ?? lane.changePct, domain[0]),
      high: Math.min(lane.highPct ?? lane.changePct, domain[1]),
      cutLow: lane.lowPct !== null && lane.lowPct < domain[0],
      cutHigh: lane.highPct !== null && lane.highPct > domain[1],
      words: `${verdictText(lane)}${lane.mark}`,
      interval: intervalText(lane),
    }));
  });
  type Lane = (typeof lanes)[number];

  const gap = textPx * 0.9;
  const nameWidth = widest(
    lanes.map(({ title }) => title).flatMap((title) => title.split("\n")),
    bold,
  );
  const columns = {
    config: namesConfigs
      ? widest(
          lanes.map(({ paint }) => paint.title),
          regular,
        ) + gap
      : 0,
    words:
      widest(
        lanes.map(({ words }) => words),
        bold,
      ) + gap,
    interval: widest(
      lanes.map(({ interval }) => interval),
      regular,
    ),
  };
  const marginLeft = nameWidth + gap * 1.2;
  const marginRight = beside ? gap * 1.4 + columns.config + columns.words + columns.interval : gap;
  const radius = textPx * 0.34;
  const wordsAt = (name: keyof typeof columns): number => {
    const before = { config: 0, words: columns.config, interval: columns.config + columns.words };
    return gap * 1.4 + before[name];
  };
  const isCalled = ({ verdict }: Lane): boolean => verdict === "higher" || verdict === "lower";
  const lane = { y: "key", fy: "row" } as const;
  // Above the interval in a narrow room.
  const rise = beside ? 0 : textPx * 0.62;
  const text = (
    value: (lane: Lane) => string,
    at: keyof typeof columns,
    style: TextStyle,
    fill: string | ((lane: Lane) => string),
  ): Markish =>
    Plot.text(lanes, {
      ...lane,
      text: value,
      frameAnchor: beside ? "right" : "left",
      textAnchor: "start",
      dx: beside ? wordsAt(at) : wordsAt(at) - gap * 1.4,
      dy: -rise,
      fontSize: style.sizePx,
      fontWeight: style.weight,
      fill,
      // Above the interval, words cross the lines of the chart.
      ...(beside ? {} : { stroke: theme.paper, strokeOpacity: 0.7, strokeWidth: textPx * 0.22 }),
      className: `lane-${at}`,
    });

  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft,
    marginRight,
    marginTop: textPx * 0.4,
    marginBottom: bottomMargin(look),
    x: { type: "linear", domain },
    y: { type: "band", domain: [...new Set(lanes.map(({ key }) => key))], axis: null, padding: 0 },
    fy: { domain: rows.map((_, index) => index), padding: 0.16, axis: null },
    color: { type: "identity" },
    symbol: { type: "identity" },
    marks: [
      Plot.rectX([null], {
        x1: 100 * (1 / (1 + mattersPct / 100) - 1),
        x2: mattersPct,
        fill: theme.band,
        className: "matters",
      }),
      gridX(look, 6),
      Plot.ruleX([0], { stroke: theme.ink, strokeWidth: textPx / 14, className: "zero" }),
      Plot.ruleY(
        lanes.filter(({ lowPct }) => lowPct !== null),
        {
          ...lane,
          x1: "low",
          x2: "high",
          dy: beside ? 0 : textPx * 0.55,
          stroke: ({ paint }: Lane) => paint.color,
          strokeWidth: textPx * 0.17,
          strokeLinecap: "round",
          className: "interval",
        },
      ),
      ...cutArrows(lanes, lane, theme.paper, textPx, beside ? 0 : textPx * 0.55),
      Plot.dot(lanes, {
        ...lane,
        x: "changePct",
        dy: beside ? 0 : textPx * 0.55,
        symbol: ({ paint }: Lane) => paint.symbol,
        r: radius,
        fill: (one: Lane) => (isCalled(one) ? one.paint.color : theme.paper),
        stroke: ({ paint }: Lane) => paint.color,
        strokeWidth: textPx * 0.12,
        className: "estimate",
      }),
      Plot.text(
        rows.map((_, index) => lanes.find(({ row }) => row === index) as Lane),
        {
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
        },
      ),
      ...(namesConfigs
        ? [
            text(
              ({ paint }) => paint.title,
              "config",
              regular,
              ({ paint }) => paint.color,
            ),
          ]
        : []),
      text(({ words }) => words, "words", bold, theme.ink),
      text(({ interval }) => interval, "interval", regular, theme.quiet),
      axisBottom(look, { label: axisLabel, ticks: 6, format: signedPct, className: "change-axis" }),
    ],
  });
}

/** Arrowheads where an interval goes on beyond the picture. */
function cutArrows(
  lanes: readonly { low: number; high: number; cutLow: boolean; cutHigh: boolean; paint: ConfigPaint }[],
  lane: { readonly y: string; readonly fy: string },
  paper: string,
  textPx: number,
  dy: number,
): Markish[] {
  const arrow = (side: "low" | "high"): Markish =>
    Plot.dot(
      lanes.filter((one) => (side === "low" ? one.cutLow : one.cutHigh)),
      {
        ...lane,
        x: side,
        dy,
        symbol: "triangle",
        rotate: side === "low" ? -90 : 90,
        r: textPx * 0.3,
        fill: ({ paint }: { paint: ConfigPaint }) => paint.color,
        stroke: paper,
        className: "goes-on",
      },
    );
  return [arrow("low"), arrow("high")];
}
