import {
  formatChange,
  formatCount,
  formatFigure,
  formatInterval,
  formatPct,
} from "../shared/format-number.ts";
import { joinWords } from "../shared/join-words.ts";
import { powerCaution } from "../shared/power-caution.ts";
import type { Caution } from "./judgement.ts";

/** What limits the judgement as a whole, as facts. */
export type CautionFact =
  | { readonly code: "single-pass"; readonly cells: readonly string[] }
  | { readonly code: "missing-cell"; readonly cells: readonly string[] }
  | {
      readonly code: "missing-lows";
      readonly metric: string;
      readonly needed: number;
      readonly cells: readonly string[];
    }
  | { readonly code: "passes-disagree"; readonly cells: readonly string[] }
  | { readonly code: "time-missing" | "coarse-times" | "length-differs"; readonly passes: readonly string[] }
  | { readonly code: "sensor-gap"; readonly passes: readonly string[] }
  | { readonly code: "no-noise-seen"; readonly config: string; readonly metric: string }
  | { readonly code: "few-games"; readonly games: number }
  | { readonly code: "one-boot"; readonly isBaselineRepeated: boolean }
  | {
      readonly code: "baseline-boots";
      readonly metric: string;
      readonly first: string;
      readonly last: string;
      readonly games: number;
      readonly changePct: number;
      readonly lowPct: number;
      readonly highPct: number;
    }
  | { readonly code: "shared-boots" }
  | { readonly code: "order" }
  | {
      readonly code: "first-pass" | "drift";
      readonly changes: readonly {
        readonly metric: string;
        readonly changePct: number;
        readonly lowPct: number;
        readonly highPct: number;
      }[];
    }
  | {
      readonly code: "first-pass-or-drift";
      readonly metric: string;
      readonly firstPassPct: number;
      readonly perHourPct: number;
    }
  | {
      readonly code: "hangs-on-one-pass";
      readonly verdicts: readonly HangingVerdict[];
    }
  | { readonly code: "lows-definition"; readonly verdicts: readonly TurningVerdict[] }
  | { readonly code: "called-lows-overstate" }
  | { readonly code: "uneven-passes"; readonly cells: readonly string[] }
  | {
      readonly code: "capped" | "gpu-bound";
      readonly games: readonly {
        readonly game: string;
        /** null where it is so in every config. */
        readonly configs: readonly string[] | null;
        /** FPS of the cap, or percent of the time with the GPU at its ceiling: the passes' lowest and highest. */
        readonly lowest: number;
        readonly highest: number;
      }[];
    }
  | {
      readonly code: "throttled";
      readonly cells: readonly {
        readonly cell: string;
        readonly throttled: number;
        readonly passes: number;
      }[];
    }
  | {
      readonly code: "held-back";
      readonly cells: readonly {
        readonly cell: string;
        readonly slower: readonly { readonly metric: string; readonly changePct: number }[];
        readonly sensor: string;
        readonly belowPct: number;
        readonly watts: number | null;
      }[];
    }
  | { readonly code: "pace-unknown"; readonly games: readonly string[] }
  | { readonly code: "power-limits" }
  | { readonly code: "not-read"; readonly files: readonly UnreadFile[] };

/** A called verdict that would be another word without one pass of its two cells. */
interface HangingVerdict {
  /** Such as "saltworks/parked". */
  readonly cell: string;
  readonly metric: string;
  readonly pass: string;
}

/** A verdict that would be another word under another definition of the lows. */
interface TurningVerdict {
  readonly cell: string;
  /** Such as "1% low (lower; tail-average: unclear)". */
  readonly turns: string;
}

interface UnreadFile {
  readonly file: string;
  /** null where its path does not tell. */
  readonly cell: string | null;
}

/** Words of a caution: the one place that words them. */
export function describeCaution(fact: CautionFact): Caution {
  return { code: fact.code, text: wordsOf(fact) };
}

function wordsOf(fact: CautionFact): string {
  switch (fact.code) {
    case "single-pass":
      return `One pass shows no run-to-run noise, so nothing can be told about ${list(fact.cells)}: capture at least two more.`;
    case "missing-cell":
      return `No counted passes for ${list(fact.cells)}: nothing is compared there.`;
    case "missing-lows":
      return `No ${fact.metric} for ${list(fact.cells)}: it needs at least ${formatCount(fact.needed)} frames in a pass.`;
    case "passes-disagree":
      return `The passes of ${list(fact.cells)} disagree with each other by more than chance allows: capture more.`;
    case "time-missing":
      return (
        `In ${list(fact.passes)} the frame times do not add up to the log's clock: some frames may be missing. ` +
        "Average FPS is over the frames' own time."
      );
    case "sensor-gap":
      return `Sensors were read for a part of ${list(fact.passes)} only: power and the like are compared without these passes.`;
    case "coarse-times":
      return (
        `In ${list(fact.passes)} the log's digits show frame times in coarse steps: lows go in such steps, ` +
        "so a step from one to the next can look like a difference, and a real one can stay hidden."
      );
    case "length-differs":
      return (
        `Much shorter or longer than the other passes of the cell, so that another piece of the scene shows: ${list(fact.passes)}. ` +
        "Keep the same window of every pass with `trim` in session.yaml, or set these passes aside."
      );
    case "no-noise-seen":
      return (
        `${fact.metric} of ${fact.config}: half of the games show no run-to-run noise at all (a frame cap, or copied passes?). ` +
        "These verdicts rest on the smallest noise assumed, 0.01%."
      );
    case "few-games":
      return `An average over ${fact.games} games says little about games in general: five or more are advised.`;
    case "one-boot":
      return (
        "Boot-to-boot noise was not measured (the passes of a config come from one boot, or the boots are unknown), so a " +
        "difference may be the boot's and not the config's." +
        (fact.isBaselineRepeated
          ? ""
          : " Set the baseline up again at the end, capture it once more, and name the boots with {boot} in `layout`.")
      );
    case "baseline-boots":
      return (
        `The baseline against itself: in boot ${fact.last} its ${fact.metric} is ${formatChange(fact.changePct)} ` +
        `(${formatInterval(fact.lowPct, fact.highPct)}) of boot ${fact.first}'s, over ${fact.games} ` +
        `${fact.games === 1 ? "game" : "games"}. A config's difference of that size may be the boot's.`
      );
    case "shared-boots":
      return (
        "The games of a config share its boots: what a boot shifts in all of them alike looks like the config. The " +
        "averages over games reckon with that from the boots at hand; each further boot makes them surer."
      );
    case "order":
      return (
        "All passes of one config were captured before the next one's: warm-up and drift look like the config. " +
        "Mix the order, or capture the baseline once more at the end."
      );
    case "first-pass":
      return (
        `The first pass of a cell differs from the later ones: ${changesWords(fact.changes)}. ` +
        "Run one pass that is not logged before each cell, or set the first passes aside."
      );
    case "drift":
      return (
        `The session drifts: ${changesWords(fact.changes, " per hour")}. ` +
        "Let the machine warm up first, and mix the order of configs."
      );
    case "first-pass-or-drift":
      return (
        `Passes depend on when they were captured: first passes of a cell differ in ${fact.metric} by ` +
        `${formatChange(fact.firstPassPct)}, or the session drifts by ${formatChange(fact.perHourPct)} per hour; these ` +
        "passes cannot tell which. Let the machine warm up, run one pass that is not logged before each cell, and mix " +
        "the order of configs."
      );
    case "hangs-on-one-pass":
      return `Single passes without which verdicts would not be called: ${list(hangingByPass(fact.verdicts))}. Capture another pass of these cells before you rely on it.`;
    case "lows-definition":
      return `Under another definition of the lows these verdicts would change: ${list(fact.verdicts.map(({ cell, turns }) => `${cell} ${turns}`))}.`;
    case "uneven-passes":
      return (
        "Verdicts were called where two passes stand against four or more: two that happen to agree look like little " +
        `noise, and false alarms become two to five times as frequent. Capture more passes of: ${list(fact.cells)}.`
      );
    case "called-lows-overstate":
      return "A small difference of a 0.1% low is told only where noise enlarged it: a true 7% then shows as 10 to 18%, while a true 15% shows about right (simulated, 3 to 5 passes). Trust its direction more than its size.";
    case "capped":
      return (
        `Frame times are held to one rate in ${list(fact.games.map((game) => limited(game, (fps) => `${formatFigure(fps)} FPS`)))}: ` +
        "averages at a cap cannot rise, so 'same' there does not say that the configs are equally fast."
      );
    case "gpu-bound":
      return (
        `The graphics card set the pace in ${list(fact.games.map((game) => limited(game, (pct) => `at its ceiling ${formatPct(pct)} of the time`)))}: ` +
        "what a config does to the processor hardly shows there, and 'same' does not say that it does nothing."
      );
    case "throttled":
      return `The processor dropped its pace within passes of ${list(
        fact.cells.map(({ cell, throttled, passes }) => `${cell} (${throttled} of ${passes} passes)`),
      )}: slow frames gather in the drops, so lows there may show the drops rather than the setting under test.`;
    case "held-back":
      return `Slower frames go together with a slower processor in ${list(
        fact.cells.map(({ cell, slower, sensor, belowPct, watts }) => {
          const changes = slower.map(({ metric, changePct }) => `${metric} ${formatChange(changePct)}`);
          const held = watts === null ? "" : `held at ${formatFigure(watts)} W, `;
          return `${cell} (${changes.join(", ")}; ${sensor} ${held}${formatPct(belowPct)} below the baseline's)`;
        }),
      )}. This is an association; the other games show whether the same limit always costs something.`;
    case "pace-unknown":
      return (
        `No config moves ${list(fact.games)}, and the logs do not say how busy the graphics card was: ` +
        "the processor may not be what these games wait for. Log the GPU load to know."
      );
    case "power-limits":
      return powerCaution;
    case "not-read":
      return `${fact.files.length === 1 ? "One log was" : `${fact.files.length} logs were`} not read: ${list(fact.files.map(({ file }) => file))}.`;
  }
}

function changesWords(
  changes: Extract<CautionFact, { readonly code: "first-pass" | "drift" }>["changes"],
  per = "",
): string {
  return list(
    changes.map(
      ({ metric, changePct, lowPct, highPct }) =>
        `${metric} ${formatChange(changePct)}${per} (${formatInterval(lowPct, highPct)})`,
    ),
  );
}

/** Each pass with the verdicts that hang on it; those of its own cell by their metric alone. */
function hangingByPass(verdicts: readonly HangingVerdict[]): string[] {
  return [...new Set(verdicts.map(({ pass }) => pass))].map((pass) => {
    const told = verdicts
      .filter((verdict) => verdict.pass === pass)
      .map(({ cell, metric }) => (pass.startsWith(`${cell}/`) ? metric : `${cell} ${metric}`));
    return `${pass} (${told.join(", ")})`;
  });
}

function limited(
  {
    game,
    configs,
    lowest,
    highest,
  }: Extract<CautionFact, { readonly code: "capped" | "gpu-bound" }>["games"][number],
  describe: (figure: number) => string,
): string {
  const [low, high] = [describe(lowest), describe(highest)];
  return `${game}${configs === null ? "" : `/${configs.join(", ")}`} (${low === high ? low : `${low} to ${high}`})`;
}

const mostNamed = 4;

function list(names: readonly string[]): string {
  const shown = names.slice(0, mostNamed);
  const rest = names.length - shown.length;
  return rest > 0 ? `${shown.join(", ")} and ${rest} more` : joinWords(shown, "and");
}
