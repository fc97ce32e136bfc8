import type { Judgement, Verdict } from "../../judge/judgement.ts";
import { isCalled } from "../../judge/verdict.ts";
import { formatChange } from "../../shared/format-number.ts";
import { refusal } from "../../shared/problem.ts";
import { axisBottom, axisLeft, bottomMargin, gridX, gridY, signedPct } from "./axes.ts";
import { type ConfigPaint, paintConfigs } from "./config-paint.ts";
import { drawPlot } from "./draw-plot.ts";
import { shorten } from "./fit-text.ts";
import { gameTitle } from "./names.ts";
import { partLabels } from "./part-labels.ts";
import type { Look, Picture, PictureSource, Space } from "./picture.ts";
import { Plot } from "./plot-library.ts";

interface Dot {
  readonly paint: ConfigPaint;
  readonly title: string;
  readonly powerPct: number;
  readonly fpsPct: number;
  /** Null of a mean over games of which no row tells. */
  readonly powerVerdict: Verdict["verdict"] | null;
  readonly fpsVerdict: Verdict["verdict"] | null;
}

/**
 * Power against frame rate: what each config draws and gives, in percent of the baseline, a dot per game and a large
 * one for all of them. Above the slanted line a config gives more frames per joule than the baseline.
 */
export function powerPicture({ judgement, shown }: PictureSource, look: Look): Picture {
  const paints = paintConfigs(judgement, look.theme);
  const dots = dotsOf(shown, judgement, paints);
  if (dots.length === 0) throw refusal({ code: "picture-needs", picture: "power", missing: "cpuPowerW" });
  const baseline = paints.get(judgement.session.baseline)?.title ?? "";
  const means = [...new Set(dots.map(({ paint }) => paint))].map((paint) =>
    meanOf(
      dots.filter((dot) => dot.paint === paint),
      shown,
    ),
  );
  const isOneGame = new Set(dots.map(({ title }) => title)).size === 1;
  return {
    title: isOneGame ? `${dots[0]?.title ?? ""}: power against frame rate` : "Power against frame rate",
    subtitle: `Change of average FPS and of CPU power against ${baseline}`,
    legend: means.map((mean) => ({
      ...mean.paint,
      title: `${mean.paint.title}: power ${toldPct(mean.powerPct, mean.powerVerdict)}, FPS ${toldPct(mean.fpsPct, mean.fpsVerdict)}`,
    })),
    notes: [
      ...(isOneGame
        ? []
        : [
            "Filled: a difference in average FPS was shown. Small: one game each. Large, and above: geometric mean of the games shown.",
          ]),
      "Above the slanted line: more frames per joule than the baseline.",
    ],
    lines: 8,
    description: [...means, ...dots].map(
      ({ title, paint, powerPct, fpsPct }) =>
        `${title}, ${paint.title}: CPU power ${formatChange(powerPct)}, average FPS ${formatChange(fpsPct)}.`,
    ),
    draw: (space) => drawPower(dots, isOneGame ? [] : means, space, look),
  };
}

function dotsOf(shown: Judgement, judgement: Judgement, paints: ReadonlyMap<string, ConfigPaint>): Dot[] {
  const find = (verdict: Verdict, metric: Verdict["metric"]): Verdict | undefined =>
    shown.verdicts.find(
      (one) => one.metric === metric && one.game === verdict.game && one.config === verdict.config,
    );
  return shown.verdicts
    .filter(({ metric }) => metric === "cpuPowerW")
    .flatMap((power) => {
      const fps = find(power, "avgFps");
      const paint = paints.get(power.config);
      return fps === undefined || paint === undefined
        ? []
        : [
            {
              paint,
              title: gameTitle(judgement, power.game),
              powerPct: power.changePct,
              fpsPct: fps.changePct,
              powerVerdict: power.verdict,
              fpsVerdict: fps.verdict,
            },
          ];
    });
}

/** "-29%", and where no difference was shown what was: "unclear (+4.1%)". */
function toldPct(pct: number, verdict: Verdict["verdict"] | null): string {
  const change = formatChange(pct);
  if (verdict === null) return `not judged (${change})`;
  return verdict === "same" || verdict === "unclear" ? `${verdict} (${change})` : change;
}

function isShown({ fpsVerdict }: Dot): boolean {
  return fpsVerdict !== null && isCalled({ verdict: fpsVerdict });
}

/** The geometric mean of ratios, as the suite takes it. */
function meanOf(dots: readonly Dot[], { suite }: Judgement): Dot {
  const [first] = dots as [Dot, ...Dot[]];
  if (dots.length === 1) return { ...first, title: "1 game" };
  const { paint } = first;
  const mean = (value: (dot: Dot) => number): number =>
    100 * Math.expm1(dots.reduce((sum, dot) => sum + Math.log1p(value(dot) / 100), 0) / dots.length);
  const verdict = (metric: Verdict["metric"]): Verdict["verdict"] | null =>
    suite.find(
      (row) =>
        row.tag === null &&
        row.config === paint.config &&
        row.metric === metric &&
        // Of some of the games nothing is known as a whole.
        row.games === dots.length,
    )?.verdict ?? null;
  return {
    paint,
    title: `mean of ${dots.length} games`,
    powerPct: mean(({ powerPct }) => powerPct),
    fpsPct: mean(({ fpsPct }) => fpsPct),
    powerVerdict: verdict("cpuPowerW"),
    fpsVerdict: verdict("avgFps"),
  };
}

function drawPower(
  dots: readonly Dot[],
  means: readonly Dot[],
  space: Space,
  { theme, ruler }: Look,
): string {
  const { textPx } = space;
  const look = { textPx, theme };
  const [xLow, xHigh] = spanOf(dots.map(({ powerPct }) => powerPct));
  const [yLow, yHigh] = spanOf(dots.map(({ fpsPct }) => fpsPct));
  const [from, to] = [Math.max(xLow, yLow), Math.min(xHigh, yHigh)];
  // The games worth a name: those that were shown to differ, as long as there are few.
  const named = dots.filter(isShown);
  const margins = { left: textPx * 3.4, right: textPx * 0.8, top: textPx * 1.8, bottom: bottomMargin(look) };
  const perPct = {
    across: (space.width - margins.left - margins.right) / (xHigh - xLow),
    down: (space.height - margins.top - margins.bottom) / (yHigh - yLow),
  };
  const besides = (means.length > 0 && named.length > 12 ? [] : named).map((dot) => {
    const isRight = dot.powerPct > (xLow + xHigh) / 2;
    const text = shorten(dot.title, space.width * 0.24, { sizePx: textPx * 0.9, weight: 400 }, ruler);
    const width = ruler(text, textPx * 0.9, 400);
    const side = (dot.powerPct - xLow) * perPct.across + (isRight ? -1 : 1) * textPx * 0.6;
    const left = isRight ? side - width : side;
    return { ...dot, isRight, text, left, right: left + width, middle: (yHigh - dot.fpsPct) * perPct.down };
  });
  // Below the lowest line a name would stand among the figures of the axis.
  const middles = partLabels(besides, textPx, (yHigh - yLow) * perPct.down - textPx * 0.6);
  const labels = besides.map((label, i) => ({
    ...label,
    fpsPct: yHigh - (middles[i] as number) / perPct.down,
  }));
  const dot = (data: readonly Dot[], radius: number, className: string) =>
    Plot.dot(data, {
      x: "powerPct",
      y: "fpsPct",
      symbol: ({ paint }: Dot) => paint.symbol,
      r: radius,
      fill: (one: Dot) => (isShown(one) ? one.paint.color : theme.paper),
      stroke: ({ paint }: Dot) => paint.color,
      strokeWidth: textPx * 0.1,
      className,
    });
  return drawPlot({
    width: space.width,
    height: space.height,
    marginLeft: margins.left,
    marginRight: margins.right,
    marginTop: margins.top,
    marginBottom: margins.bottom,
    x: { type: "linear", domain: [xLow, xHigh] },
    y: { type: "linear", domain: [yLow, yHigh] },
    color: { type: "identity" },
    symbol: { type: "identity" },
    marks: [
      gridX(look, 6),
      gridY(look, 6),
      Plot.ruleX([0], { stroke: theme.ink, strokeWidth: textPx / 20 }),
      Plot.ruleY([0], { stroke: theme.ink, strokeWidth: textPx / 20 }),
      Plot.line(
        [
          { at: from, to: from },
          { at: to, to },
        ],
        {
          x: "at",
          y: "to",
          stroke: theme.quiet,
          strokeWidth: textPx * 0.06,
          strokeDasharray: `${textPx * 0.3},${textPx * 0.22}`,
          className: "same-efficiency",
        },
      ),
      dot(dots, textPx * (means.length > 0 ? 0.26 : 0.42), "game"),
      dot(means, textPx * 0.6, "mean"),
      Plot.text(
        labels.filter(({ isRight }) => isRight),
        {
          x: "powerPct",
          y: "fpsPct",
          dx: -textPx * 0.6,
          textAnchor: "end",
          text: "text",
          fontSize: textPx * 0.9,
          fill: theme.ink,
        },
      ),
      Plot.text(
        labels.filter(({ isRight }) => !isRight),
        {
          x: "powerPct",
          y: "fpsPct",
          dx: textPx * 0.6,
          textAnchor: "start",
          text: "text",
          fontSize: textPx * 0.9,
          fill: theme.ink,
        },
      ),
      Plot.text([{ at: from }], {
        x: "at",
        y: "at",
        // So far along that the line runs above it.
        dx: textPx * Math.max(0.8, (1.3 * perPct.across) / perPct.down),
        dy: -textPx * 0.6,
        textAnchor: "start",
        text: () => "same FPS per watt",
        fontSize: textPx * 0.9,
        fill: theme.quiet,
      }),
      Plot.text(["average FPS"], {
        frameAnchor: "top-left",
        dx: -textPx * 3.2,
        dy: -textPx * 1.6,
        textAnchor: "start",
        fontSize: textPx * 0.9,
        fill: theme.quiet,
      }),
      axisLeft(look, { ticks: 6, format: signedPct, className: "fps-axis" }),
      axisBottom(look, { label: "CPU power", ticks: 6, format: signedPct, className: "power-axis" }),
    ],
  });
}

/** The values and zero, with some air. */
function spanOf(values: readonly number[]): [number, number] {
  const [least, most] = [Math.min(0, ...values), Math.max(0, ...values)];
  const air = Math.max(0.08 * (most - least), 0.5);
  return [least - air, most + air];
}
