import type { CautionFact } from "../../judge/describe-caution.ts";
import { gamesAdvised, manyPasses } from "../../judge/find-cautions.ts";
import { fewestCells } from "../../judge/order-effects.ts";
import { varianceFloor } from "../../judge/pair-variance.ts";
import { framesNeeded } from "../../measure/frames-needed.ts";
import { formatCount } from "../../shared/format-number.ts";
import { powerCaution } from "../../shared/power-caution.ts";
import { flagPages } from "./flag-pages.ts";
import { ownRule, type Page, practice } from "./page.ts";

const kalibera =
  "Kalibera & Jones 2013, Rigorous Benchmarking in Reasonable Time, ISMM '13 (the highest level that varies must be repeated)";

/** Pages of what limits a judgement as a whole. */
export const cautionPages: Readonly<Record<CautionFact["code"], Page>> = {
  "not-read": {
    means: "Some logs could not be read, and the judgement is without them.",
    found: "Reading a log ended with an error; the messages on standard error say which and why.",
    todo: "Mend or remove these logs: `runjury inspect <log>` shows what was seen. A missing pass can change a verdict.",
    source: ownRule,
  },
  "single-pass": {
    means: "A cell has one counted pass, which shows no run-to-run noise: nothing can be told about it.",
    found: "A game and config with exactly one pass that counts.",
    todo: "Capture at least two more passes of it.",
    source: "a variance needs two values",
  },
  "missing-cell": {
    means: "A game lacks counted passes under some config, so that comparison does not exist.",
    found: "No pass of that game and config counts, though other games have the config.",
    todo: "Capture it, or leave it: the other games are judged without it, and averages over games cover fewer.",
    source: ownRule,
  },
  "missing-lows": {
    means: "Some passes are too short for a low, so the low is not compared there.",
    found: `A 1% low needs ${formatCount(framesNeeded.low1Fps.needed)} frames in every pass, a 0.1% low ${formatCount(framesNeeded.low01Fps.needed)}.`,
    todo: "Capture longer passes.",
    source: flagPages["few-frames"].source,
  },
  "passes-disagree": {
    ...flagPages["passes-disagree"],
    means: "Some cells hold passes that disagree by more than chance allows.",
  },
  "time-missing": {
    ...flagPages["time-missing"],
    means: "In some counted passes the frame times do not add up to the log's clock.",
  },
  "sensor-gap": {
    ...flagPages["sensor-gap"],
    means:
      "In some counted passes a sensor was read for a part of the time only; it is compared without them.",
  },
  "coarse-times": {
    ...flagPages["coarse-times"],
    means:
      "In some counted passes the log's digits show frame times in coarse steps, and lows go in such steps.",
  },
  "length-differs": {
    ...flagPages["length-differs"],
    means: "Some counted passes last much shorter or longer than the others of their cell.",
  },
  "no-noise-seen": {
    means: "Half of the games show no run-to-run noise at all in this metric; real measurements always do.",
    found: `In half of the games or more, the passes agree to better than ${100 * Math.sqrt(varianceFloor)}%, the smallest noise assumed.`,
    todo: "Look for a frame cap, or for copies of one capture filed as several passes.",
    source: practice,
  },
  "few-games": {
    means: "An average over so few games says little about games in general.",
    found: `Fewer than ${gamesAdvised} games are in the average.`,
    todo: "Speak of these games one by one, or capture more.",
    source: practice,
  },
  "one-boot": {
    means: "Boot-to-boot noise was not measured, so a difference may be the boot's and not the config's.",
    found:
      "The passes of a config come from one boot, or the session does not say which boot each belongs to.",
    todo: "Set the baseline up again at the end and capture it once more, or capture each config in two boots, and name the boots with {boot} in `layout`.",
    source: kalibera,
  },
  "baseline-boots": {
    means: "The baseline, captured in two boots, differs from itself by this much: no config did that.",
    found:
      "The baseline's last boot is compared with its first over the games that have both, as if it were a config.",
    todo: "Take a config's difference of that size for the boot's, or capture each config in several boots.",
    source: kalibera,
  },
  "shared-boots": {
    means:
      "Games share the boots of a config: what a boot shifts in all of them alike looks like the config.",
    found: "Several games were captured in one and the same boot of a config.",
    todo: "The averages over games reckon with it; each further boot makes them surer.",
    source: `${kalibera}; the sum of variances is this project's own, held to its promise by simulation (test/judge/boots.test.ts)`,
  },
  order: {
    means: "Every game had all passes of one config before the next: warm-up and drift look like the config.",
    found:
      "The start times in the logs, or else the times of the files, show the configs one block after the other.",
    todo: "Mix the order of configs, or capture the baseline once more at the end.",
    source:
      "randomised order: Fisher 1935, The Design of Experiments; Box, Hunter & Hunter 2005, Statistics for Experimenters",
  },
  "first-pass": {
    means: "The first pass of a cell differs from the later ones, all cells together.",
    found: `Average FPS or 1% low of first passes against the mean of two or more later ones, in ${fewestCells} cells or more (passes of one boot are a cell of their own): t test over cells, Holm over all tests of order. Where a drift is found as well, they must stand with the drift of the later passes taken off; where that drift is certain, they are looked for so even if it hid them.`,
    todo: "Run one pass that is not logged before each cell, or set the first passes aside.",
    source: "Student 1908, Biometrika 6:1; Holm 1979, Scand. J. Stat. 6:65",
  },
  drift: {
    means: "The session drifts: passes get slower or faster with time, whatever the config.",
    found: `Slope of the logs of average FPS or 1% low on time, within ${fewestCells} cells or more, with a standard error that allows for cells of different noise. Needs start times. The later passes of the cells are also tested alone: first passes can neither feign nor hide a drift there.`,
    todo: "Let the machine warm up before the first pass, and mix the order of configs.",
    source:
      "Liang & Zeger 1986, Biometrika 73:13; Bell & McCaffrey 2002, Survey Methodology 28:169; Holm 1979, Scand. J. Stat. 6:65",
  },
  "first-pass-or-drift": {
    means:
      "First passes differ or the session drifts; one of the two is there, and the passes cannot tell which.",
    found:
      "Both are beyond chance when tested as if the other were not there, and neither stands by itself: no drift shows over the later passes alone, and with their drift taken off, first passes do not differ for certain. Not told where another metric says which of the two it is.",
    todo: "Let the machine warm up, run one pass that is not logged before each cell, and mix the order of configs. More passes per cell tell the two apart.",
    source: "Holm 1979, Scand. J. Stat. 6:65, over all tests of order; naming neither is this project's own",
  },
  "hangs-on-one-pass": {
    means: "A verdict would be another word without one single pass.",
    found: "Every `higher` and `lower` is judged again without each pass of its two cells in turn.",
    todo: "Capture one more pass of the cell before you say it in public.",
    source: "the idea of leaving one out: Quenouille 1956, Biometrika 43:353",
  },
  "lows-definition": {
    means: "Under another definition of the lows a verdict would be another word.",
    found: "Every low is judged again under the two other definitions in use.",
    todo: "Say which definition your lows have (`runjury explain method` compares them), or leave that verdict out.",
    source: ownRule,
  },
  "uneven-passes": {
    means: "A difference was called between a cell of two passes and one of many.",
    found: `A verdict of \`higher\` or \`lower\` has two passes (or boots) on one side and ${manyPasses} or more on the other. In simulated sessions of 8 games in which nothing differs, 11 to 15% then have a false alarm, and 20 to 24% where the config with the two passes is the noisier one; with two passes on both sides it is 2 to 3%.`,
    todo: "Capture as many passes of every config, three at the least.",
    source: "this project's own simulation (test/judge/promises.test.ts)",
  },
  "called-lows-overstate": {
    means: "A small difference of a 0.1% low is told only where noise enlarged it, so that it is overstated.",
    found:
      "A 0.1% low is called `higher` or `lower`: of noisy figures, those that happen to lie far out are called. After 3 to 5 passes, simulated, a true difference of 7% shows as 10 to 18% where it is called, one of 15% as 15 to 17%.",
    todo: "Trust its direction more than its size, and say its interval rather than one percentage.",
    source:
      "the winner's curse: Gelman & Carlin 2014, Perspect. Psychol. Sci. 9:641 (type M error); sizes from test/judge/promises.test.ts",
  },
  capped: {
    means: "Frame times are held to one rate in these games, so averages there cannot rise.",
    found: `More than half of a cell's passes have the flag. ${flagPages.capped.found}`,
    todo: "Do not read `same` as equally fast there. Lift the cap to know.",
    source: flagPages.capped.source,
  },
  "gpu-bound": {
    means: "The graphics card set the pace in these games; what a config does to the processor hardly shows.",
    found: `More than half of a cell's passes have the flag. ${flagPages["gpu-bound"].found}`,
    todo: flagPages["gpu-bound"].todo,
    source: flagPages["gpu-bound"].source,
  },
  throttled: {
    means: "The processor dropped its pace within passes of these cells; their lows may show the drops.",
    found: `More than half of a cell's passes have the flag. ${flagPages.throttled.found}`,
    todo: flagPages.throttled.todo,
    source: flagPages.throttled.source,
  },
  "held-back": {
    means:
      "Slower frames go together with a slower processor, or with power held at a limit. An association, no proof.",
    found:
      "A frame rate is `lower`, and the config's CPU clock lies below the baseline's in every pass; or its CPU power is `lower`, and more than half of its passes are held at one value.",
    todo: `Compare with the games where the same limit costs nothing. ${powerCaution}`,
    source: practice,
  },
  "pace-unknown": {
    means:
      "No config moves these games, though others move, and nothing logged says whether the graphics card set the pace.",
    found:
      "Average FPS and 1% low are `same` under every config, some other game has a `higher` or `lower`, and the game's logs hold no GPU load.",
    todo: "Log the GPU load beside the frame times.",
    source: ownRule,
  },
  "power-limits": {
    means: "A reminder wherever a session is about power, voltage or cooling: changing them can do harm.",
    found: "The logs hold CPU or GPU power.",
    todo: powerCaution,
    source: ownRule,
  },
};
