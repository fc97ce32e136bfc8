import type { JudgedPass } from "../../judge/judgement.ts";
import { capital } from "../../shared/capital.ts";
import { formatFigure, formatPct } from "../../shared/format-number.ts";
import type { Metric } from "../../shared/metrics.ts";
import { refusal } from "../../shared/problem.ts";
import { intervalText, markSentences, markText, verdictText } from "../judgement-words.ts";
import { labelWithUnit, metricUnit } from "../metric-unit.ts";
import { axisBottom, bottomMargin, gridX } from "./axes.ts";
import { drawPlot } from "./draw-plot.ts";
import { shorten, wrap } from "./fit-text.ts";
import { gameTitle } from "./names.ts";
import { lowsNote } from "./notes.ts";
import { cellsOf, type GameCell, oneGame } from "./one-game.ts";
import type { Look, Picture, PictureRequest, PictureSource, Space } from "./picture.ts";
import { Plot } from "./plot-library.ts";
import { rowHeads } from "./row-heads.ts";

/** One game's configs, each pass a dot, so that the noise is seen beside the difference. */
export function passesPicture(source: PictureSource, request: PictureRequest, look: Look): Picture {
  const game = oneGame(source, "passes");
  return passesPictureOf(source, game, request.metric ?? "avgFps", look);
}

interface Lane {
  readonly cell: GameCell;
  readonly values: readonly { readonly pass: JudgedPass; readonly value: number }[];
  /** Geometric mean of the passes that count. */
  readonly middle: number | null;
  readonly words: string;
}

export function passesPictureOf(source: PictureSource, game: string, metric: Metric, look: Look): Picture {
  const lanes = lanesOf(source, game, metric, look);
  if (lanes.every(({ values }) => values.length === 0))
    throw refusal({ code: "picture-needs", picture: "passes", missing: metric });
  const unit = metricUnit[metric];
  const { session } = source.judgement;
  const base = lanes.find(({ cell }) => cell.paint.config === session.baseline)?.middle ?? null;
  const ratio = 1 + session.mattersPct / 100;
  const matters = base === null ? null : { from: base / ratio, to: base * ratio };
  return {
    title: `${gameTitle(source.judgement, game)}: every pass`,
    subtitle: capital(labelWithUnit(metric)),
    legend: [],
    notes: [
      "A shape is a pass, the bar the geometric mean of those that count.",
      ...(matters === null
        ? []
        : [`Band: within ${formatPct(session.mattersPct)} of the baseline, too little to matter.`]),
      ...(lanes.some(({ values }) => values.some(({ pass }) => !pass.counted))
        ? ["Crossed out: set aside, not counted."]
        : []),
      ...markSentences(source.judgement.verdicts.filter((one) => one.game === game && one.metric === metric)),
      ...lowsNote(session, metric),
    ],
    lines: lanes.length * 2.4,
    description: lanes.map(({ cell, values, words }) => {
      const figures = values.map(
        ({ pass, value }) => `${formatFigure(value)}${pass.counted ? "" : " (set aside)"}`,
      );
      return `${cell.paint.title}: ${figures.join(", ")} ${unit}; ${words}.`;
    }),
    draw: (space) => drawPasses(lanes, { axisLabel: labelWithUnit(metric), matters }, space, look),
  };
}

function lanesOf(source: PictureSource, game: string, metric: Metric, look: Look): Lane[] {
  return cellsOf(source, game, look).map((cell) => {
    const values = cell.passes.flatMap((pass) => {
      const value = pass[metric];
      return value === null ? [] : [{ pass, value }];
    });
    const counted = values.filter(({ pass }) => pass.counted);
    const sum = counted.reduce((total, { value }) => total + Math.log(value), 0);
    const middle = counted.length === 0 ? null : Math.exp(sum / counted.length);
    const verdict = source.judgement.verdicts.find(
      (one) => one.game === game && one.config === cell.paint.config && one.metric === metric,
    );
    return {
      cell,
      values,
      middle,
      words: [
        ...(middle === null ? [] : [formatFigure(middle)]),
        cell.paint.config === source.judgement.session.baseline
          ? "baseline"
          : verdict === undefined
            ? "not compared"
            : `${verdictText(verdict)}${markText(verdict)} (${intervalText(verdict)})`,
      ].join(" · "),
    };
  });
}

/** Height of a chart of so many configs. */
export function passesHeight(configs: number, textPx: number): number {
  return textPx * (configs * 3.5 + 3.2);
}

function drawPasses(
  lanes: readonly Lane[],
  {
    axisLabel,
    matters,
  }: { axisLabel: string; matters: { readonly from: number; readonly to: number } | null },
  space: Space,
  { theme, ruler }: Look,
): string {
  const { textPx } = space;
  const look = { textPx, theme };
  // Words stand over each lane, dots below them; passes come one below the other in their order.
  const dots = lanes.flatMap(({ cell, values }, lane) =>
    values.map(({ pass, value }, i) => ({
      value,
      y: lane + 0.17 + 0.36 * (values.length < 2 ? 0.5 : i / (values.length - 1)),
      counted: pass.counted,
      paint: cell.paint,
    })),
  );
  const middles = lanes.flatMap(({ middle, cell }, lane) =>
    middle === null
      ? []
      : [
          {
            value: middle,
            top: lane + 0.1,
            bottom: lane + 0.6,
            paint: cell.paint,
            text: formatFigure(middle),
          },
        ],
  );
  const values = [...dots.map(({ value }) => value), ...(matters === null ? [] : [matters.from, matters.to])];
  const [least, most] = [Math.min(...values), Math.max(...values)];
  // A lone value, or passes that agree to the last digit, still need an axis.
  const room = Math.max((most - least) * 0.08, most * 0.005);
  const name = ({ cell }: Lane): string =>
    wrap(cell.paint.title, space.width * 0.5, 1, { sizePx: textPx, weight: 600 }, ruler)[0] ?? "";
  const heads = lanes.map((lane, index) => {
    const after = ruler(`${name(lane)}  `, textPx, 600) + textPx * 0.3;
    const room = space.width - after;
    return {
      y: index - 0.14,
      name: name(lane),
      words: shorten(lane.words, room, { sizePx: textPx, weight: 400 }, ruler),
      color: lane.cell.paint.color,
      after,
    };
  });
  const margin = textPx;

  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft: margin,
    marginRight: margin,
    marginTop: 0,
    marginBottom: bottomMargin(look),
    x: { type: "linear", domain: [least - room, most + room] },
    y: { type: "linear", domain: [-0.42, lanes.length - 0.3], reverse: true, axis: null },
    color: { type: "identity" },
    symbol: { type: "identity" },
    marks: [
      Plot.rectX(matters === null ? [] : [matters], {
        x1: "from",
        x2: "to",
        fill: theme.band,
        className: "matters",
      }),
      gridX(look, 6),
      Plot.ruleX(middles, {
        x: "value",
        y1: "top",
        y2: "bottom",
        stroke: ({ paint }: (typeof middles)[number]) => paint.color,
        strokeWidth: textPx * 0.2,
        className: "middle",
      }),
      Plot.dot(
        dots.filter(({ counted }) => counted),
        {
          x: "value",
          y: "y",
          symbol: ({ paint }: (typeof dots)[number]) => paint.symbol,
          r: textPx * 0.3,
          fill: ({ paint }: (typeof dots)[number]) => paint.color,
          fillOpacity: 0.85,
          stroke: theme.paper,
          strokeWidth: textPx * 0.06,
          className: "pass",
        },
      ),
      Plot.dot(
        dots.filter(({ counted }) => !counted),
        {
          x: "value",
          y: "y",
          symbol: "times",
          r: textPx * 0.3,
          stroke: theme.quiet,
          strokeWidth: textPx * 0.1,
          className: "set-aside",
        },
      ),
      ...rowHeads(heads, { frameAnchor: "left", y: "y", dx: -margin }, look),
      axisBottom(look, { label: axisLabel, ticks: 6, className: "value-axis" }),
    ],
  });
}
