import type { Plan } from "../judge/plan.ts";
import type { PlannedComparison } from "../judge/plan-session.ts";
import { counted } from "../shared/counted.ts";
import { formatCount, formatMinutes, formatPct } from "../shared/format-number.ts";
import { metricLabel } from "../shared/metrics.ts";
import { lowsWords } from "./lows-words.ts";

/*
 * What the table and the Markdown of a plan say alike, as plain text; names are escaped by the caller.
 */

/** One game and metric: the config that needs most stands for all. */
export interface PlanRow {
  /** null where all games are alike. */
  readonly game: string | null;
  readonly passes: string;
  readonly metric: string;
  readonly noise: string;
  readonly shows: string;
  readonly chance: string;
  readonly needs: string;
  readonly same: string;
  readonly follow: string;
  readonly isReached: boolean;
}

export const planHeads = (plan: Plan): readonly string[] => [
  "game",
  "passes",
  "metric",
  "noise",
  "shows",
  `chance\nof ${formatPct(plan.session.differencePct)}`,
  "needs",
  '"same"',
  "follow",
];

/** By game, then by metric. */
export function planRows({ plan, comparisons, session }: Plan): PlanRow[] {
  const noises = comparisons.map((own) => JSON.stringify([own.metric, own.noisePct, own.bootNoisePct]));
  const isAlike =
    comparisons.every(({ noiseFrom }) => noiseFrom === "stated") &&
    new Set(noises).size === session.metrics.length &&
    new Set(plan.games.map(({ passes }) => passes)).size === 1;
  const games = isAlike ? plan.games.slice(0, 1) : plan.games;
  return games.flatMap(({ game, passes }) =>
    session.metrics.map((metric) => {
      const own = comparisons.filter((row) => row.game === game && row.metric === metric);
      const row = own.reduce((worst, other) => (isWorse(other, worst) ? other : worst));
      return {
        game: isAlike ? null : game,
        passes: passesText(passes, plan.boots),
        metric: metricLabel[metric],
        noise: noiseText(row),
        shows: row.resolvesPct === null ? "-" : formatPct(row.resolvesPct),
        chance: row.chancePct === null ? "-" : chanceText(row.chancePct),
        needs: neededText(row, row.passesNeeded),
        same: neededText(row, row.passesForSame),
        follow: followText(own),
        isReached: row.isReached,
      };
    }),
  );
}

function isWorse(a: PlannedComparison, b: PlannedComparison): boolean {
  if (a.noiseFrom === null || b.noiseFrom === null) return a.noiseFrom === null && b.noiseFrom !== null;
  return (a.resolvesPct ?? Number.POSITIVE_INFINITY) > (b.resolvesPct ?? Number.POSITIVE_INFINITY);
}

function passesText(passes: number, boots: number): string {
  return boots === 1 ? String(passes) : `${passes} (${boots} x ${passes / boots})`;
}

function noiseText({ noisePct, bootNoisePct }: PlannedComparison): string {
  if (noisePct === null) return "unknown";
  return bootNoisePct === null
    ? formatPct(noisePct)
    : `${formatPct(noisePct)}, boots ${formatPct(bootNoisePct)}`;
}

function chanceText(pct: number): string {
  if (pct > 99) return "over 99%";
  return pct < 1 ? "below 1%" : `${Math.round(pct)}%`;
}

function neededText({ noiseFrom }: PlannedComparison, passes: number | null): string {
  if (noiseFrom === null) return "-";
  return passes === null ? "over 100" : String(passes);
}

/** Of several configs the one that is asked for most. */
function followText(rows: readonly PlannedComparison[]): string {
  const asked = rows.filter(({ stopInFollow }) => stopInFollow !== null);
  const within = asked.filter(({ stopInFollow }) => stopInFollow !== "out-of-reach");
  if (within.length > 0) return String(Math.max(...within.map(({ passesInFollow }) => passesInFollow ?? 0)));
  return asked.length > 0 ? "given up" : "-";
}

/** "2 games, 3 configs against stock: 36 captures, 3 changes of config, 2 h 10 min." */
export function planSentence({ session, plan }: Plan): string {
  const budget =
    session.budgetMinutes === null ? "" : ` of the ${formatMinutes(session.budgetMinutes)} there are`;
  const changes = plan.switches === 0 ? "" : `, ${counted(plan.switches, "change")} of config`;
  return (
    `${counted(session.games.length, "game")}, ${counted(session.configs.length, "config")}, ` +
    `every config against ${session.baseline}: ${counted(plan.captures, "capture")}${changes}, ` +
    `${formatMinutes(plan.minutes)}${budget}.`
  );
}

/** What the plan achieves. */
export function reachedSentence({ session, comparisons }: Plan): string {
  const reached = comparisons.filter(({ isReached }) => isReached).length;
  const of = `${formatCount(reached)} of ${counted(comparisons.length, "comparison")}`;
  return `${of} would show a difference of ${formatPct(session.differencePct)} with a chance of ${formatPct(session.chancePct)} or more.`;
}

/** Where the time goes. */
export function timeSentence({ session, plan }: Plan): string {
  const minutes = plan.games.map(({ minutesPerPass }) => minutesPerPass);
  const [least, most] = [Math.min(...minutes), Math.max(...minutes)];
  const each = formatMinutes(least) === formatMinutes(most) ? "" : `${formatMinutes(least)} to `;
  const changes =
    plan.switches === 0 ? "" : `; a change of config costs ${formatMinutes(session.switchMinutes)}`;
  const repeated = plan.isBaselineRepeated
    ? "; at the end the baseline is captured once more, one pass per game"
    : "";
  return `Time: a pass costs ${each}${formatMinutes(most)}, set-up included${changes}${repeated}.`;
}

/** How boots and passes balance, where both levels of noise are known. */
export function bootSentences({ comparisons, plan }: Plan): string[] {
  const best = comparisons.flatMap(({ bestPassesPerBoot }) => bestPassesPerBoot ?? []);
  if (best.length === 0) return [];
  const [least, most] = [Math.min(...best), Math.max(...best)].map((passes) => passes.toFixed(1));
  const range = least === most ? least : `${least} to ${most}`;
  return [
    `${counted(plan.boots, "boot")} per config. By noise and cost the best number of passes per boot is ${range} (Kalibera and Jones 2013); the plan is the quickest in whole boots and passes.`,
  ];
}

/** What the columns mean. */
export function planMethod({ session, plan, comparisons }: Plan): string[] {
  const chance = formatPct(session.chancePct);
  const difference = formatPct(session.differencePct);
  const isGivenUp = comparisons.some(({ stopInFollow }) => stopInFollow === "out-of-reach");
  const givenUp = isGivenUp
    ? " given up: far more than these would be needed, so it asks for no more than the first passes of each cell."
    : "";
  return [
    "passes: per config, the baseline too. noise: how far one pass lies from the next, as one standard deviation.",
    `shows: the smallest difference that these passes show with a chance of ${chance}, if it is the only one in the session (the hardest case; false alarms held as in \`judge\`, confidence ${formatPct(session.confidencePct)}).`,
    `needs: passes per config that show ${difference} with that chance. "same": passes per config that give the verdict \`same\` (within ${formatPct(session.mattersPct)}) with that chance where nothing differs.`,
    ...(plan.capturesInFollow === null
      ? []
      : [
          `follow: passes per config after which \`follow\` asks for no more, its intervals being narrow then, or ${formatCount(session.mostPasses)} reached; ${counted(plan.capturesInFollow, "capture")} in all, every config getting what its most demanding metric takes. It counts what narrow intervals take, "needs" what shows ${difference} if it is there.${givenUp}`,
        ]),
    ...(session.metrics.some((metric) => metric.startsWith("low"))
      ? [`1% and 0.1% low: ${lowsWords[session.lows]}.`]
      : []),
  ];
}
