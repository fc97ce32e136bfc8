import type { PassFlag } from "../../judge/describe-flag.ts";
import { leastLengthShare } from "../../judge/flag-length.ts";
import { screenLevel } from "../../judge/screen-passes.ts";
import { framesNeeded, framesOfAPass } from "../../measure/frames-needed.ts";
import { leastHeardPct } from "../../measure/hear-sensors.ts";
import { gpuCeilingPct } from "../../measure/pace-facts.ts";
import { coarseShare } from "../../read/find-coarse-times.ts";
import { damagedFrom } from "../../read/finish-log.ts";
import { restartS } from "../../read/frame-collector.ts";
import { holdsReadings, holdsS } from "../../read/mark-silence.ts";
import { timeMissingShare } from "../../read/time-frames.ts";
import { formatCount, formatPct } from "../../shared/format-number.ts";
import { powerCaution } from "../../shared/power-caution.ts";
import { ownRule, type Page, practice } from "./page.ts";

const { low1Fps, low01Fps } = framesNeeded;

/** Pages of what is noticed about a pass. */
export const flagPages: Readonly<Record<PassFlag["code"], Page>> = {
  damaged: {
    means: "Frames were lost from the log: rows were there, but their frame times could not be read.",
    found: `More than 1 frame in ${formatCount(damagedFrom)} has a frame time that is empty, no number, zero, negative or absurdly long.`,
    todo: "See `runjury inspect <log>` for the rows and reasons. Capture the pass again if it decides anything; lost frames are often the slow ones.",
    source: practice,
  },
  restarted: {
    means: "The log holds several stretches of time; without a choice the pass does not count.",
    found: `The header comes again inside the log, or its clock falls by more than ${restartS} s.`,
    todo: "Choose a stretch with `log: { segment: 2 }` in session.yaml, or capture the pass again in a log of its own.",
    source: ownRule,
  },
  "time-missing": {
    means: "The frame times do not add up to the time on the log's clock, so some frames may be missing.",
    found: `The sum of the frame times and the clock's span differ by more than ${formatPct(100 * timeMissingShare)}.`,
    todo: "Average FPS is over the frames' own time and stays comparable. If many passes have it, look for what the recording leaves out, such as loading screens.",
    source: practice,
  },
  "coarse-times": {
    means: "The log's digits show frame times in coarse steps, so its lows go in such steps.",
    found: `One step of the last digit is more than ${formatPct(100 * coarseShare)} of a usual frame, as with whole milliseconds at ordinary rates.`,
    todo: "Average FPS does not suffer. Lows can jump by a whole step, or stay put where they really changed: log frame times with more digits.",
    source: ownRule,
  },
  "cut-short": {
    means: "The last row of the log was cut off and is not used.",
    found: "The last row ends early: fewer cells than the others, or a number that breaks off.",
    todo: "Nothing: one row is one frame. It happens when recording is stopped while a row is written.",
    source: ownRule,
  },
  "few-frames": {
    means: "The pass has too few frames for a low, or so few that the low is rough.",
    found:
      `The 1% low needs ${formatCount(low1Fps.needed)} frames and is rough below ${formatCount(low1Fps.wanted)}; ` +
      `the 0.1% low needs ${formatCount(low01Fps.needed)} and is rough below ${formatCount(low01Fps.wanted)}.`,
    todo: "Capture longer passes, or speak of the average and the 1% low only.",
    source: `${practice}: ten frames, or twenty to thirty, lie beyond the percentile then`,
  },
  "too-short": {
    means: "This is no pass of a scene at all: it has hardly any frames. It does not count.",
    found: `The window of the pass holds fewer than ${framesOfAPass} frames.`,
    todo: "Look whether the recording was stopped at once: then capture it again. Where `trim` in session.yaml begins behind the capture's end, skip less.",
    source: practice,
  },
  "sensor-gap": {
    means: "A sensor was read for a part of the pass only: its log began late, paused, or stopped early.",
    found: `A reading, in a sensor log or in a column of the log itself, holds for ${holdsS} s, or for as long as ${holdsReadings} readings usually take. A sensor known for less than ${leastHeardPct}% of the pass is left out; for more, its mean is over the time in which it was read.`,
    todo: "Start the sensor log before the pass and stop it after. If the two clocks differ, state `sensors: { offset: 0.5s }` in session.yaml.",
    source: practice,
  },
  duplicate: {
    means: "Two passes hold exactly the same frames: one capture was filed twice. Only the first counts.",
    found: "The frame times of both are equal to the last digit (SHA-256 of the series).",
    todo: "Delete the copy, or put the right file in its place. Two real passes are never equal.",
    source: ownRule,
  },
  "set-aside": {
    means: "You have set this pass aside in session.yaml; it is shown and does not count.",
    found: "It stands under `set-aside` in session.yaml, with your reason.",
    todo: "Nothing, or remove the entry. `--keep-all` shows what would be concluded with it.",
    source: ownRule,
  },
  "unusually-slow": {
    means: "The pass is slower than its cell's other passes by more than chance allows. It does not count.",
    found:
      "Average FPS and 1% low, on logarithms, are compared with the cell's other passes; the yardstick is the cell's own spread, " +
      `steadied by the session's typical one. A clean session loses a pass in about ${formatPct(100 * screenLevel)} of cases. Only slow passes are tested: what spoils a pass slows it.`,
    todo: "Look for what ran beside it (updates, heat, another program) and capture another. A `*` marks verdicts that hang on it; `--keep-all` counts it.",
    source:
      "Rosner 1983, Technometrics 25:165 (testing inwards); Smyth 2004, Stat. Appl. Genet. Mol. Biol. 3(1):3 (steadied variances)",
  },
  "unusually-fast": {
    means: "The pass is faster than its cell's other passes by more than chance allows. It counts.",
    found: "The same test as for slow passes, on the fastest pass against all others of its cell.",
    todo: "Look whether it shows another scene or settings, or whether it is the only undisturbed one. Set it aside with a reason if you know.",
    source: "as for unusually-slow",
  },
  "length-differs": {
    means:
      "The pass lasts much shorter or longer than its cell's other passes: it shows another piece of the scene.",
    found: `Its length is below ${100 * leastLengthShare}% of the cell's median length, or the median below ${100 * leastLengthShare}% of its own. It counts all the same.`,
    todo: "Keep the same window of every pass with `trim`, set the pass aside, or capture another.",
    source: practice,
  },
  "passes-disagree": {
    means: "The passes of this cell disagree by more than chance allows, and nobody can tell which is right.",
    found:
      "Two passes lie further apart than the session's typical noise allows; or so many of a cell stand out that setting them aside would leave too few.",
    todo: "Capture more passes of the cell: a third tells two apart.",
    source: "as for unusually-slow",
  },
  capped: {
    means: "Frame times pile up at one rate, as under a frame cap or display sync.",
    found:
      "The running median of frame times keeps returning to one value that is hardly ever beaten, or frame times are whole multiples of one period; the cell's other passes must show the same rate.",
    todo: "Lift the cap if you want to know how fast the configs are; at a cap they cannot differ upwards.",
    source: `${practice}; false alarms measured by \`npm run detection\``,
  },
  "gpu-bound": {
    means: "The graphics card was at its ceiling for most of the pass: it set the pace, not the processor.",
    found: `The logged GPU load is ${gpuCeilingPct}% or more for most of the time.`,
    todo: "Lower the resolution or the graphics settings if the processor is what you test.",
    source: practice,
  },
  throttled: {
    means: "The processor dropped its pace within the pass, or ran well below the cell's other passes.",
    found:
      "CPU clock or power falls well below its usual level at once, though the load stays, and slow frames gather in the drops; or it lies below all other passes of the cell, and so do their frame rates.",
    todo: `They go together, which does not show which causes which. Log temperature beside it. ${powerCaution}`,
    source:
      "Killick, Fearnhead & Eckley 2012, JASA 107:1590 (change points); thresholds are common practice without a source",
  },
  "power-limited": {
    means: "CPU power was held at one value for most of the pass, as under a power limit.",
    found:
      "The power readings pile up at a value they hardly ever exceed, and other games of the same config are held there too.",
    todo: `Expected where the power limit is what you test; otherwise look which limit is set. ${powerCaution}`,
    source: practice,
  },
};
