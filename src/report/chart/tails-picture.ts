import { formatFigure } from "../../shared/format-number.ts";
import { refusal } from "../../shared/problem.ts";
import { axisBottom, axisLeft, bottomMargin, gridY } from "./axes.ts";
import { drawPlot } from "./draw-plot.ts";
import { gameTitle } from "./names.ts";
import { cellsOf, type GameCell, oneGame } from "./one-game.ts";
import type { Look, Picture, PictureSource, Space } from "./picture.ts";
import { Plot } from "./plot-library.ts";

/** The slow end of the distribution of frame times, where the lows live: every pass, and each config's middle. */
export function tailsPicture(source: PictureSource, look: Look): Picture {
  return tailsPictureOf(source, oneGame(source, "tails"), look);
}

interface Point {
  /** Percent of the frames that are slower. */
  readonly sharePct: number;
  readonly fps: number;
}

interface Tail {
  readonly cell: GameCell;
  readonly passes: readonly (readonly Point[])[];
  /** Geometric mean over the passes that count, as far as all of them go. */
  readonly middle: readonly Point[];
}

export function tailsPictureOf(source: PictureSource, game: string, look: Look): Picture {
  const tails = cellsOf(source, game, look)
    .map((cell) => tailOf(source, cell))
    .filter(({ middle }) => middle.length > 1);
  if (tails.length === 0) throw refusal({ code: "picture-needs", picture: "tails", missing: "frames" });
  const isOtherLow = source.judgement.session.lows !== "percentile";
  return {
    title: `${gameTitle(source.judgement, game)}: the slowest frames`,
    subtitle: "How low FPS falls: 1 frame in 100 is slower than the curve at 1%",
    legend: tails.map(({ cell }) => cell.paint),
    notes: [
      "Thin: one pass each. Thick: the geometric mean of the passes that count.",
      ...(isOtherLow
        ? [
            "The marks at 1% and 0.1% are the lows by percentile, not by the definition that the verdicts use.",
          ]
        : []),
    ],
    lines: 8,
    description: tails.map((tail) => {
      const at = marksOf(tail).map(({ sharePct, fps }) => `${sharePct}% low ${formatFigure(fps)} FPS`);
      return `${tail.cell.paint.title}: ${at.join(", ")}.`;
    }),
    draw: (space) => drawTails(tails, space, look),
  };
}

function tailOf(source: PictureSource, cell: GameCell): Tail {
  const passes = cell.counted.flatMap((pass) => {
    const tail = source.frames.get(pass.file)?.tail;
    return tail === undefined || tail.shares.length === 0
      ? []
      : [
          tail.shares.map(
            (share, i): Point => ({ sharePct: share * 100, fps: 1000 / (tail.frameTimesMs[i] as number) }),
          ),
        ];
  });
  const [first = []] = passes;
  const middle = first.flatMap(({ sharePct }, i): Point[] => {
    const values = passes.flatMap((pass) => pass[i]?.fps ?? []);
    if (values.length < passes.length) return [];
    const sum = values.reduce((total, fps) => total + Math.log(fps), 0);
    return [{ sharePct, fps: Math.exp(sum / values.length) }];
  });
  return { cell, passes, middle };
}

/** The points at which people look: where the curve goes through a low that all its passes have. */
function marksOf({ cell, middle }: Tail): Point[] {
  const lows = [
    { share: 1, metric: "low1Fps" },
    { share: 0.1, metric: "low01Fps" },
  ] as const;
  return lows
    .filter(({ metric }) => cell.counted.every((pass) => pass[metric] !== null))
    .flatMap(({ share }) =>
      middle
        .filter(({ sharePct }) => Math.abs(sharePct / share - 1) < 1e-9)
        .map(({ fps }) => ({ sharePct: share, fps })),
    );
}

function drawTails(tails: readonly Tail[], space: Space, { theme }: Look): string {
  const { textPx } = space;
  const look = { textPx, theme };
  const lines = tails.flatMap(({ passes, cell }, tail) =>
    passes.flatMap((points, pass) =>
      points.map((point) => ({ ...point, line: `${tail}/${pass}`, color: cell.paint.color })),
    ),
  );
  const middles = tails.flatMap(({ middle, cell }, tail) =>
    middle.map((point) => ({ ...point, line: String(tail), color: cell.paint.color })),
  );
  const marks = tails.flatMap((tail) => marksOf(tail).map((point) => ({ ...point, ...tail.cell.paint })));
  const shares = lines.map(({ sharePct }) => sharePct);
  const fps = lines.map((point) => point.fps);
  const smallest = Math.min(...shares);
  // A low that no config has frames enough for is not pointed at.
  const rules = [1, 0.1].filter((share) => marks.some(({ sharePct }) => sharePct === share));
  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft: textPx * 3,
    marginRight: textPx * 1.4,
    marginTop: textPx * 1.6,
    marginBottom: bottomMargin(look),
    x: { type: "log", domain: [Math.max(...shares), smallest] },
    y: { type: "linear", domain: [Math.min(...fps) * 0.94, Math.max(...fps) * 1.03] },
    color: { type: "identity" },
    symbol: { type: "identity" },
    marks: [
      gridY(look, 6),
      Plot.ruleX(rules, {
        stroke: theme.quiet,
        strokeWidth: textPx * 0.06,
        strokeDasharray: `${textPx * 0.2},${textPx * 0.2}`,
        className: "low",
      }),
      Plot.text(
        rules.map((share) => ({ share, text: `${share}% low` })),
        {
          x: "share",
          frameAnchor: "top",
          dy: -textPx * 0.9,
          text: "text",
          fontSize: textPx,
          fontWeight: 600,
          fill: theme.ink,
        },
      ),
      Plot.line(lines, {
        x: "sharePct",
        y: "fps",
        z: "line",
        stroke: "color",
        strokeOpacity: 0.45,
        strokeWidth: textPx * 0.06,
        className: "pass",
      }),
      Plot.line(middles, {
        x: "sharePct",
        y: "fps",
        z: "line",
        stroke: "color",
        strokeWidth: textPx * 0.15,
        strokeLinejoin: "round",
        className: "middle",
      }),
      // The baseline is a ring, so that it is seen around the mark of a config that is the same.
      Plot.dot(
        marks.filter(({ symbol }) => symbol === "circle"),
        {
          x: "sharePct",
          y: "fps",
          r: textPx * 0.5,
          stroke: "color",
          strokeWidth: textPx * 0.12,
          className: "mark",
        },
      ),
      Plot.dot(
        marks.filter(({ symbol }) => symbol !== "circle"),
        {
          x: "sharePct",
          y: "fps",
          symbol: "symbol",
          r: textPx * 0.34,
          fill: "color",
          stroke: theme.paper,
          strokeWidth: textPx * 0.06,
          className: "mark",
        },
      ),
      axisLeft(look, { ticks: 6, className: "fps-axis" }),
      axisBottom(look, {
        label: "share of the frames that is slower",
        ticks: [10, 3, 1, 0.3, 0.1, 0.03, 0.01].filter((share) => share >= smallest * 0.999),
        format: (share) => `${share}%`,
        className: "share-axis",
      }),
    ],
  });
}
