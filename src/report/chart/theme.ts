/** Colours of a picture, as SVG knows them. */
export interface Theme {
  readonly paper: string;
  /** Text and the zero line. */
  readonly ink: string;
  /** Text beside the point: axes, intervals, footers. */
  readonly quiet: string;
  readonly grid: string;
  /** The margin that matters. */
  readonly band: string;
  readonly baseline: string;
  /** One after another for the configs other than the baseline. */
  readonly configs: readonly string[];
}

/*
 * Hues after Okabe & Ito 2008, Color Universal Design (jfly.uni-koeln.de/color), darkened or lightened until each reads as text on its
 * paper: at least 4.5 to 1 (WCAG 2.2, success criterion 1.4.3). test/report/chart/theme.test.ts holds them to that, and to
 * staying apart for people with protanopia, deuteranopia and tritanopia.
 */
export const lightTheme: Theme = {
  paper: "#fbfaf6",
  ink: "#1c2126",
  quiet: "#585f67",
  grid: "#dcd9d1",
  band: "#ece6d6",
  baseline: "#585f67",
  configs: ["#0063a8", "#ad4200", "#8c2f76", "#00664a", "#6b5c00", "#3d3a9e"],
};

export const darkTheme: Theme = {
  paper: "#14171b",
  ink: "#f0eee8",
  quiet: "#a9b0b8",
  grid: "#31373e",
  band: "#272d34",
  baseline: "#b9c0c7",
  configs: ["#63b4f4", "#f09a4a", "#e58fd0", "#3fcf9f", "#e3d04f", "#a9a5ff"],
};

export const themes = { light: lightTheme, dark: darkTheme } as const;
