import { type Markish, Plot } from "./plot-library.ts";
import type { Theme } from "./theme.ts";

/** How every chart draws its axes: no lines but a quiet grid, figures beside it. */
export interface AxisLook {
  readonly textPx: number;
  readonly theme: Theme;
}

type Ticks = number | number[];

/** Upright grid lines. */
export function gridX({ textPx, theme }: AxisLook, ticks: Ticks): Markish {
  return Plot.gridX({ stroke: theme.grid, strokeOpacity: 1, strokeWidth: textPx / 24, ticks });
}

/** Level grid lines. */
export function gridY({ textPx, theme }: AxisLook, ticks: Ticks): Markish {
  return Plot.gridY({ stroke: theme.grid, strokeOpacity: 1, strokeWidth: textPx / 24, ticks });
}

/** Room that the axis below takes, its label included. */
export function bottomMargin({ textPx }: Pick<AxisLook, "textPx">): number {
  return textPx * 2.9;
}

interface AxisOptions {
  readonly ticks: Ticks;
  readonly format?: (value: number) => string;
  /** By which tests find the axis again. */
  readonly className: string;
}

/** Figures below the chart, and what they are. */
export function axisBottom(
  { textPx, theme }: AxisLook,
  { label, ticks, format, className }: AxisOptions & { readonly label: string },
): Markish {
  return Plot.axisX({
    anchor: "bottom",
    ticks,
    tickSize: 0,
    tickPadding: textPx * 0.4,
    ...(format !== undefined && { tickFormat: format }),
    fontSize: textPx * 0.9,
    label,
    labelAnchor: "center",
    labelArrow: "none",
    labelOffset: textPx * 2.5,
    color: theme.quiet,
    className,
  });
}

/** Figures at the left. */
export function axisLeft({ textPx, theme }: AxisLook, { ticks, format, className }: AxisOptions): Markish {
  return Plot.axisY({
    anchor: "left",
    ticks,
    tickSize: 0,
    tickPadding: textPx * 0.35,
    ...(format !== undefined && { tickFormat: format }),
    fontSize: textPx * 0.9,
    label: null,
    color: theme.quiet,
    className,
  });
}

/** "+5%", "0%", "-5%". */
export function signedPct(value: number): string {
  return `${value > 0 ? "+" : ""}${value}%`;
}
