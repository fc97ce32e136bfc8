import { describeFlag } from "../judge/describe-flag.ts";
import type { Inspection, LogComparison } from "../measure/inspect-log.ts";
import { counted } from "../shared/counted.ts";
import { formatCount, formatFigure } from "../shared/format-number.ts";
import type { Problem } from "../shared/problem.ts";
import { describeFinding } from "./describe-problem.ts";
import { visible } from "./escape.ts";
import { explainHint } from "./explain-hint.ts";
import { lowsWords } from "./lows-words.ts";
import { type Paint, paintOf, type Style } from "./style.ts";
import { wrapText } from "./wrap-text.ts";

/** How one log was read, on what grounds. */
export function inspectTable(inspection: Inspection, style: Style): string {
  const paint = paintOf(style);
  const { file, text, columns, rows, sensorLog, flags } = inspection;
  const line = (label: string, value: string): string =>
    wrapText(`  ${label.padEnd(labelWidth)}${visible(value)}`, style.width, " ".repeat(labelWidth + 2));
  const sections = [
    [
      paint.heading(visible(file)),
      ...(text === null
        ? []
        : [
            line("encoding", `${text.encoding}${text.byteOrderMark ? ", with a byte order mark" : ""}`),
            line("compression", text.gzip ? "gzip" : "none"),
            line("line ends", text.lineEnd),
            line("delimiter", delimiterName[text.delimiter]),
            line("decimal sign", text.decimalSign === "." ? "point" : "comma"),
            line("header", text.headerLine === null ? "none" : `line ${text.headerLine}`),
            ...text.notes.map((note, i) => line(i === 0 ? "before the table" : "", note)),
          ]),
    ],
    columns.length === 0 ? [] : [paint.heading("Columns"), ...columnLines(columns, style, paint)],
    rows === null
      ? []
      : [
          paint.heading("Rows"),
          line("read", formatCount(rows.read)),
          line("frames", formatCount(rows.frames)),
          ...Object.entries(rows.notUsed).map(([reason, count]) =>
            line("not used", `${formatCount(count)} ${reason}`),
          ),
        ],
    sensorLogLines(sensorLog, style, paint, line),
    figureLines(inspection, paint, line),
    flagLines(flags, style, paint),
  ];
  return `${sections
    .filter((section) => section.length > 0)
    .map((section) => section.join("\n"))
    .join("\n\n")}\n`;
}

/** Room for the longest label and a blank. */
const labelWidth = 17;

function columnLines(columns: Inspection["columns"], style: Style, paint: Paint): string[] {
  return columns.flatMap(({ position, name, role, sensor, unit, evidence }) => [
    `  ${position}. ${visible(name ?? "(no name)")}: ${paint.heading(roleName(role, sensor))}${unit === null ? "" : `, ${visible(unit)}`}`,
    ...evidence.map(({ favours, text: why }) =>
      wrapText(`     ${favours ? "for" : "against"}: ${visible(why)}`, style.width, "       "),
    ),
  ]);
}

const joinedWords = {
  date: "by the dates in both",
  "elapsed-time": "by the time that both count",
  start: "no clock in common: both are taken to start together",
} as const;

function sensorLogLines(
  sensorLog: Inspection["sensorLog"],
  style: Style,
  paint: Paint,
  line: (label: string, value: string) => string,
): string[] {
  if (sensorLog === null) return [];
  const { file, text, columns, rows, fromS, toS, joinedBy, offsetS } = sensorLog;
  const offset = offsetS === 0 ? "" : `, moved by ${formatFigure(offsetS)} s as the session says`;
  return [
    paint.heading(`Sensor log ${visible(file)}`),
    line("delimiter", delimiterName[text.delimiter]),
    line("decimal sign", text.decimalSign === "." ? "point" : "comma"),
    line("rows", formatCount(rows)),
    line("joined", `${joinedWords[joinedBy]}${offset}`),
    line("covers", `${formatFigure(fromS)} to ${formatFigure(toS)} s after the first frame began`),
    ...columnLines(columns, style, paint),
  ];
}

function flagLines(flags: Inspection["flags"], style: Style, paint: Paint): string[] {
  const hint = explainHint(flags.map(({ code }) => code));
  if (hint === null) return [];
  const lines = flags
    .map(describeFlag)
    .map(({ severity, text }) => wrapText(`- ${severity}: ${visible(text)}`, style.width, "  "));
  return [paint.heading("Flags"), ...lines, paint.quiet(hint)];
}

/** The same as data, with what was said of the log on the way. */
export function inspectionData(inspection: Inspection, problems: readonly Problem[]): object {
  return { ...inspection, flags: inspection.flags.map(describeFlag), problems: problems.map(problemData) };
}

/** How the logs of a folder were read, as data. */
export function comparisonData(comparison: LogComparison, problems: readonly Problem[]): object {
  return { ...comparison, problems: problems.map(problemData) };
}

/** A problem's facts and, for whoever only shows it, its words. */
function problemData(problem: Problem): object {
  return { ...problem, ...describeFinding(problem) };
}

const delimiterName = { ",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe", " ": "blanks" } as const;

function roleName(role: Inspection["columns"][number]["role"], sensor: string | null): string {
  if (role === "sensor" && sensor !== null)
    return sensor.replace("-", " ").replace(/^[cg]pu/, (part) => part.toUpperCase());
  return role.replace("-", " ");
}

const sensorFigures = [
  ["cpuPowerW", "CPU power", "W"],
  ["gpuPowerW", "GPU power", "W"],
  ["cpuClockMhz", "CPU clock", "MHz"],
  ["cpuLoadPct", "CPU load", "%"],
  ["gpuLoadPct", "GPU load", "%"],
  ["cpuTempC", "CPU temperature", "°C"],
  ["gpuTempC", "GPU temperature", "°C"],
] as const;

function figureLines(
  { figures, rows, lows }: Inspection,
  paint: Paint,
  line: (label: string, value: string) => string,
): string[] {
  if (figures === null) return [];
  const frames = rows?.frames ?? 0;
  const low = (value: number | null): string => (value === null ? "too few frames" : formatFigure(value));
  return [
    paint.heading("Figures"),
    ...(figures.frames === frames
      ? []
      : [
          line(
            "frames",
            `${formatCount(figures.frames)} of ${formatCount(frames)}, in the window that \`trim\` keeps`,
          ),
        ]),
    line("seconds", formatFigure(figures.seconds)),
    line("average FPS", low(figures.avgFps)),
    line("1% low", low(figures.low1Fps)),
    line("0.1% low", low(figures.low01Fps)),
    line("lows are", lowsWords[lows]),
    ...sensorFigures.flatMap(([key, label, unit]) => {
      const mean = figures[key];
      return mean === null ? [] : [line(label, `${formatFigure(mean)} ${unit}`)];
    }),
  ];
}

/** How the logs of a folder were read, and which were read otherwise than most. */
export function comparisonTable(comparison: LogComparison, style: Style): string {
  const paint = paintOf(style);
  const { logs, usual, others, notRead } = comparison;
  const alike = usual.files.length;
  if (alike === 0) return notReadLines(logs, notRead, paint);
  const lines = [
    `${alike === logs ? "All" : `${formatCount(alike)} of`} ${formatCount(logs)} logs were read alike:`,
    ...usual.traits.map((trait) => `  ${visible(trait)}`),
  ];
  for (const { traits, files } of others) {
    const differing = traits.filter((trait) => !usual.traits.includes(trait));
    lines.push("", paint.heading(`${formatCount(files.length)} otherwise:`));
    lines.push(...differing.map((trait) => `  ${visible(trait)}`));
    lines.push(...files.map((file) => `  - ${visible(file)}`));
  }
  if (others.length === 0) lines.push("", "No log disagrees with the others.");
  if (notRead.length > 0) {
    lines.push("", paint.heading("Not read:"), ...notRead.map((file) => `  - ${visible(file)}`));
  }
  return `${lines.join("\n")}\n`;
}

function notReadLines(logs: number, notRead: readonly string[], paint: Paint): string {
  const head = `None of ${counted(logs, "log")} could be read:`;
  return `${[paint.heading(head), ...notRead.map((file) => `  - ${visible(file)}`)].join("\n")}\n`;
}
