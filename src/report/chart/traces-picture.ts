import { formatCount, formatFigure } from "../../shared/format-number.ts";
import { refusal } from "../../shared/problem.ts";
import { visible } from "../escape.ts";
import { axisBottom, axisLeft, bottomMargin, gridY } from "./axes.ts";
import { drawPlot } from "./draw-plot.ts";
import { wrap } from "./fit-text.ts";
import { gameTitle } from "./names.ts";
import { lowsNote } from "./notes.ts";
import { cellsOf, oneGame, typicalPass } from "./one-game.ts";
import type { Look, Picture, PictureSource, Space } from "./picture.ts";
import { Plot } from "./plot-library.ts";
import { rowHeads } from "./row-heads.ts";

/** Frame times over time of one typical pass per config, on the same axes. */
export function tracesPicture(source: PictureSource, look: Look): Picture {
  return tracesPictureOf(source, oneGame(source, "traces"), look);
}

interface Panel {
  readonly title: string;
  /** The most telling first: a narrow picture shows as many as fit. */
  readonly facts: readonly string[];
  readonly color: string;
  readonly points: readonly { readonly atS: number; readonly ms: number }[];
  /** Frame time of this pass's 1% low; null where the pass has none. */
  readonly lowMs: number | null;
}

export function tracesPictureOf(source: PictureSource, game: string, look: Look): Picture {
  const panels = panelsOf(source, game, look);
  if (panels.length === 0) throw refusal({ code: "picture-needs", picture: "traces", missing: "frames" });
  return {
    title: `${gameTitle(source.judgement, game)}: frame by frame`,
    subtitle: "Frame time, ms, of each config's pass with the middle average FPS",
    legend: [],
    notes: [
      "Lower is faster. The line is thinned so that the fastest and the slowest frame of every stretch stay: no spike is lost.",
      ...(panels.some(({ lowMs }) => lowMs !== null)
        ? ["Dashed: the frame time of this pass's 1% low.", ...lowsNote(source.judgement.session, "low1Fps")]
        : []),
    ],
    lines: panels.length * 3.6,
    description: panels.map(({ title, facts }) => `${title}: ${facts.join(", ")}.`),
    draw: (space) => drawTraces(panels, space, look),
  };
}

function panelsOf(source: PictureSource, game: string, look: Look): Panel[] {
  return cellsOf(source, game, look).flatMap((cell) => {
    const pass = typicalPass(cell);
    const trace = pass === null ? undefined : source.frames.get(pass.file)?.trace;
    if (pass === null || trace === undefined || trace.frames === 0) return [];
    const slowest = Math.max(...trace.frameTimesMs);
    return [
      {
        title: cell.paint.title,
        color: cell.paint.color,
        facts: [
          `average ${formatFigure(pass.avgFps ?? 0)} FPS`,
          ...(pass.low1Fps === null ? [] : [`1% low ${formatFigure(pass.low1Fps)}`]),
          `slowest ${formatFigure(slowest)} ms`,
          visible(pass.pass),
          `${formatCount(trace.frames)} frames`,
        ],
        points: trace.atS.map((atS, i) => ({ atS, ms: trace.frameTimesMs[i] as number })),
        lowMs: pass.low1Fps === null ? null : 1000 / pass.low1Fps,
      },
    ];
  });
}

/** Past this many times the middle frame time, a linear axis would press all but the spikes flat. */
const linearUpTo = 6;

function drawTraces(panels: readonly Panel[], space: Space, { theme, ruler }: Look): string {
  const { textPx } = space;
  const look = { textPx, theme };
  const all = panels.flatMap(({ points }) => points.map(({ ms }) => ms)).sort((a, b) => a - b);
  const middle = all[Math.floor(all.length / 2)] as number;
  const [least, most] = [all[0] as number, all[all.length - 1] as number];
  const isLog = most > linearUpTo * middle;
  const ticks = isLog ? logTicks(least * 0.95, most * 1.05) : 4;
  const lastS = Math.max(...panels.flatMap(({ points }) => points.map(({ atS }) => atS)));
  const lines = panels.flatMap(({ points, color }, panel) =>
    points.map((point) => ({ ...point, panel, color })),
  );
  const lows = panels.flatMap(({ lowMs }, panel) => (lowMs === null ? [] : [{ lowMs, panel }]));
  const marginLeft = textPx * 3;
  const heads = panels.map(({ title, color, facts }, panel) => {
    const [name] = wrap(title, space.width * 0.35, 1, { sizePx: textPx, weight: 600 }, ruler);
    const after = ruler(`${name ?? ""} `, textPx, 600) + textPx * 0.5;
    const fitting = facts.findLastIndex(
      (_, i) => ruler(facts.slice(0, i + 1).join(" · "), textPx, 400) <= space.width - after,
    );
    return { panel, name: name ?? "", color, words: facts.slice(0, fitting + 1).join(" · "), after };
  });
  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft,
    marginRight: textPx * 0.6,
    marginTop: textPx * 1.5,
    marginBottom: bottomMargin(look),
    x: { type: "linear", domain: [0, lastS] },
    y: isLog
      ? { type: "log", domain: [least * 0.95, most * 1.05] }
      : { type: "linear", domain: [0, most * 1.03] },
    fy: {
      domain: panels.map((_, panel) => panel),
      padding: Math.min(0.4, (textPx * 2.3 * panels.length) / space.height),
      axis: null,
    },
    color: { type: "identity" },
    marks: [
      gridY(look, ticks),
      Plot.lineY(lines, {
        x: "atS",
        y: "ms",
        fy: "panel",
        z: "panel",
        stroke: "color",
        strokeWidth: textPx * 0.055,
        strokeLinejoin: "round",
        className: "trace",
      }),
      Plot.ruleY(lows, {
        y: "lowMs",
        fy: "panel",
        stroke: theme.ink,
        strokeWidth: textPx * 0.07,
        strokeDasharray: `${textPx * 0.3},${textPx * 0.22}`,
        className: "low",
      }),
      ...rowHeads(heads, { frameAnchor: "top-left", fy: "panel", dx: -marginLeft, dy: -textPx * 1.25 }, look),
      axisLeft(look, { ticks, format: String, className: "time-axis" }),
      axisBottom(look, {
        label: `seconds${isLog ? "; frame times on a log scale" : ""}`,
        ticks: 6,
        className: "seconds-axis",
      }),
    ],
  });
}

/** 1, 2 and 5 of every power of ten inside the range, or only the powers where that would crowd. */
function logTicks(least: number, most: number): number[] {
  const powers = Array.from({ length: 9 }, (_, i) => 10 ** (i - 3));
  const inside = (factors: readonly number[]): number[] =>
    powers
      .flatMap((power) => factors.map((factor) => factor * power))
      .filter((ms) => ms >= least && ms <= most);
  const fine = inside([1, 2, 5]);
  return fine.length <= 6 ? fine : inside([1, 3]);
}
