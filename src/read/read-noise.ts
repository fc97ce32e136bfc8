import { type Metric, type MetricName, metricsByName } from "../shared/metrics.ts";
import { nearestName } from "../shared/nearest.ts";

/** A noise as it was stated: a metric and percent of run-to-run noise, one standard deviation. */
export interface NoiseReading {
  /** null: every game that is not named by itself. */
  readonly game: string | null;
  readonly metric: Metric;
  readonly pct: number;
}

/** More than this is no noise but a mistake. */
const mostPct = 100;

/** Longer texts are no names. */
const longestText = 1000;

/**
 * Reads "1% low 2%": a metric by the name that people or programs use, then how far one pass lies from the next. One
 * game's own stands behind its name: "saltworks: 1% low 2%".
 * @returns what was expected instead, where it cannot be read
 */
export function readNoise(text: string): NoiseReading | { readonly expected: string } {
  const match = text.length > longestText ? null : /^\s*(\S.*?)[\s:=]+(\d+(?:\.\d+)?)\s*%?\s*$/s.exec(text);
  if (match === null) return { expected: 'a metric and its noise in percent, such as "1% low 2%"' };
  const [, before = "", digits] = match;
  const [, game, name = ""] = /^(?:(.+): )?\s*(.*)$/s.exec(before) ?? [];
  const metric = metricOf(name);
  if (metric === null) {
    const nearest = nearestName(name, Object.keys(metricsByName));
    const hint = nearest === null ? "" : `; did you mean "${nearest}"?`;
    return { expected: `a metric such as average FPS, 1% low or CPU power before the percent${hint}` };
  }
  const pct = Number(digits);
  if (!(pct > 0 && pct < mostPct)) return { expected: `a noise above 0% and below ${mostPct}%` };
  return { game: game?.normalize("NFC") ?? null, metric, pct };
}

function metricOf(name: string): Metric | null {
  const known = Object.keys(metricsByName).find((own) => own.toLowerCase() === name.toLowerCase());
  return known === undefined ? null : metricsByName[known as MetricName];
}
