import type { JudgedPass } from "../judge/judgement.ts";
import { metricLabel } from "../judge/label-metric.ts";
import { type Metric, metrics } from "../measure/pass-summary.ts";
import { formatCount, formatFigure } from "../shared/format-number.ts";
import { powerCaution } from "../shared/power-caution.ts";
import { visible } from "./escape.ts";
import { explainHint } from "./explain-hint.ts";
import { hasPower } from "./judgement-words.ts";
import { markdownTable } from "./markdown-table.ts";
import { steadiness, steadinessLabel, steadinessNote } from "./steadiness-words.ts";
import { type Paint, paintOf, type Style } from "./style.ts";
import { textTable, wrapText } from "./text-table.ts";
import { type CsvCell, toCsv } from "./to-csv.ts";
import { toJson } from "./to-json.ts";

const columnLabel: Readonly<Record<Metric, string>> = {
  avgFps: "average\nFPS",
  low1Fps: "1% low\nFPS",
  low01Fps: "0.1% low\nFPS",
  cpuPowerW: "CPU\npower W",
  gpuPowerW: "GPU\npower W",
  fpsPerWatt: "FPS\nper watt",
  joulesPerFrame: "J per\nframe",
};
const figureWidth = 8;

type Figure = Metric | (typeof steadiness)[number];

/** One line per pass with every metric that the session has, then steadiness, then every flag in words. */
export function passesTable(passes: readonly JudgedPass[], style: Style): string {
  const paint = paintOf(style);
  const nameWidth = Math.max(...passes.map(({ pass }) => visible(pass).length + 2), 14);
  const shown = shownMetrics(passes);
  const isSteadinessKnown = passes.some(({ meanStepMs }) => meanStepMs !== null);
  const isWide = nameWidth + (2 + shown.length + steadiness.length) * (figureWidth + 1) <= style.width;
  const tables =
    isWide && isSteadinessKnown
      ? [passBlocks(passes, [...shown, ...steadiness], nameWidth, paint)]
      : [
          passBlocks(passes, shown, nameWidth, paint),
          ...(isSteadinessKnown ? [passBlocks(passes, steadiness, nameWidth, paint)] : []),
        ];
  const flags = flagLines(passes).map((line) => wrapText(`- ${visible(line)}`, style.width, "  "));
  const hint = explainHint(passes.flatMap((pass) => pass.flags.map(({ code }) => code)));
  const out = passes.filter(({ counted }) => !counted).length;
  const notes = [
    ...(out > 0 ? [`x: does not count (${out} of ${passes.length}), for the reason below`] : []),
    ...(isSteadinessKnown ? [steadinessNote] : []),
    ...(hasPower(passes) ? [powerCaution] : []),
  ];
  return `${[
    tables.join("\n\n"),
    ...notes.map((note) => wrapText(note, style.width, "  ")),
    ...(flags.length > 0
      ? [[paint.heading("Flags"), ...flags, ...(hint === null ? [] : [hint])].join("\n")]
      : []),
  ].join("\n")}\n`;
}

/** A head, then the passes of one cell after the other. */
function passBlocks(
  passes: readonly JudgedPass[],
  figures: readonly Figure[],
  nameWidth: number,
  paint: Paint,
): string {
  const labels = { ...columnLabel, ...steadinessLabel };
  const head = ["pass", "frames", "seconds", ...figures.map((figure) => labels[figure])];
  const widths = [nameWidth, ...head.slice(1).map(() => figureWidth)];
  const align = ["left" as const, ...head.slice(1).map(() => "right" as const)];
  const table = (rows: string[][]): string => textTable(rows, widths, align, 1);
  const cells = new Map<string, JudgedPass[]>();
  for (const pass of passes) {
    const name = `${visible(pass.game)} / ${visible(pass.config)}`;
    cells.set(name, [...(cells.get(name) ?? []), pass]);
  }
  const blocks = [...cells].map(([name, own]) =>
    [
      paint.heading(name),
      table(
        own.map((pass) => [
          `${pass.counted ? " " : "x"} ${visible(pass.pass)}`,
          formatCount(pass.frames),
          formatFigure(pass.seconds),
          ...figures.map((figure) => figureText(pass[figure])),
        ]),
      ),
    ].join("\n"),
  );
  return [table([head.map((label) => label.split("\n").map(paint.heading).join("\n"))]), ...blocks].join(
    "\n",
  );
}

/** Notes that more passes than this have are told once, with their number. */
const mostAlike = 3;

/** Every flag in words, by pass; what many passes have alike is told once. */
function flagLines(passes: readonly JudgedPass[]): string[] {
  const all = passes.flatMap((pass) =>
    pass.flags.map((flag) => ({ ...flag, pass: `${pass.game} / ${pass.config} / ${pass.pass}` })),
  );
  const told = new Set<string>();
  return all.flatMap(({ severity, code, text, pass }) => {
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
      formatCount(pass.frames),
      formatFigure(pass.seconds),
      ...[...shown, ...steadiness].map((figure) => figureText(pass[figure])),
      pass.flags.map(({ severity, text }) => `${severity}: ${text}`).join("; "),
    ]),
  );
  const notes = [steadinessNote, ...(hasPower(passes) ? [powerCaution] : [])];
  return `${[table, ...notes.map((note) => `> ${note}`)].join("\n\n")}\n`;
}

function shownMetrics(passes: readonly JudgedPass[]): Metric[] {
  return metrics.filter((metric) => passes.some((pass) => pass[metric] !== null));
}

function figureText(value: number | null): string {
  return value === null ? "-" : formatFigure(value);
}
