import type { MeasureFlag } from "../measure/pass-summary.ts";
import { formatCount, formatP, formatPct } from "../shared/format-number.ts";
import type { Flag } from "./judgement.ts";
import type { ScreenedMetric } from "./screen-passes.ts";

/** What was noticed about a pass, as facts. */
export type PassFlag =
  | MeasureFlag
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
      return { code, severity: "bad", text: `too short to be a pass: ${flag.frames} frames` };
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
  }
}

function describeBelow(belowPct: Readonly<Record<ScreenedMetric, number | null>>): string {
  const parts = [
    belowPct.avgFps === null ? null : `average FPS ${formatPct(belowPct.avgFps)}`,
    belowPct.low1Fps === null ? null : `1% low ${formatPct(belowPct.low1Fps)}`,
  ].filter((part) => part !== null);
  return `${parts.join(" and ")} below`;
}
