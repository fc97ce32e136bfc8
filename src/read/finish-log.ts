import type { Place, Problem } from "../shared/problem.ts";
import { findCoarseTimes } from "./find-coarse-times.ts";
import { type FrameCollector, lostReasons, type NotUsed } from "./frame-collector.ts";
import { type ClockZero, joinSensorLog, type SensorCollector, type SensorLog } from "./join-sensors.ts";
import type {
  ByteSource,
  ColumnReading,
  Log,
  LogFlag,
  LogReading,
  LogSettings,
  SensorSeries,
  TextReading,
} from "./log.ts";
import type { Recognition } from "./recognition.ts";
import { refused } from "./refuse-log.ts";
import { type Stretch, timeFrames } from "./time-frames.ts";

/** More than one lost frame in this many makes a log damaged. Common practice, no source. */
export const damagedFrom = 1000;

interface LogSources {
  readonly source: ByteSource;
  readonly settings: LogSettings;
  readonly sensorSource: ByteSource | null;
}

/** What is known when all rows are read. */
interface BodyRead {
  readonly text: TextReading;
  readonly readings: readonly ColumnReading[];
  readonly recognition: Recognition;
  /** The smallest step that the digits of the frame time's column can show, in its unit. */
  readonly precision: number;
  /** Why the compressed data ended early; null where they did not. */
  readonly packingDamage: string | null;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
}

/** Concludes when all rows are read: which frames count, when each ended, what is flagged, and the sensors beside. */
export async function finishLog(
  { source, settings, sensorSource }: LogSources,
  { text, readings, recognition, precision, packingDamage, frames, sensors }: BodyRead,
): Promise<LogReading> {
  const at = { file: source.file };
  const problems: Problem[] = [...sensors.problems(at)];
  const flags: LogFlag[] = [];

  const stretch = chooseStretch(frames, settings, at);
  if ("problem" in stretch) return refused(stretch.problem, text, readings);
  flags.push(...stretch.flags);
  problems.push(...stretch.problems);

  const frameTimesMs = frames.frameTimesMs.view(stretch.from, stretch.to);
  if (frameTimesMs.length === 0) {
    return refused({ code: "log-without-frames", severity: "error", at, rows: frames.rows }, text, readings);
  }
  const notUsed: Record<string, number> = {};
  for (const [reason, count] of frames.notUsed) notUsed[reason] = count;
  const elsewhere = frames.frameTimesMs.length - frameTimesMs.length;
  if (elsewhere > 0) notUsed["other stretch"] = elsewhere;

  problems.push(...lostProblems(frames, recognition, at));
  const lostFrames = frames.lostFrames(frames.segments.length === 1 ? undefined : settings.segment);
  if (lostFrames * damagedFrom > lostFrames + frameTimesMs.length) {
    flags.push({ code: "damaged", lostFrames, frames: frameTimesMs.length });
  }
  if (frames.notUsed.has("cut off") || packingDamage !== null) flags.push({ code: "cut-short" });
  if (frames.notUsed.has("cut off")) problems.push({ code: "log-row-cut-off", severity: "note", at });
  if (packingDamage !== null) {
    problems.push({
      code: "log-packing-damaged",
      severity: "warning",
      at,
      why: packingDamage,
      isUsed: true,
    });
  }

  // Stretches that are not told apart share no clock.
  const isWhole = frames.segments.length === 1 || settings.segment !== undefined;
  const measured = isWhole ? recognition : { ...recognition, clock: null };
  const timing = timeFrames(frames, measured, frameTimesMs, stretch, lostFrames > 0);
  const { frameEndsS, startedAt } = timing;
  if (timing.flag !== null) flags.push(timing.flag);
  const usualMs = (1000 * timing.sumS) / frameTimesMs.length;
  flags.push(...findCoarseTimes(frameTimesMs, usualMs, recognition.frameTime, precision));
  const own = sensors.series(frameTimesMs, frameEndsS, stretch.from);
  const beside = await readSensorLog(sensorSource, settings, timing.zero, own);
  problems.push(...beside.problems, ...missingSensors(settings, beside.series, readings, at));
  const log: Log = {
    file: source.file,
    text,
    columns: readings,
    frameTimesMs,
    frameEndsS,
    rows: { read: frames.rows, frames: frameTimesMs.length, notUsed },
    sensors: beside.series,
    flags,
    startedAt,
  };
  const { reading: sensorLog } = beside;
  return { log, text, columns: readings, ...(sensorLog !== null && { sensorLog }), problems };
}

/** Sensors that the session names and neither log has. */
function missingSensors(
  { sensors }: LogSettings,
  series: readonly SensorSeries[],
  columns: readonly ColumnReading[],
  at: Place,
): Problem[] {
  return Object.entries(sensors ?? {}).flatMap(([role, { column }]): Problem[] => {
    if (series.some((found) => found.role === role)) return [];
    const names = columns.map(({ name, position }) => name ?? String(position));
    return [{ code: "sensor-missing", severity: "warning", at, role, wanted: column, columns: names }];
  });
}

function chooseStretch(
  frames: FrameCollector,
  settings: LogSettings,
  at: Place,
): (Stretch & { flags: LogFlag[]; problems: Problem[] }) | { problem: Problem } {
  const { segments } = frames;
  const total = frames.frameTimesMs.length;
  const wanted = settings.segment;
  // The session may pick a stretch for all logs that were restarted; the others are whole.
  if (segments.length === 1) return { from: 0, to: total, flags: [], problems: [] };
  if (wanted !== undefined && wanted > segments.length) {
    return {
      problem: { code: "log-segment-missing", severity: "error", at, wanted, segments: segments.length },
    };
  }
  if (wanted === undefined) {
    return {
      from: 0,
      to: total,
      flags: [{ code: "restarted", segments: segments.length, picked: null }],
      problems: [{ code: "log-restarted", severity: "warning", at, segments: frames.parts() }],
    };
  }
  return {
    from: segments[wanted - 1]?.firstFrame ?? 0,
    to: segments[wanted]?.firstFrame ?? total,
    flags: [{ code: "restarted", segments: segments.length, picked: wanted }],
    problems: [],
  };
}

function lostProblems(frames: FrameCollector, { frameTime, columns }: Recognition, at: Place): Problem[] {
  const column = columns[frameTime?.index ?? 0];
  return [...frames.firstLost].flatMap(([reason, { line, found }]): Problem[] => {
    if (!(lostReasons as readonly NotUsed[]).includes(reason)) return [];
    return [
      {
        code: "log-rows-lost",
        severity: "warning",
        at: { ...at, line },
        reason,
        rows: frames.notUsed.get(reason) ?? 0,
        column: column?.name ?? `column ${column?.position ?? 1}`,
        found,
      },
    ];
  });
}

async function readSensorLog(
  sensorSource: ByteSource | null,
  settings: LogSettings,
  zero: ClockZero,
  own: readonly SensorSeries[],
): Promise<SensorLog> {
  if (sensorSource === null) return { series: own, problems: [], reading: null };
  const beside = await joinSensorLog(sensorSource, settings, zero);
  // What the log itself says of a sensor is on the frames' own clock and wins.
  const added = beside.series.filter(({ role }) => own.every((series) => series.role !== role));
  return { ...beside, series: [...own, ...added] };
}
