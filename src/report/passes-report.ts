import type { JudgedPass } from "../judge/judgement.ts";
import { formatCount, formatFigure } from "../shared/format-number.ts";
import { groupBy } from "../shared/group-by.ts";
import { type Metric, metricLabel, metrics } from "../shared/metrics.ts";
import { hasPower, powerCaution } from "../shared/power-caution.ts";
import { visible } from "./escape.ts";
import { explainHint } from "./explain-hint.ts";
import { markdownTable } from "./markdown-table.ts";
import { steadiness, steadinessLabel, steadinessNote } from "./steadiness-words.ts";
import { paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import { type CsvCell, toCsv } from "./to-csv.ts";
import { toJson } from "./to-json.ts";
import { breakText, textWidth, wrapText } from "./wrap-text.ts";

type Figure = "frames" | "seconds" | Metric | (typeof steadiness)[number];

const columnLabel: Readonly<Record<Figure, string>> = {
  frames: "frames",
  seconds: "seconds",
  avgFps: "average\nFPS",
  low1Fps: "1% low\nFPS",
  low01Fps: "0.1% low\nFPS",
  cpuPowerW: "CPU\npower W",
  gpuPowerW: "GPU\npower W",
  fpsPerWatt: "FPS\nper watt",
  joulesPerFrame: "J per\nframe",
  ...steadinessLabel,
};
const figureWidth = 8;
const figureGap = 1;
const narrowestName = 8;

/**
 * One line per pass with every metric that the session has and its steadiness, in as many tables below each other as
 * the width asks for, then every flag in words.
 */
export function passesTable(passes: readonly JudgedPass[], style: Style): string {
  const paint = paintOf(style);
  const longest = Math.max(narrowestName, ...passes.map(({ pass }) => textWidth(visible(pass)) + 2));
  const nameWidth = Math.max(narrowestName, Math.min(longest, style.width - (figureWidth + figureGap)));
  const most = Math.max(1, Math.floor((style.width - nameWidth) / (figureWidth + figureGap)));
  const tables = shareOut(passes, most).map((figures) => passBlocks(passes, figures, nameWidth, style));
  const flags = flagLines(passes).map((line) => wrapText(`- ${visible(line)}`, style.width, "  "));
  const hint = explainHint(passes.flatMap((pass) => pass.flags.map(({ code }) => code)));
  const out = passes.filter(({ counted }) => !counted).length;
  const notes = [
    ...(out > 0 ? [`x: does not count (${out} of ${passes.length}), for the reason below`] : []),
    ...(hasSteadiness(passes) ? [steadinessNote] : []),
    ...(hasPower(passes) ? [powerCaution] : []),
  ];
  const section = (lines: readonly (string | null)[]): string =>
    lines.flatMap((line) => (line === null ? [] : [wrapText(line, style.width, "  ")])).join("\n");
  return `${[
    ...tables,
    ...(notes.length > 0 ? [section(notes)] : []),
    ...(flags.length > 0 ? [[paint.heading("Flags"), ...flags, section([hint])].join("\n").trimEnd()] : []),
  ].join("\n\n")}\n`;
}

/** The figures of each table: all in one where they fit, else steadiness apart, and columns shared out evenly. */
function shareOut(passes: readonly JudgedPass[], most: number): Figure[][] {
  const metricsShown: Figure[] = ["frames", "seconds", ...shownMetrics(passes)];
  const groups = hasSteadiness(passes) ? [metricsShown, [...steadiness]] : [metricsShown];
  if (groups.flat().length <= most) return [groups.flat()];
  return groups.flatMap((group) => {
    const each = Math.ceil(group.length / Math.ceil(group.length / most));
    return Array.from({ length: Math.ceil(group.length / each) }, (_, i) =>
      group.slice(i * each, (i + 1) * each),
    );
  });
}

function hasSteadiness(passes: readonly JudgedPass[]): boolean {
  return passes.some(({ meanStepMs }) => meanStepMs !== null);
}

/** A head, then the passes of one cell after the other. */
function passBlocks(
  passes: readonly JudgedPass[],
  figures: readonly Figure[],
  nameWidth: number,
  style: Style,
): string {
  const paint = paintOf(style);
  const widths = [nameWidth, ...figures.map(() => figureWidth)];
  const align = ["left" as const, ...figures.map(() => "right" as const)];
  const table = (rows: string[][]): string => textTable(rows, widths, align, figureGap);
  const cells = groupBy(passes, ({ game, config }) => `${visible(game)} / ${visible(config)}`);
  const blocks = [...cells].map(([name, own]) =>
    [
      paint.heading(wrapText(name, style.width, "  ")),
      table(
        own.map((pass) => [
          breakText(`${pass.counted ? " " : "x"} ${visible(pass.pass)}`, nameWidth, "  "),
          ...figures.map((figure) => figureText(figure, pass)),
        ]),
      ),
    ].join("\n"),
  );
  const head = ["pass", ...figures.map((figure) => columnLabel[figure])];
  return [table([head.map((label) => label.split("\n").map(paint.heading).join("\n"))]), ...blocks].join(
    "\n",
  );
}

/** Notes that more passes than this have are told once, with their number. */
const mostAlike = 3;

const severities = [
  "bad",
  "warning",
  "note",
] as const satisfies readonly JudgedPass["flags"][number]["severity"][];

/** Every flag in words, the worst first, then by pass; what many passes have alike is told once. */
function flagLines(passes: readonly JudgedPass[]): string[] {
  const all = passes.flatMap((pass) =>
    pass.flags.map((flag) => ({ ...flag, pass: `${pass.game} / ${pass.config} / ${pass.pass}` })),
  );
  const told = new Set<string>();
  const worstFirst = severities.flatMap((severity) => all.filter((flag) => flag.severity === severity));
  return worstFirst.flatMap(({ severity, code, text, pass }) => {
    const alike = all.filter((other) => other.code === code && other.severity === severity).length;
    if (severity !== "note" || alike <= mostAlike) return [`${severity}: ${pass}: ${text}`];
    if (told.has(code)) return [];
    told.add(code);
    return [`${severity}: ${alike} times, first ${pass}: ${text} (--format csv has all)`];
  });
}

/** The passes with the keys of the data contract. */
export function passesJson(passes: readonly JudgedPass[]): string {
  const cautions = hasPower(passes) ? [{ code: "power-limits", text: powerCaution }] : [];
  return toJson({ format: "runjury.passes/1", passes, cautions });
}

const csvColumns = [
  "game",
  "config",
  "pass",
  "boot",
  "file",
  "frames",
  "seconds",
  ...metrics,
  "cpuClockMhz",
  "cpuLoadPct",
  "gpuLoadPct",
  "cpuTempC",
  ...steadiness,
  "startedAt",
  "counted",
  "notCountedBecause",
] as const satisfies readonly (keyof JudgedPass)[];

/** One row per pass, with the names of the data contract as headers; flags as codes. */
export function passesCsv(passes: readonly JudgedPass[]): string {
  return toCsv(
    [...csvColumns, "flags"],
    passes.map((pass): CsvCell[] => [
      ...csvColumns.map((column) => pass[column]),
      pass.flags.map(({ code }) => code).join(" "),
    ]),
  );
}

/** The table's rows and figures, all in one table, with every flag in words. */
export function passesMarkdown(passes: readonly JudgedPass[]): string {
  const shown = shownMetrics(passes);
  const table = markdownTable(
    [
      ...["game", "config", "pass", "frames", "seconds", ...shown.map((metric) => metricLabel[metric])],
      ...["stutter time %", "worst frame ms", "mean step ms", "flags"],
    ],
    passes.map((pass) => [
      pass.game,
      pass.config,
      pass.pass,
      ...(["frames", "seconds", ...shown, ...steadiness] as const).map((figure) => figureText(figure, pass)),
      pass.flags.map(({ severity, text }) => `${severity}: ${text}`).join("; "),
    ]),
  );
  const notes = [steadinessNote, ...(hasPower(passes) ? [powerCaution] : [])];
  return `${[table, ...notes.map((note) => `> ${note}`)].join("\n\n")}\n`;
}

function shownMetrics(passes: readonly JudgedPass[]): Metric[] {
  return metrics.filter((metric) => passes.some((pass) => pass[metric] !== null));
}

function figureText(figure: Figure, pass: JudgedPass): string {
  const value = pass[figure];
  if (value === null) return "-";
  return figure === "frames" ? formatCount(value) : formatFigure(value);
}
