import { median } from "simple-statistics";
import { askedPasses } from "../judge/asked-passes.ts";
import { mapByCell } from "../judge/cells.ts";
import { chooseBaseline, putFirst } from "../judge/choose-baseline.ts";
import { noiseLevel } from "../judge/judge-columns.ts";
import { countedPasses, markPasses, passName, sortPasses } from "../judge/mark-passes.ts";
import { type NamedSheet, type Plan, planCautions } from "../judge/plan.ts";
import { type PlanSettings, planSession } from "../judge/plan-session.ts";
import { type NoiseOf, noiseAsStated, noiseOfPilot, type StatedNoise } from "../judge/planned-noise.ts";
import { makeRunSheet } from "../judge/run-sheet.ts";
import { defaultStopRule } from "../judge/stop-rule.ts";
import type { PassSummary } from "../measure/pass-summary.ts";
import { defaultSession } from "../read/default-session.ts";
import { isFileName, layoutWithBoots, nameLog } from "../read/name-log.ts";
import { type NoiseReading, readNoise } from "../read/read-noise.ts";
import type { Session } from "../read/session-file.ts";
import { compareNames } from "../shared/compare-names.ts";
import { type Metric, metricLabel, metrics } from "../shared/metrics.ts";
import { nearestName } from "../shared/nearest.ts";
import { badOption, type PlanFinding, type Problem, RunError } from "../shared/problem.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { measureFolder } from "./measure-folder.ts";

export interface PlanOptions extends Omit<FolderOptions, "only"> {
  /** Names, or a number where no folder names them. */
  readonly games?: readonly string[] | number;
  readonly configs?: readonly string[] | number;
  /** Noise of a pass that is known without captures, such as "1% low 2%" or, of one game, "saltworks: 1% low 2%"; it wins over what captures show. */
  readonly noise?: readonly string[];
  /** What a boot adds to it, written alike. */
  readonly bootNoise?: readonly string[];
  readonly metrics?: readonly Metric[];
  /** The difference to show; what matters, where not given. */
  readonly differencePct?: number;
  /** Chance to show it; 80 where not given. */
  readonly chancePct?: number;
  readonly passes?: number;
  readonly boots?: number;
  readonly hours?: number;
  readonly leastPasses?: number;
  readonly mostPasses?: number;
  /** What a pass costs, set-up included; its length in the pilot and `setupMinutes` where not given. */
  readonly passMinutes?: number;
  readonly setupMinutes?: number;
  readonly switchMinutes?: number;
  /** Makes a run sheet, which needs a seed. */
  readonly sheet?: boolean;
  /** The whole number that its order comes from. */
  readonly seed?: number;
}

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
  const stated = statedNoise(options);
  const clashes = findClashes(folder, options, stated);
  if (clashes.length > 0) throw refused(...clashes);
  const measured = folder === null ? null : await measureFolder(folder, options, hooks);
  return {
    plan: makePlan(measured?.passes ?? null, measured?.session ?? defaultSession, options, stated),
    problems: measured?.problems ?? [],
  };
}

/** @throws RunError where a text cannot be read, or two speak of the same metric */
function statedNoise({ noise = [], bootNoise = [] }: PlanOptions): StatedNoise[] {
  const passes = readAll("--noise", noise);
  const boots = readAll("--boot-noise", bootNoise);
  const inGame = (all: readonly NoiseReading[], game: string | null, metric: Metric): number | null =>
    (
      all.find((own) => own.metric === metric && own.game === game) ??
      all.find((own) => own.metric === metric && own.game === null)
    )?.pct ?? null;
  const stated = new Map<string, StatedNoise>();
  for (const { game, metric } of [...passes, ...boots]) {
    const passPct = inGame(passes, game, metric);
    if (passPct !== null) {
      const bootPct = inGame(boots, game, metric);
      stated.set(JSON.stringify([game, metric]), { game, metric, passPct, bootPct });
    } else if (game !== null || !passes.some((own) => own.metric === metric)) {
      const label = `${game === null ? "" : `${game}: `}${metricLabel[metric]}`;
      throw refused({
        code: "plan-option-alone",
        option: `--boot-noise "${label}"`,
        needs: `--noise "${label}"`,
      });
    }
  }
  return [...stated.values()];
}

function readAll(option: string, texts: readonly string[]): NoiseReading[] {
  const read = new Map<string, NoiseReading>();
  for (const text of texts) {
    const noise = readNoise(text);
    if ("expected" in noise) throw badOption(option, text, noise.expected);
    const key = JSON.stringify([noise.game, noise.metric]);
    if (read.has(key)) throw badOption(option, text, "each metric once, for all games or for one");
    read.set(key, noise);
  }
  return [...read.values()];
}

/** @throws RunError where noise is stated of a game that is not planned for */
function requireGames(noise: readonly StatedNoise[], games: readonly string[]): void {
  for (const { game, metric } of noise) {
    if (game === null || games.includes(game)) continue;
    const nearest = nearestName(game, games);
    const hint = nearest === null ? "" : `; did you mean "${nearest}"?`;
    throw badOption(
      "--noise",
      `${game}: ${metricLabel[metric]}`,
      `a game of the plan before the colon${hint}`,
    );
  }
}

function refused(...findings: readonly PlanFinding[]): RunError {
  return new RunError(findings.map((finding) => ({ severity: "error", at: { file: "" }, ...finding })));
}

/** Options that do not go together, before anything is read. */
function findClashes(
  folder: string | null,
  options: PlanOptions,
  noise: readonly StatedNoise[],
): PlanFinding[] {
  const { passes, boots, hours, leastPasses, mostPasses } = options;
  const clashes: PlanFinding[] = [];
  const clash = (is: boolean, one: string, other: string, why: string): void => {
    if (is) clashes.push({ code: "plan-options-clash", options: [one, other], why });
  };
  const isGiven = (value: unknown): boolean => value !== undefined;
  clash(isGiven(passes) && isGiven(hours), "--passes", "--hours", "one says how many, the other how long");
  clash(
    isGiven(passes) && isGiven(leastPasses),
    "--passes",
    "--least-passes",
    "one says exactly how many, the other at least how many",
  );
  clash(
    isGiven(passes) && isGiven(mostPasses),
    "--passes",
    "--most-passes",
    "one says exactly how many, the other at most how many",
  );
  clash(
    isGiven(options.passMinutes) && isGiven(options.setupMinutes),
    "--pass-time",
    "--setup-time",
    "the first has the set-up in it",
  );
  clash(
    leastOf(options) > mostOf(options),
    "--least-passes",
    "--most-passes",
    `at least ${leastOf(options)} and at most ${mostOf(options)}`,
  );
  if (boots !== undefined) {
    clash(
      passes !== undefined && passes % boots !== 0,
      "--passes",
      "--boots",
      `${passes} passes cannot be shared out evenly among ${boots} boots`,
    );
    clash(
      passes === undefined && boots > mostOf(options),
      "--boots",
      "--most-passes",
      "every boot has a pass of every game",
    );
  }
  for (const [kind, names] of [["games", options.games] as const, ["configs", options.configs] as const]) {
    clash(
      folder !== null && typeof names === "number",
      `--${kind} ${names}`,
      "a folder",
      "the folder names them",
    );
    if (folder === null && names === undefined) clashes.push({ code: "plan-names-missing", kind });
  }
  if (options.seed !== undefined && options.sheet !== true)
    clashes.push({ code: "plan-option-alone", option: "--seed", needs: "--sheet" });
  if (folder === null) {
    const wanted = options.metrics ?? [];
    const without = wanted.filter((metric) => !noise.some((own) => own.metric === metric));
    if (noise.length === 0 || without.length > 0) {
      const missing = (without.length > 0 ? without : (["avgFps", "low1Fps"] as const)).map(labelOf);
      clashes.push({ code: "plan-noise-missing", metrics: missing });
    }
  }
  return clashes;
}

const labelOf = (metric: Metric): string => metricLabel[metric];

function leastOf({ leastPasses, mostPasses }: PlanOptions): number {
  return leastPasses ?? Math.min(defaultStopRule.leastPasses, mostPasses ?? defaultStopRule.leastPasses);
}

function mostOf({ leastPasses, mostPasses }: PlanOptions): number {
  return mostPasses ?? Math.max(defaultStopRule.mostPasses, leastPasses ?? defaultStopRule.mostPasses);
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
    throw refused({ code: "plan-time-too-short", minutes, leastPasses: settings.leastPasses, ...planned });
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
    throw refused({ code: "plan-options-clash", options: [`--${kind}s ${only}`, "a folder"], why });
  }
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw refused({ code: "plan-name-twice", kind, name: twice });
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
  throw refused({ code: "plan-noise-unknown", passes: Math.max(0, ...passes) });
}

function nameSheet(
  plan: Parameters<typeof makeRunSheet>[0],
  settings: PlanSettings,
  session: Session,
  seed: number,
): NamedSheet {
  const { games, configs } = settings;
  const unusable = [
    ...games.map((name) => ({ kind: "game", name }) as const),
    ...configs.map((name) => ({ kind: "config", name }) as const),
  ].filter(({ name }) => !isFileName(name));
  if (unusable.length > 0) {
    throw refused(...unusable.map((name) => ({ code: "plan-name-unusable", ...name }) as const));
  }
  const layout = plan.boots > 1 ? layoutWithBoots(session.layout) : session.layout;
  const hasBoots = layout.tokens.some((token) => token.kind === "placeholder" && token.name === "boot");
  const taken = new Map<string, string>();
  const sheet = makeRunSheet(plan, settings, seed);
  const steps = sheet.steps.map((step) => {
    if (step.kind === "switch") return { ...step, file: null };
    const { game, config, pass } = step;
    const place = { game, config, pass, boot: hasBoots ? step.boot : null };
    const file = nameLog(place, layout, { games, configs });
    if (file === null) throw refused({ code: "plan-file-unclear", layout: layout.pattern });
    const key = file.toLowerCase();
    const other = taken.get(key);
    if (other !== undefined) throw refused({ code: "plan-files-collide", passes: [other, passName(place)] });
    taken.set(key, passName(place));
    return { ...step, file };
  });
  return { ...sheet, layout: layout.pattern, isLayoutNew: layout !== session.layout, steps };
}
