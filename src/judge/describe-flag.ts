import { gpuCeilingPct } from "../measure/pace-facts.ts";
import type { MeasureFlag } from "../measure/pass-summary.ts";
import type { SensorRole } from "../read/log.ts";
import { formatCount, formatFigure, formatP, formatPct } from "../shared/format-number.ts";
import type { LengthFlag } from "./flag-length.ts";
import type { PaceFlag } from "./flag-pace.ts";
import type { Flag } from "./judgement.ts";
import type { ScreenedMetric } from "./screen-passes.ts";

/** What was noticed about a pass, as facts. */
export type PassFlag =
  | MeasureFlag
  | PaceFlag
  | LengthFlag
  | { readonly code: "duplicate"; readonly of: string; readonly isFirst: boolean }
  | { readonly code: "set-aside"; readonly why: string }
  | {
      readonly code: "unusually-slow";
      /** How far below the geometric mean of the cell's other passes, in percent; null where a metric is missing. */
      readonly belowPct: Readonly<Record<ScreenedMetric, number | null>>;
      readonly p: number;
    }
  | { readonly code: "unusually-fast" }
  | { readonly code: "passes-disagree"; readonly passes: number };

const lowName = { low1Fps: "1% low", low01Fps: "0.1% low" } as const;

/** Words and severity of a flag: the one place that words them. `bad` means that the pass does not count. */
export function describeFlag(flag: PassFlag): Flag {
  const { code } = flag;
  switch (code) {
    case "damaged":
      return {
        code,
        severity: "warning",
        text: `${formatCount(flag.lostFrames)} of ${formatCount(flag.frames + flag.lostFrames)} frames were lost from the log`,
      };
    case "restarted":
      return flag.picked === null
        ? {
            code,
            severity: "bad",
            text: `the log was restarted: it holds ${flag.segments} stretches of time`,
          }
        : { code, severity: "note", text: `stretch ${flag.picked} of ${flag.segments} of a restarted log` };
    case "time-missing":
      return {
        code,
        severity: "warning",
        text:
          `the frame times add up to ${formatPct((100 * flag.frameSumS) / flag.clockSpanS)} of the time on the log's clock; ` +
          "average FPS is over the frames' own time",
      };
    case "coarse-times":
      return {
        code,
        severity: "warning",
        text:
          `the log's digits show frame times in steps of ${formatFigure(flag.stepMs)} ms, ` +
          `${formatPct((100 * flag.stepMs) / flag.usualMs)} of a usual frame: lows go in such steps`,
      };
    case "cut-short":
      return { code, severity: "note", text: "the last row was cut off and is not used" };
    case "few-frames":
      return {
        code,
        severity: "note",
        text:
          flag.frames < flag.needed
            ? `no ${lowName[flag.metric]}: it needs ${formatCount(flag.needed)} frames, the pass has ${formatCount(flag.frames)}`
            : `rough ${lowName[flag.metric]}: it rests on ${formatCount(flag.beyond)} of ${formatCount(flag.frames)} frames, ${formatCount(flag.wanted)} are advised`,
      };
    case "too-short":
      return {
        code,
        severity: "bad",
        text: `too short to be a pass: ${flag.frames} frames${windowWords(flag)}`,
      };
    case "sensor-gap":
      return {
        code,
        severity: flag.isCounted ? "note" : "warning",
        text:
          `${flag.roles.map((role) => sensorName[role]).join(", ")} ${flag.roles.length === 1 ? "was" : "were"} read for ` +
          `${formatPct(flag.heardPct)} of the pass only${flag.isCounted ? "" : " and left out"}`,
      };
    case "length-differs":
      return {
        code,
        severity: "warning",
        text:
          `lasts ${formatFigure(flag.seconds)} s, the cell's median is ${formatFigure(flag.medianSeconds)} s: ` +
          "it shows another piece of the scene",
      };
    case "duplicate":
      return flag.isFirst
        ? { code, severity: "note", text: `filed twice: ${flag.of} holds the same frames; this one counts` }
        : { code, severity: "bad", text: `the same frames as ${flag.of}` };
    case "set-aside":
      return { code, severity: "bad", text: `set aside by the session: ${flag.why}` };
    case "unusually-slow":
      return {
        code,
        severity: "bad",
        text: `slower than chance allows: ${describeBelow(flag.belowPct)} the cell's other passes (p ${formatP(flag.p)})`,
      };
    case "unusually-fast":
      return {
        code,
        severity: "note",
        text: "faster than the cell's other passes by more than chance allows; counted",
      };
    case "passes-disagree":
      return {
        code,
        severity: flag.passes === 2 ? "note" : "warning",
        text:
          flag.passes === 2
            ? "the two passes of this cell disagree by more than chance allows; a third would tell which is right"
            : "the passes of this cell disagree by more than chance allows and none stands out; capture more",
      };
    case "capped":
      return {
        code,
        severity: "note",
        text:
          flag.kind === "value"
            ? `frame times pile up at ${formatFigure(flag.rateFps)} FPS for ${formatPct(flag.timePct)} of the time, as under a frame cap or display sync`
            : `frame times are whole multiples of one period (${formatFigure(flag.rateFps)} FPS) for ${formatPct(flag.timePct)} of the time, as under display sync`,
      };
    case "gpu-bound":
      return {
        code,
        severity: "note",
        text: `the GPU was at its ceiling (load ${gpuCeilingPct}% or more) for ${formatPct(flag.timePct)} of the time`,
      };
    case "throttled":
      return { code, severity: "warning", text: describeThrottling(flag) };
    case "power-limited":
      return {
        code,
        severity: "note",
        text:
          `CPU power was held at ${formatFigure(flag.watts)} W for ${formatPct(flag.timePct)} of the time, ` +
          `in ${flag.games} games of this config alike, as under a power limit`,
      };
  }
}

const screenedName: Readonly<Record<ScreenedMetric, string>> = {
  avgFps: "average FPS",
  low1Fps: lowName.low1Fps,
};

const sensorName: Readonly<Record<SensorRole, string>> = {
  "cpu-power": "CPU power",
  "gpu-power": "GPU power",
  "cpu-clock": "CPU clock",
  "cpu-load": "CPU load",
  "gpu-load": "GPU load",
  "cpu-temperature": "CPU temperature",
  "gpu-temperature": "GPU temperature",
};

/** An association is worded as one: what falls together need not be cause and effect. */
function describeThrottling(flag: Extract<PaceFlag, { readonly code: "throttled" }>): string {
  const sensor = sensorName[flag.sensor];
  if (flag.kind === "siblings") {
    const slower = flag.slower.map(
      ({ metric, belowPct }) => `${screenedName[metric]} by ${formatPct(belowPct)}`,
    );
    return (
      `${sensor} is ${formatPct(flag.belowPct)} below all other passes of the cell, and so is ` +
      `${slower.join(" and ")}: they go together, which does not show which causes which`
    );
  }
  const load =
    flag.isLoadKept === null ? "; the logs do not say whether the load stayed" : " while the load stayed";
  return (
    `${sensor} fell by ${formatPct(flag.belowPct)} for ${formatPct(flag.timePct)} of the time${load}; ` +
    `${formatPct(flag.slowFramesPct)} of the frames slower than the 1% low fell into the drops, which hold ` +
    `${formatPct(flag.framesPct)} of all frames: they go together, which does not show which causes which`
  );
}

/** A pass may be slower in one metric alone: the other is not called slower, too. */
function describeBelow(belowPct: Readonly<Record<ScreenedMetric, number | null>>): string {
  const parts = (["avgFps", "low1Fps"] as const).flatMap((metric) => {
    const below = belowPct[metric];
    return below === null || below <= 0 ? [] : [`${screenedName[metric]} ${formatPct(below)}`];
  });
  return `${parts.join(" and ")} below`;
}

/** Where the window is to blame, it says so. */
function windowWords({ trimmedFrom: whole }: Extract<MeasureFlag, { code: "too-short" }>): string {
  if (whole === undefined) return "";
  const { frames, seconds, skipS, keepS } = whole;
  const upTo = keepS === null ? "" : ` to ${formatFigure(skipS + keepS)} s`;
  return (
    ` of ${formatCount(frames)} lie in the window that \`trim\` keeps (from ${formatFigure(skipS)} s${upTo}); ` +
    `the capture ends at ${formatFigure(seconds)} s`
  );
}
