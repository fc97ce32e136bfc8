import type { Problem } from "../shared/problem.ts";

/** Bytes of one file, openable more than once; read/files.ts makes these, everything else stays free of I/O. */
export interface ByteSource {
  /** Path as the user would type it, for messages. */
  readonly file: string;
  /** Bytes of the file, where known. */
  readonly bytes?: number;
  open(): AsyncIterable<Uint8Array>;
  /** The same bytes in blocks that are only good until the next one: the fastest way to read a file through. */
  blocks?(): Iterable<Uint8Array> | AsyncIterable<Uint8Array>;
}

/** Units a frame-time column may be printed in; "fps" means instantaneous frame rate. */
export type FrameTimeUnit = "s" | "ms" | "us" | "ns" | "fps";

export type SensorRole =
  | "cpu-power"
  | "gpu-power"
  | "cpu-clock"
  | "cpu-load"
  | "gpu-load"
  | "cpu-temperature"
  | "gpu-temperature";

/** What a session says about its logs, where the evidence in them is not enough. Empty for ordinary logs. */
export interface LogSettings {
  readonly frameTime?: { readonly column: string; readonly unit?: FrameTimeUnit };
  readonly clock?: { readonly column: string; readonly unit?: "s" | "ms" | "us" | "ns" };
  readonly stream?: { readonly column?: string; readonly equals: string };
  /** Which stretch of a restarted log to use, counted from 1. */
  readonly segment?: number;
  readonly sensors?: Partial<Record<SensorRole, { readonly column: string }>>;
  /** Added to the sensor log's clock, in seconds. */
  readonly sensorOffsetS?: number;
}

/** One ground for or against a reading, in words. */
export interface Evidence {
  readonly favours: boolean;
  readonly text: string;
}

export interface ColumnReading {
  /** Counted from 1. */
  readonly position: number;
  /** As printed in the log; null where the log has no header. */
  readonly name: string | null;
  readonly role: "frame-time" | "clock" | "frame-rate" | "stream" | "sensor" | "counter" | "not-used";
  readonly sensor: SensorRole | null;
  readonly unit: string | null;
  readonly evidence: readonly Evidence[];
}

export interface TextReading {
  readonly encoding: "utf-8" | "utf-16le" | "utf-16be" | "latin-1";
  readonly byteOrderMark: boolean;
  readonly gzip: boolean;
  readonly lineEnd: "LF" | "CRLF" | "CR";
  /** A blank stands for any number of them. */
  readonly delimiter: "," | ";" | "\t" | "|" | " ";
  readonly decimalSign: "." | ",";
  /** Line of the header, counted from 1; null where there is none. */
  readonly headerLine: number | null;
  /** Lines before the table, as they stand (untrusted text). */
  readonly notes: readonly string[];
}

/** Every row is accounted for: read = frames + the sum of notUsed. */
export interface RowAccount {
  readonly read: number;
  readonly frames: number;
  readonly notUsed: { readonly [reason: string]: number };
}

/** Readings of one sensor on the frames' own time: 0 is the start of the first frame. */
export interface SensorSeries {
  readonly role: SensorRole;
  /** W, MHz, % or °C. */
  readonly unit: string;
  readonly column: string;
  /** Ascending seconds. */
  readonly atS: Float64Array;
  /** Each holds until the next; NaN from where nothing is known until the next. */
  readonly values: Float64Array;
}

/** What was noticed while reading and travels with the pass. */
export type LogFlag =
  | { readonly code: "damaged"; readonly lostFrames: number; readonly frames: number }
  | { readonly code: "restarted"; readonly segments: number; readonly picked: number | null }
  | { readonly code: "time-missing"; readonly frameSumS: number; readonly clockSpanS: number }
  | { readonly code: "coarse-times"; readonly stepMs: number; readonly usualMs: number }
  | { readonly code: "cut-short" };

/** One capture as read: frame times in order, and on what grounds. */
export interface Log {
  readonly file: string;
  readonly text: TextReading;
  readonly columns: readonly ColumnReading[];
  /** Milliseconds, finite and above 0, in the log's order. */
  readonly frameTimesMs: Float64Array;
  /** End of each frame, seconds from the start of the first; null where the running sum of frame times is exact. */
  readonly frameEndsS: Float64Array | null;
  readonly rows: RowAccount;
  readonly sensors: readonly SensorSeries[];
  readonly flags: readonly LogFlag[];
  /** When the capture began, ISO 8601 in UTC, where the log itself says so. */
  readonly startedAt: string | null;
}

/** How the sensor log beside a log was read. */
export interface SensorLogReading {
  readonly file: string;
  readonly text: Pick<TextReading, "delimiter" | "decimalSign" | "headerLine">;
  readonly columns: readonly ColumnReading[];
  /** Rows with a time, which are all that can be joined. */
  readonly rows: number;
  /** When its first row lies and its last, seconds from the start of the first frame. */
  readonly fromS: number;
  readonly toS: number;
  /** What both logs share: dates, the time that has passed, or nothing, and both are taken to start together. */
  readonly joinedBy: "date" | "elapsed-time" | "start";
  /** What the session adds to its clock. */
  readonly offsetS: number;
}

/** `log` is null where it could not be read; then `problems` holds at least one error. */
export interface LogReading {
  readonly log: Log | null;
  /** How the text was read, as far as it got; also where `log` is null. */
  readonly text: TextReading | null;
  /** Every column with its role and the evidence, as far as it got. */
  readonly columns: readonly ColumnReading[];
  /** Left out where none lies beside it that can be joined. */
  readonly sensorLog?: SensorLogReading;
  readonly problems: readonly Problem[];
}
