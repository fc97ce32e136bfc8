import { darkTheme, lightTheme, type Theme } from "../chart/theme.ts";

/** The colours of pictures by name, so that one drawing serves both themes of a page. */
export const pageTheme: Theme = {
  paper: "var(--paper)",
  ink: "var(--ink)",
  quiet: "var(--quiet)",
  grid: "var(--grid)",
  band: "var(--band)",
  baseline: "var(--baseline)",
  configs: lightTheme.configs.map((_, i) => `var(--config-${i})`),
};

/** What the names stand for in one theme, as CSS declarations. */
export function themeRules(name: "light" | "dark"): string {
  const { configs, ...others } = name === "light" ? lightTheme : darkTheme;
  const colors = [
    ...Object.entries(others).map(([key, color]) => `--${key}:${color}`),
    ...configs.map((color, i) => `--config-${i}:${color}`),
  ];
  return `color-scheme:${name};${colors.join(";")}`;
}
