import type { ColumnReading, LogReading, RowAccount, SensorLogReading, TextReading } from "../read/log.ts";
import { groupBy } from "../shared/group-by.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import { hearSensors } from "./hear-sensors.ts";
import { measureRates } from "./measure-rates.ts";
import type { MeasureFlag } from "./pass-summary.ts";
import { meanOf, type SensorMeans, sensorMeans } from "./sensor-means.ts";
import { flagsOf, type SummariseSettings } from "./summarise-pass.ts";
import { trimFrames } from "./trim.ts";

/** How one log was read and what it says by itself. */
export interface Inspection {
  readonly format: "runjury.inspection/1";
  readonly file: string;
  /** null where the file holds no table. */
  readonly text: TextReading | null;
  readonly columns: readonly ColumnReading[];
  readonly rows: RowAccount | null;
  /** The sensor log beside it; null where there is none that can be used. */
  readonly sensorLog: SensorLogReading | null;
  /** What the lows of the figures mean. */
  readonly lows: LowsDefinition;
  /** null where the log could not be read. */
  readonly figures: InspectedFigures | null;
  /** What was noticed of the log by itself; a session may notice more, and its bad passes do not count. */
  readonly flags: readonly MeasureFlag[];
}

/** What the log says by itself, in the window that was asked for. */
interface InspectedFigures extends SensorMeans {
  readonly frames: number;
  readonly seconds: number;
  readonly avgFps: number | null;
  readonly low1Fps: number | null;
  readonly low01Fps: number | null;
  readonly gpuTempC: number | null;
}

/** Turns a reading into what `runjury inspect` shows. */
export function inspectLog(file: string, reading: LogReading, settings: SummariseSettings): Inspection {
  const { log, text, columns, sensorLog = null } = reading;
  const read = {
    format: "runjury.inspection/1",
    file,
    text,
    columns,
    sensorLog,
    lows: settings.lows,
  } as const;
  if (log === null) return { ...read, rows: null, figures: null, flags: [] };
  const { frameTimesMs, sumMs, fromS, toS } = trimFrames(log, settings.trim);
  const { avgFps, lows } = measureRates(frameTimesMs, sumMs);
  const { heard, flags: gaps } = hearSensors(log.sensors, fromS, toS);
  return {
    ...read,
    rows: log.rows,
    figures: {
      frames: frameTimesMs.length,
      seconds: sumMs / 1000,
      avgFps,
      ...lows[settings.lows],
      ...sensorMeans(heard),
      gpuTempC: meanOf(heard, "gpu-temperature"),
    },
    flags: flagsOf(log, settings.trim, frameTimesMs.length, gaps),
  };
}

/** Logs that were read alike, and what that was. */
interface LogGroup {
  readonly traits: readonly string[];
  readonly files: readonly string[];
}

/** The logs of a folder by how they were read. */
export interface LogComparison {
  readonly format: "runjury.log-comparison/1";
  readonly logs: number;
  readonly usual: LogGroup;
  readonly others: readonly LogGroup[];
  readonly notRead: readonly string[];
}

/** Groups the logs of a folder by how they were read; the largest group is the usual one. */
export function compareLogs(inspections: readonly Inspection[]): LogComparison {
  const read = inspections
    .filter(({ rows }) => rows !== null)
    .map((inspection) => ({ file: inspection.file, traits: traitsOf(inspection) }));
  const [usual, ...others] = [...groupBy(read, ({ traits }) => JSON.stringify(traits)).values()]
    .map((alike): LogGroup => ({ traits: alike[0].traits, files: alike.map(({ file }) => file) }))
    .sort((a, b) => b.files.length - a.files.length);
  return {
    format: "runjury.log-comparison/1",
    logs: inspections.length,
    usual: usual ?? { traits: [], files: [] },
    others,
    notRead: inspections.filter(({ rows }) => rows === null).map(({ file }) => file),
  };
}

function traitsOf({ text, columns, sensorLog }: Inspection): string[] {
  return [
    ...(text === null
      ? []
      : [
          `text: ${text.encoding}, delimiter "${text.delimiter}", decimal sign "${text.decimalSign}"`,
          `header: ${text.headerLine === null ? "none" : "yes"}`,
        ]),
    ...columnTraits(columns),
    ...(sensorLog === null ? [] : columnTraits(sensorLog.columns).map((trait) => `sensor log: ${trait}`)),
  ];
}

function columnTraits(columns: readonly ColumnReading[]): string[] {
  const used = columns.filter(
    ({ role, sensor }) =>
      role === "frame-time" || role === "clock" || role === "frame-rate" || sensor !== null,
  );
  return used.map(
    ({ position, name, role, sensor, unit }) =>
      `${sensor ?? role}: column ${position} (${name ?? "no name"}), ${unit ?? "no unit"}`,
  );
}
