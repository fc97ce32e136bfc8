import type { AxisLook } from "./axes.ts";
import { type Markish, Plot } from "./plot-library.ts";

/** What stands over a row or a panel of a picture: its name in its colour, then what is to be said of it. */
export interface RowHead {
  readonly name: string;
  readonly words: string;
  readonly color: string;
  /** Where the words begin, in pixels from the name's beginning. */
  readonly after: number;
}

/** Where heads stand: at the left of what these channels say, moved by pixels. */
interface HeadPlace {
  readonly frameAnchor: "left" | "top-left";
  readonly y?: string;
  readonly fy?: string;
  readonly dx: number;
  readonly dy?: number;
}

/** The heads of a picture's rows, for `place`'s channels to find among their fields. */
export function rowHeads(
  heads: readonly RowHead[],
  place: HeadPlace,
  { textPx, theme }: AxisLook,
): Markish[] {
  const text = { ...place, textAnchor: "start", fontSize: textPx } as const;
  return [
    Plot.text(heads, { ...text, text: "name", fontWeight: 600, fill: "color" }),
    ...heads.map((head) =>
      Plot.text([head], {
        ...text,
        dx: place.dx + head.after,
        text: "words",
        fontWeight: 400,
        fill: theme.quiet,
      }),
    ),
  ];
}
