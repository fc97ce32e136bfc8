import { median } from "simple-statistics";
import { askedPasses } from "../judge/asked-passes.ts";
import { mapByCell } from "../judge/cells.ts";
import { chooseBaseline, putFirst } from "../judge/choose-baseline.ts";
import { noiseLevel } from "../judge/judge-columns.ts";
import { countedPasses, markPasses, sortPasses } from "../judge/mark-passes.ts";
import { type Plan, planCautions } from "../judge/plan.ts";
import { type PlanSettings, planSession } from "../judge/plan-session.ts";
import { type NoiseOf, noiseAsStated, noiseOfPilot, type StatedNoise } from "../judge/planned-noise.ts";
import type { PassSummary } from "../measure/pass-summary.ts";
import { defaultSession } from "../read/default-session.ts";
import type { Session } from "../read/session-file.ts";
import { compareNames } from "../shared/compare-names.ts";
import { type Metric, metrics } from "../shared/metrics.ts";
import { badOption, type Problem } from "../shared/problem.ts";
import type { Hooks } from "./folder-options.ts";
import { measureFolder } from "./measure-folder.ts";
import { nameSheet } from "./name-sheet.ts";
import { findClashes, leastOf, mostOf, type PlanOptions, planRefused } from "./plan-options.ts";
import { readStatedNoise, requireGames } from "./read-stated-noise.ts";

/** Common practice, no source: a minute of play, a minute to get there, five for a reboot. */
const usualMinutes = { pass: 1, setup: 1, switch: 5 };
const usualChancePct = 80;
/** Names made up from a number; nobody tests more. */
const mostNames = 100;

/**
 * Plans a session: from captures in a folder, from stated noise, or both.
 * @param folder path of a pilot or an old session; null where the noise is stated
 * @throws RunError if the options contradict each other, the noise is unknown, or the time is too short for anything
 */
export async function planFolder(
  folder: string | null,
  options: PlanOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly plan: Plan; readonly problems: readonly Problem[] }> {
  const stated = readStatedNoise(options);
  const clashes = findClashes(folder, options, stated);
  if (clashes.length > 0) throw planRefused(...clashes);
  const measured = folder === null ? null : await measureFolder(folder, options, hooks);
  return {
    plan: makePlan(measured?.passes ?? null, measured?.session ?? defaultSession, options, stated),
    problems: measured?.problems ?? [],
  };
}

/** @param captured passes of a pilot; null without one */
function makePlan(
  captured: readonly PassSummary[] | null,
  session: Session,
  options: PlanOptions,
  noise: readonly StatedNoise[],
): Plan {
  const settings = planSettings(captured ?? [], session, options, noise);
  requireGames(noise, settings.games);
  const marking = { keepAll: options.keepAll ?? false, setAside: session.setAside };
  const counted = countedPasses(markPasses(sortPasses(captured ?? []), marking));
  const shown = noiseOfPilot(counted, settings);
  const stated = noiseAsStated(noise, settings.games);
  const noiseOf: NoiseOf = (...at) => stated(...at) ?? shown(...at);
  requireNoise(noiseOf, settings, counted);
  const asking = askedPasses(counted, settings, noiseLevel(counted), { ...settings, rule: settings });
  const planned = planSession(noiseOf, settings, asking);
  if ("leastMinutes" in planned) {
    const minutes = settings.amount.kind === "time" ? settings.amount.minutes : 0;
    throw planRefused({
      code: "plan-time-too-short",
      minutes,
      leastPasses: settings.leastPasses,
      ...planned,
    });
  }
  const { comparisons, ...plan } = planned;
  const { passMinutes: _cost, boots: _boots, amount, ...asked } = settings;
  const draft: Omit<Plan, "cautions"> = {
    format: "runjury.plan/1",
    session: {
      ...asked,
      falseAlarmControl: session.falseAlarmControl,
      budgetMinutes: amount.kind === "time" ? amount.minutes : null,
    },
    pilot: captured === null ? null : { passes: captured.length, counted: counted.length },
    plan,
    comparisons,
    sheet: options.sheet === true ? nameSheet(planned, settings, session, options.seed ?? 0) : null,
  };
  return { ...draft, cautions: planCautions(draft) };
}

function planSettings(
  captured: readonly PassSummary[],
  session: Session,
  options: PlanOptions,
  noise: readonly StatedNoise[],
): PlanSettings {
  const noted = (names: readonly string[], found: readonly string[]): string[] => [
    ...new Set([...names, ...[...found].sort(compareNames)]),
  ];
  const games = namesOf(
    "game",
    options.games,
    noted(
      session.games.map(({ name }) => name),
      captured.map(({ game }) => game),
    ),
  );
  const known = namesOf(
    "config",
    options.configs,
    noted(
      session.configs.map(({ name }) => name),
      captured.map(({ config }) => config),
    ),
  );
  const baseline = chooseBaseline(known, options.baseline ?? session.baseline?.name ?? null);
  const mattersPct = options.mattersPct ?? session.mattersPct;
  const stated = noise.map(({ metric }) => metric);
  const usual: readonly Metric[] = captured.length === 0 ? [] : ["avgFps", "low1Fps"];
  const wanted = new Set(options.metrics ?? [...usual, ...stated]);
  const { passes, hours } = options;
  return {
    title: session.title,
    baseline,
    games,
    configs: putFirst(baseline, known),
    lows: options.lows ?? session.lows,
    metrics: metrics.filter((metric) => wanted.has(metric)),
    differencePct: options.differencePct ?? mattersPct,
    mattersPct,
    confidencePct: options.confidencePct ?? session.confidencePct,
    chancePct: options.chancePct ?? usualChancePct,
    leastPasses: leastOf(options),
    mostPasses: mostOf(options),
    amount:
      passes !== undefined
        ? { kind: "passes", passes }
        : hours !== undefined
          ? { kind: "time", minutes: 60 * hours }
          : { kind: "needed" },
    boots: options.boots ?? null,
    passMinutes: passCost(captured, session, options),
    switchMinutes: options.switchMinutes ?? usualMinutes.switch,
  };
}

function namesOf(
  kind: "game" | "config",
  given: readonly string[] | number | undefined,
  found: readonly string[],
): string[] {
  if (given === undefined) return [...found];
  if (typeof given === "number") {
    if (given < 1 || given > mostNames) {
      throw badOption(`--${kind}s`, String(given), `a number from 1 to ${mostNames}`);
    }
    const numbered = Array.from({ length: given }, (_, i) => `${kind}-${i + 1}`);
    return kind === "game" ? numbered : ["baseline", ...numbered.slice(1)];
  }
  const names = given.map((name) => name.normalize("NFC"));
  // Beside captures a number is meant as one, unless something is called so.
  const [only = ""] = names;
  if (names.length === 1 && /^\d{1,6}$/.test(only) && found.length > 0 && !found.includes(only)) {
    const why = "the folder names them";
    throw planRefused({ code: "plan-options-clash", options: [`--${kind}s ${only}`, "a folder"], why });
  }
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw planRefused({ code: "plan-name-twice", kind, name: twice });
  return names;
}

/** A pass takes as long as it did in the pilot, or its game's neighbours did, and its set-up. */
function passCost(
  captured: readonly PassSummary[],
  session: Session,
  options: PlanOptions,
): (game: string) => number {
  const { passMinutes, setupMinutes = usualMinutes.setup } = options;
  if (passMinutes !== undefined) return () => passMinutes;
  const lengthOf = (passes: readonly PassSummary[]): number | null =>
    passes.length === 0 ? null : (median(passes.map(({ seconds }) => seconds)) + session.trim.skipS) / 60;
  const all = lengthOf(captured) ?? usualMinutes.pass;
  const byGame = new Map<string, number>();
  return (game) => {
    const known =
      byGame.get(game) ?? (lengthOf(captured.filter((pass) => pass.game === game)) ?? all) + setupMinutes;
    byGame.set(game, known);
    return known;
  };
}

function requireNoise(noiseOf: NoiseOf, settings: PlanSettings, counted: readonly PassSummary[]): void {
  const { games, configs } = settings;
  const isKnown = settings.metrics.some((metric) =>
    games.some((game) => configs.some((config) => noiseOf(game, config, metric) !== null)),
  );
  if (isKnown) return;
  const passes = [...mapByCell(counted, (pass) => pass).values()].map(({ length }) => length);
  throw planRefused({ code: "plan-noise-unknown", passes: Math.max(0, ...passes) });
}
