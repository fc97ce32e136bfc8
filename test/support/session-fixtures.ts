import type { JudgeSettings } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { makePass } from "./make-pass.ts";

export const settingsFor = (baseline: string, change: Partial<JudgeSettings> = {}): JudgeSettings => ({
  title: null,
  baseline,
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  keepAll: false,
  setAside: [],
  ...change,
});

export interface TableRow extends Partial<Record<Metric, number | null>> {
  readonly game: string;
  readonly config: string;
  readonly pass: string;
  readonly boot?: string | null;
}

export function passesOf(table: readonly TableRow[]): PassSummary[] {
  return table.map(({ game, config, pass, boot = null, ...values }) =>
    makePass({ game, config, pass, boot }, values),
  );
}

const columnNames: Readonly<Record<string, Metric>> = {
  avg_fps: "avgFps",
  low1_fps: "low1Fps",
  low01_fps: "low01Fps",
  cpu_power_w: "cpuPowerW",
  fps_per_watt: "fpsPerWatt",
};

/** A pass table as CSV without quotes: game, config, pass, then figures. */
export function parsePassTable(csv: string): TableRow[] {
  const [header, ...lines] = csv.trim().split(/\r?\n/);
  const names = header!.split(",");
  return lines.map((line) => {
    const [game, config, pass, ...figures] = line.split(",") as [string, string, string, ...string[]];
    const values = figures.map((text, i) => [columnNames[names[i + 3]!]!, Number(text)] as const);
    return { game, config, pass, ...Object.fromEntries(values) };
  });
}

/** Every number anywhere in a value, with its path; a figure that does not exist must be null. */
export function numbersIn(value: unknown, path = "$"): { path: string; number: number }[] {
  if (typeof value === "number") return [{ path, number: value }];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => numbersIn(inner, `${path}.${key}`));
}
