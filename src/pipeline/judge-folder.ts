import { chooseBaseline } from "../judge/choose-baseline.ts";
import type { Judged } from "../judge/judge-session.ts";
import type { JudgedPass, Judgement, JudgeSettings } from "../judge/judgement.ts";
import type { PictureFrames } from "../measure/picture-frames.ts";
import type { Session } from "../read/session-file.ts";
import { compareNames } from "../shared/compare-names.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import type { FolderOptions, Hooks, MeasureOptions } from "./folder-options.ts";
import { type MeasureWants, measureFolder } from "./measure-folder.ts";

/**
 * Judges a folder of captures: finds the logs, reads and measures each, and concludes.
 * @param folder path of the captures
 * @returns the judgement, and what was noticed about files on the way
 * @throws RunError if it cannot be done: no folder, no logs, no baseline, a broken session file
 */
export async function judgeFolder(
  folder: string,
  options: FolderOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly judgement: Judgement; readonly problems: readonly Problem[] }> {
  const { show, problems } = await judgeMeasured(folder, options, hooks);
  return keepProblems(problems, () => ({ judgement: show(options.only ?? []), problems }));
}

/** The whole judgement of a folder, and the means to judge the same passes against another baseline. */
export async function judgeMeasured(
  folder: string,
  options: FolderOptions & Pick<MeasureWants, "traceBuckets">,
  hooks: Hooks,
): Promise<{
  readonly judgement: Judgement;
  /** The judgement with only the games and configs named. */
  readonly show: (only: readonly string[]) => Judgement;
  readonly judgeAgainst: (baseline: string) => Judgement;
  readonly session: Session;
  readonly frames: ReadonlyMap<string, PictureFrames>;
  readonly problems: readonly Problem[];
}> {
  // What only judging needs is loaded while other threads read already.
  const onLogs = (files: readonly string[]): void => {
    void loadJudging();
    hooks.onLogs?.(files);
  };
  const wanted = { ...options, origin: true };
  const measured = await measureFolder(folder, wanted, { ...hooks, onLogs });
  const { session, made, passes, frames, notRead, problems } = measured;
  const [{ judgeWithFacts }, { filterJudgement }] = await loadJudging();
  return keepProblems(problems, () => {
    const configs = [...new Set(passes.map(({ config }) => config))].sort(compareNames);
    const judge = (baseline: string): Judged => {
      const judged = judgeWithFacts(passes, {
        title: session.title,
        baseline,
        ...askedOf(session, options),
        tags: session.games.flatMap(({ name, tags }) => tags.map((tag) => ({ game: name, tag }))),
        levels: session.configs.map(({ name, levels }) => ({ config: name, levels })),
        notRead,
        titles: { games: titled(session.games), configs: titled(session.configs) },
      });
      return { ...judged, judgement: { ...judged.judgement, ...(made && { made }) } };
    };
    const baseline = chooseBaseline(configs, options.baseline ?? session.baseline?.name ?? null);
    const judged = judge(baseline);
    return {
      judgement: judged.judgement,
      show: (only) => filterJudgement(judged, only),
      judgeAgainst: (other) => judge(other).judgement,
      session,
      frames,
      problems,
    };
  });
}

function loadJudging() {
  return Promise.all([import("../judge/judge-session.ts"), import("../judge/filter-judgement.ts")]);
}

/** What is asked of a judgement: by the options, else by the session. */
export function askedOf(
  session: Session,
  options: FolderOptions,
): Pick<
  JudgeSettings,
  "lows" | "mattersPct" | "confidencePct" | "falseAlarmControl" | "keepAll" | "setAside"
> {
  return {
    lows: options.lows ?? session.lows,
    mattersPct: options.mattersPct ?? session.mattersPct,
    confidencePct: options.confidencePct ?? session.confidencePct,
    falseAlarmControl: session.falseAlarmControl,
    keepAll: options.keepAll ?? false,
    setAside: session.setAside,
  };
}

function titled(notes: readonly { name: string; title: string }[]): { name: string; title: string }[] {
  return notes.filter(({ name, title }) => title !== name).map(({ name, title }) => ({ name, title }));
}

/**
 * The passes of a folder with every metric and flag, and whether each counts. Needs no baseline.
 * @throws RunError as judgeFolder does
 */
export async function listFolder(
  folder: string,
  options: MeasureOptions & Pick<FolderOptions, "keepAll" | "only"> = {},
  hooks: Hooks = {},
): Promise<{ readonly passes: readonly JudgedPass[]; readonly problems: readonly Problem[] }> {
  const { session, passes, problems } = await measureFolder(folder, options, hooks);
  const [{ listPasses }, { filterPasses }] = await Promise.all([
    import("../judge/list-passes.ts"),
    import("../judge/filter-judgement.ts"),
  ]);
  return keepProblems(problems, () => {
    const listed = listPasses(passes, { keepAll: options.keepAll ?? false, setAside: session.setAside });
    return { passes: filterPasses(listed, options.only ?? []), problems };
  });
}

/** What was noticed before a run failed often explains the failure. */
function keepProblems<T>(problems: readonly Problem[], run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (error instanceof RunError) throw new RunError([...problems, ...error.problems]);
    throw error;
  }
}
