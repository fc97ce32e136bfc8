import pico from "picocolors";

/** Where a text will be shown. */
export interface Style {
  /** Columns available; lines stay within them where words allow. */
  readonly width: number;
  readonly color: boolean;
}

/** Colours by meaning; each returns its text unchanged where colour is off. Colour never says what words do not. */
export interface Paint {
  heading(text: string): string;
  quiet(text: string): string;
  good(text: string): string;
  bad(text: string): string;
  warn(text: string): string;
}

export function paintOf({ color }: Pick<Style, "color">): Paint {
  const colors = pico.createColors(color);
  return {
    heading: colors.bold,
    quiet: colors.dim,
    good: colors.green,
    bad: colors.red,
    warn: colors.yellow,
  };
}
