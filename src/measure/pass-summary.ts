import type { LogFlag, SensorRole } from "../read/log.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import type { PaceFacts } from "./pace-facts.ts";

/** What was noticed while reading or measuring a pass. */
export type MeasureFlag =
  | LogFlag
  | {
      readonly code: "few-frames";
      readonly metric: "low1Fps" | "low01Fps";
      readonly frames: number;
      /** The low's share of the frames, rounded down: what it rests on. */
      readonly beyond: number;
      /** Fewer than this and the low is not given at all. */
      readonly needed: number;
      /** Fewer than this and the low is rough. */
      readonly wanted: number;
    }
  | {
      readonly code: "too-short";
      readonly frames: number;
      readonly needed: number;
      /** The whole capture, where the session's window leaves a part of it out. */
      readonly trimmedFrom?: {
        readonly frames: number;
        readonly seconds: number;
        readonly skipS: number;
        readonly keepS: number | null;
      };
    }
  | {
      readonly code: "sensor-gap";
      /** Sensors that were not read throughout the pass. */
      readonly roles: readonly SensorRole[];
      /** Share of the pass in which they were, the lowest of them. */
      readonly heardPct: number;
      /** Whether it is enough to speak for the pass. */
      readonly isCounted: boolean;
    };

/** Where a pass belongs. The four names together are unique in a session. */
export interface PassKey {
  readonly game: string;
  readonly config: string;
  readonly pass: string;
  /** The boot or BIOS visit it belongs to, where the session knows. */
  readonly boot: string | null;
}

export interface Lows {
  readonly low1Fps: number | null;
  readonly low01Fps: number | null;
}

/** One pass as numbers: all that the judgement needs of it. A figure that does not exist is null. */
export interface PassSummary extends PassKey, Readonly<Record<Metric, number | null>> {
  readonly file: string;
  /** Frames inside the trimmed window. */
  readonly frames: number;
  /** Sum of their frame times. */
  readonly seconds: number;
  readonly cpuClockMhz: number | null;
  readonly cpuLoadPct: number | null;
  readonly gpuLoadPct: number | null;
  readonly cpuTempC: number | null;
  /** The lows under every definition; left out by callers that know only one. */
  readonly lows?: Readonly<Record<LowsDefinition, Lows>>;
  /** Each low's share of the frames, rounded down: what the low rests on. */
  readonly framesBeyond?: { readonly low1Fps: number; readonly low01Fps: number };
  /** How even the flow of frames is, as measure/steadiness.ts defines it; null where the pass is too short. */
  readonly stutterTimePct: number | null;
  readonly worstFrameMs: number | null;
  readonly meanStepMs: number | null;
  /** What may have set the pace; left out by callers that do not know. */
  readonly pace?: PaceFacts;
  readonly flags: readonly MeasureFlag[];
  /** Equal for two passes exactly when their frame series are equal; "" where unknown. */
  readonly fingerprint: string;
  readonly startedAt: string | null;
  /** When the file was last written, milliseconds since 1970; a hint for the order of passes. */
  readonly writtenAtMs?: number | null;
}
