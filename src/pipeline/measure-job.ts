import type { PassKey, PassSummary } from "../measure/pass-summary.ts";
import type { PictureFrames } from "../measure/picture-frames.ts";
import type { TrimWindow } from "../measure/trim.ts";
import type { FoundLog } from "../read/files.ts";
import type { PassPlace } from "../read/layout.ts";
import type { LogSettings } from "../read/log.ts";
import { ownLogSettings } from "../read/log-settings-of.ts";
import type { Session } from "../read/session-file.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Problem } from "../shared/problem.ts";

/** One log to read and measure; plain data, so that a worker thread can be handed it. */
export interface MeasureJob {
  readonly file: string;
  readonly sensorFile: string | null;
  readonly place: PassKey;
  readonly bytes: number;
  /** Where the session says something else about this log than about all. */
  readonly log?: LogSettings;
}

/** What is the same for all logs of a session. */
export interface MeasureSettings {
  readonly log: LogSettings;
  readonly lows: LowsDefinition;
  readonly trim: TrimWindow;
  /** Where what was measured is kept from one run to the next; null for nowhere. */
  readonly cacheFolder: string | null;
  /** Take the SHA-256 of the logs along: not for free, and only a judgement that is saved says what it was made of. */
  readonly isDigested: boolean;
  /** Buckets to thin traces to; left out where no picture of frames is wanted. */
  readonly traceBuckets?: number;
}

/** Plain data: it is handed from thread to thread and kept on disk as JSON. */
export interface MeasuredLog {
  /** null where the log could not be read. */
  readonly summary: PassSummary | null;
  /** null where no picture is wanted. */
  readonly frames: PictureFrames | null;
  readonly problems: readonly Problem[];
  /** SHA-256 of the bytes of the log and of its sensor log; empty where nobody asked. */
  readonly digests: readonly { readonly file: string; readonly sha256: string }[];
}

/** The log, and its sensor log where it has one. */
export function filesOf({ file, sensorFile }: MeasureJob): string[] {
  return sensorFile === null ? [file] : [file, sensorFile];
}

/** What is to be read and measured for a log; what the session says of it alone goes along. */
export function jobOf(log: FoundLog, place: PassPlace, session: Session): MeasureJob {
  const { game, config, pass, boot } = place;
  const own = ownLogSettings(session, place);
  return {
    file: log.source.file,
    sensorFile: log.sensorSource?.file ?? null,
    place: { game, config, pass, boot },
    bytes: log.bytes,
    ...(own !== null && { log: own }),
  };
}
