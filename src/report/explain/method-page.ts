import { nearPct } from "../../judge/decide-claim.ts";
import { gamesAdvised } from "../../judge/find-cautions.ts";
import { fewestCells } from "../../judge/order-effects.ts";
import { varianceFloor } from "../../judge/pair-variance.ts";
import { mostPasses, plannedPower } from "../../judge/plan-passes.ts";
import { beliefDf, screenLevel } from "../../judge/screen-passes.ts";
import { defaultStopRule } from "../../judge/stop-rule.ts";
import { priorBeliefDf, priorWeightGames } from "../../judge/variance-prior.ts";
import { logMargin } from "../../judge/verdict.ts";
import { framesNeeded } from "../../measure/frames-needed.ts";
import { defaultSession } from "../../read/default-session.ts";
import { formatCount, formatPct } from "../../shared/format-number.ts";
import { powerCaution } from "../../shared/power-caution.ts";
import { lowsWords } from "../lows-words.ts";
import type { Block } from "./document.ts";

const { mattersPct, confidencePct, lows } = defaultSession;
const alphaPct = 100 - confidencePct;
const belowPct = 100 * -Math.expm1(-logMargin(mattersPct));

const heading = (text: string): Block => ({ kind: "heading", text });
const paragraph = (text: string): Block => ({ kind: "paragraph", text });
const list = (...items: string[]): Block => ({ kind: "list", items });

/** What is computed, why, its limits, and where it comes from: for a viewer who does not believe a word. */
export function methodPage(): Block[] {
  return [
    { kind: "title", text: "How runjury judges benchmark runs" },
    paragraph(
      "runjury reads logs of frame times and says which differences between configurations are real, which are within run-to-run noise, and which cannot be told yet. This page says what it computes, why, and what it cannot see. Every number on it is the program's own default; a session can set others, and every result prints those that were used.",
    ),
    heading("In short"),
    list(
      "Passes of one game under one config never agree exactly. How far they lie apart is the run-to-run noise.",
      "A difference between two configs is called only if noise alone would hardly ever make one as large.",
      `Among many comparisons some look large by luck. The bar is raised with their number, so that on average no more than about ${alphaPct}% of what is called is luck.`,
      `That two configs are the same has to be shown as well: the passes must rule out a difference of ${formatPct(mattersPct)}.`,
      "What is neither is `unclear`, and it is told how many passes would likely settle it.",
    ),
    heading("What one pass becomes"),
    list(
      "Average FPS: frames divided by the seconds they took. It is never the mean of instantaneous FPS, which is higher wherever frame times differ: 99 frames of 10 ms and one of 50 ms are 96.2 FPS, not 99.2.",
      `1% low and 0.1% low, under one of three definitions in use, which differ and must not be mixed. ${Object.entries(
        lowsWords,
      )
        .map(([name, words]) => `${name}: ${words}`)
        .join("; ")}. The default is ${lows}, with linear interpolation (Hyndman & Fan 1996, definition 7).`,
      `A 1% low is given from ${formatCount(framesNeeded.low1Fps.needed)} frames on, a 0.1% low from ${formatCount(framesNeeded.low01Fps.needed)}; below ${formatCount(framesNeeded.low1Fps.wanted)} and ${formatCount(framesNeeded.low01Fps.wanted)} it is marked as rough (common practice, no source).`,
      "Power, clocks, loads and temperatures: means over time in the same window. FPS per watt and joules per frame come from the power and the frames of the same pass.",
    ),
    heading("What counts as noise"),
    paragraph(
      "The pass, not the frame. Frames follow each other and are not independent, and a scene's own course is the same in every pass, so an error computed from the frames of one pass says nothing about the next pass. Only repeating the pass shows run-to-run noise. With one pass nothing is told.",
    ),
    paragraph(
      "Everything is compared on natural logarithms, because noise and effects are percentages; a change is 100 (exp(difference of mean logs) - 1), so swapping the configs turns it around exactly.",
    ),
    heading("Passes that are set aside"),
    paragraph(
      `A pass is set aside when it is slower than its cell's other passes by more than chance allows, on average FPS or 1% low. The yardstick is the spread of the cell's other passes, steadied by the session's typical spread, which counts as ${beliefDf} degrees of freedom and leaves out cells that a frame cap holds, since they hardly vary; the level is ${formatPct(100 * screenLevel)} per session: of clean sessions with normal noise, at most that share loses a pass; it is more where one config is much noisier than the others, or where noise has heavy tails or is skewed towards slow passes. Several lowest passes are tested inwards, so that two bad ones cannot hide each other (Rosner 1983). Only slow passes: what spoils a pass slows it. More than half of the cell and at least two passes must remain; else nothing is set aside there, and a caution says that its passes disagree. Every pass set aside is shown with its reason, every verdict is also made with all passes, and \`*\` marks those that would change.`,
    ),
    heading("One comparison"),
    list(
      "Difference: the config's mean log minus the baseline's, in one game and one metric.",
      "Its variance: Welch's, with Satterthwaite's degrees of freedom, so that configs may be differently noisy (Welch 1947, Satterthwaite 1946). With one game, this is exactly Welch's t test.",
      `Three passes say little about noise, and many games together say much: each game's variance is drawn towards the typical one of all games for the same two configs and metric (empirical Bayes, Smyth 2004). A weak belief is added (as if ${priorWeightGames} games had shown a typical variance known to ${priorBeliefDf} degrees of freedom), because with few games the fit alone is rough. That addition is this project's own and rests on simulation.`,
      `Noise is never taken to be below ${100 * Math.sqrt(varianceFloor)}%, about the rounding of logs (common practice, no source).`,
      `From these a t test and a ${confidencePct}% interval. Intervals are per comparison and are not widened for the number of comparisons.`,
    ),
    heading("A hundred comparisons"),
    paragraph(
      `At ${alphaPct}% each, a hundred comparisons of equal configs would give ${alphaPct} false alarms on average. So within each column (one config against the baseline, one metric) the share of false ones among the differences told is held at ${alphaPct}% by Benjamini & Hochberg's rule (1995): an average over many sessions, and where nothing differs at all, the chance of telling anything. (With 2 to 4 games that are unequally noisy there is little to judge noise by, and it is up to a tenth, with 8 about 6%: test/judge/promises.test.ts.) It is applied after a first look at which columns show anything at all, so that a real effect in one column buys no false alarms in another (Simes 1986; Benjamini & Bogomolov 2014). Frame rates and power are two groups, each with ${alphaPct}% of its own, and so are their averages over all games. \`false-alarm-control: strict\` is Holm (1979) over all. The correction comes from the whole session, never from the part that is shown.`,
    ),
    heading("The verdict"),
    list(
      `\`higher\`, \`lower\`: the adjusted p is at most ${alphaPct}%. Below ${formatPct(mattersPct)}, the smallest difference worth telling (common practice, no source), it is real but \`slight\`.`,
      `\`same\`: the whole ${confidencePct}% interval lies within -${formatPct(belowPct)} and +${formatPct(mattersPct)}, which is two one-sided tests at ${alphaPct / 2}% each (Schuirmann 1987). It is shown, not assumed.`,
      "`unclear`: neither, or fewer than two passes on a side. It does not mean that there is no difference.",
    ),
    heading("All games together"),
    paragraph(
      "The average over games is the geometric mean of the games' ratios, every game counting alike (Fleming & Wallace 1986). Its interval takes the games as a sample of games like them; a second one is for exactly these games; with two games there is only that. The averages' p-values are Holm-adjusted over the columns, those of kinds of games (`tags`) over all of these. Where games share boots, the boots' own spread is added. Whether games really differ is tested by Alexander & Govern's statistic (1994), not adjusted for the number of columns. With few passes the usual Q (Cochran 1954) finds such a difference far too often: after 3 passes of each, in half of the columns in which no game differs (test/judge/promises.test.ts). Below " +
        `${gamesAdvised} games the average comes with a caution.`,
    ),
    heading("How many passes"),
    paragraph(
      `For what is \`unclear\`, the number of passes per config is given that would show a difference of ${formatPct(mattersPct)} with a chance of ${formatPct(100 * plannedPower)}, and would show \`same\` with the same chance if there is none (noncentral t, approximated as in Johnson & Welch 1940; at most ${mostPasses}). It rests on noise that is itself an estimate: take it as a rough figure.`,
    ),
    heading("What it looks for beside the verdicts"),
    list(
      "Verdicts that hang on a single pass, or on the definition of the lows.",
      `Whether configs were captured in blocks; from ${fewestCells} cells on, whether first passes differ and whether the session drifts.`,
      "Frame caps, a graphics card at its ceiling, throttling and power limits: they go together with slow frames or hide differences, and which causes which is not shown.",
      "`runjury explain` lists every flag and caution; each has a page.",
    ),
    heading("What it cannot see"),
    list(
      "Boot-to-boot noise, unless configs were captured in several boots. Passes of one boot can agree with each other and differ from the next boot (Kalibera & Jones 2013). The caution `one-boot` says so.",
      "Whether two passes really show the same scene with the same settings.",
      "That passes captured one after the other resemble each other, as heat or work in the background makes them. In blocks, this looks like the config (caution `order`); in a mixed order, it is noise like any other.",
      "What was done between configs besides what was meant: a driver, an update, the temperature of the room.",
      "Input lag, picture quality, and stutter that no frame time shows. Frame times are when frames were made, not always when they were seen.",
      "A 0.1% low rests on a handful of frames, and of small differences in it only those are told that noise enlarged: after 3 to 5 passes a true 7% shows as 10 to 18% where it is told, a true 15% as 15 to 17% (test/judge/promises.test.ts). The same holds, less so, for anything that is told only just (Gelman & Carlin 2014).",
      "The intervals hold for noise that is roughly normal on the log scale. Skewed noise, or noise with heavy tails, makes the screen lose good passes.",
      "Selecting afterwards: whoever shows only the game that came out best is not protected by any correction.",
    ),
    heading("Looking while you capture"),
    paragraph(
      `Whoever looks after every pass and stops as soon as a verdict appears finds differences that are not there (Armitage, McPherson & Rowe 1969): in 11 to 23% of simulated sessions in which nothing differs; even who stops at the first interval that is narrow enough finds some, since that is where passes happen to agree (Starr 1966). \`runjury follow\` therefore has two stages (Stein 1945). The first ${defaultStopRule.leastPasses} passes of each cell show its noise, and from that noise alone follows how many passes make the intervals narrow, ${defaultStopRule.mostPasses} at most (\`--least-passes\`, \`--most-passes\`). What comes later changes nothing about that, so that it does not matter how often anybody looks. Simulated, looks after every pass add false alarms in half a session in 100 with a single game, and in none that can be seen with more (\`npm run simulate:looks\`).`,
    ),
    heading("Claims of a script"),
    paragraph(
      `\`runjury check\` holds sentences to these verdicts. A size holds if it lies inside the interval and within ${nearPct} point of the estimate, unless the claim gives another margin (common practice, no source). Claims about several comparisons hold only if each is shown by itself (Berger 1982).`,
    ),
    heading("How the program itself is checked"),
    list(
      "Figures and steps are compared with R 4.2.2 (t.test, quantile, p.adjust, limma, metafor), with published data sets, and with cases done by hand. The scripts lie beside the tests.",
      "What the method promises (false alarms, coverage, passes lost) is simulated with a fixed seed in test/judge/promises.test.ts, in sessions whose truth is known. In sessions in which nothing differs, some difference is told in 4 to 5 of 100 with one game or with 16, and in about 6 of 100 with two to four (there, and `npm run simulate:looks`).",
      "The same captures give the same bytes of output; captures are never changed.",
      "The parts that are this project's own and no published recipe: the pair variance drawn to a regularised prior, the screen's yardstick, the shared variance of boots, and the rule for how often one may look. They rest on simulation alone (test/judge/promises.test.ts, test/judge/boots.test.ts, `npm run simulate:looks`).",
    ),
    heading("Sources"),
    list(...sources),
    paragraph(
      "Some bibliographic details are from memory; look a source up before you quote it. The flags' and cautions' own sources stand on their pages.",
    ),
    paragraph(powerCaution),
  ];
}

const sources = [
  "Alexander & Govern 1994, Journal of Educational Statistics 19:91, doi 10.3102/10769986019002091",
  "Armitage, McPherson & Rowe 1969, Journal of the Royal Statistical Society A 132:235",
  "Benjamini & Bogomolov 2014, JRSS B 76:297, doi 10.1111/rssb.12028",
  "Benjamini & Hochberg 1995, JRSS B 57:289, doi 10.1111/j.2517-6161.1995.tb02031.x",
  "Berger 1982, Technometrics 24:295",
  "Cochran 1954, Biometrics 10:101",
  "Fleming & Wallace 1986, Communications of the ACM 29:218, doi 10.1145/5666.5673",
  "Gelman & Carlin 2014, Perspectives on Psychological Science 9:641, doi 10.1177/1745691614551642",
  "Holm 1979, Scandinavian Journal of Statistics 6:65",
  "Hyndman & Fan 1996, The American Statistician 50:361, doi 10.1080/00031305.1996.10473566",
  "Johnson & Welch 1940, Biometrika 31:362, doi 10.1093/biomet/31.3-4.362",
  "Kalibera & Jones 2013, Rigorous Benchmarking in Reasonable Time, ISMM '13",
  "Rosner 1983, Technometrics 25:165, doi 10.1080/00401706.1983.10487848",
  "Satterthwaite 1946, Biometrics Bulletin 2:110, doi 10.2307/3002019",
  "Schuirmann 1987, Journal of Pharmacokinetics and Biopharmaceutics 15:657, doi 10.1007/BF01068419",
  "Simes 1986, Biometrika 73:751, doi 10.1093/biomet/73.3.751",
  "Smyth 2004, Statistical Applications in Genetics and Molecular Biology 3(1):3, doi 10.2202/1544-6115.1027",
  "Starr 1966, Annals of Mathematical Statistics 37:36",
  "Stein 1945, Annals of Mathematical Statistics 16:243",
  "Welch 1947, Biometrika 34:28, doi 10.1093/biomet/34.1-2.28",
] as const;
