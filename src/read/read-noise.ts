import { type Metric, type MetricName, metricsByName } from "../shared/metrics.ts";
import { nearestName } from "../shared/nearest.ts";

/** A noise as it was stated: a metric and percent of run-to-run noise, one standard deviation. */
export interface NoiseReading {
  readonly metric: Metric;
  readonly pct: number;
}

/** More than this is no noise but a mistake. */
const mostPct = 100;

/**
 * Reads "1% low 2%": a metric by the name that people or programs use, then how far one pass lies from the next.
 * @returns what was expected instead, where it cannot be read
 */
export function readNoise(text: string): NoiseReading | { readonly expected: string } {
  const match = /^\s*(\S.*?)[\s:=]+(\d+(?:\.\d+)?)\s*%?\s*$/.exec(text);
  const names = Object.keys(metricsByName);
  if (match === null) return { expected: 'a metric and its noise in percent, such as "1% low 2%"' };
  const name = (match[1] as string).trim();
  const known = names.find((own) => own.toLowerCase() === name.toLowerCase());
  if (known === undefined) {
    const nearest = nearestName(name, names);
    const hint = nearest === null ? "" : `; did you mean "${nearest}"?`;
    return { expected: `a metric such as average FPS, 1% low or CPU power before the percent${hint}` };
  }
  const pct = Number(match[2]);
  if (!(pct > 0 && pct < mostPct)) return { expected: `a noise above 0% and below ${mostPct}%` };
  return { metric: metricsByName[known as MetricName], pct };
}
