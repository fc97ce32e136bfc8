import type { CapPlan, ConfigCap } from "../judge/plan-caps.ts";
import type { PathCap } from "../read/layout.ts";
import type { Session } from "../read/session-file.ts";
import { soleOf } from "../shared/non-empty.ts";
import type { Problem } from "../shared/problem.ts";
import type { FolderOptions, Hooks, MeasureOptions } from "./folder-options.ts";
import { measureFolder } from "./measure-folder.ts";

/**
 * The frame caps to try in a folder of captures, and what the caps tried so far did. Needs no baseline.
 * @throws RunError as judgeFolder does
 */
export async function planFolderCaps(
  folder: string,
  options: MeasureOptions & Pick<FolderOptions, "keepAll"> = {},
  hooks: Hooks = {},
): Promise<{ readonly plan: CapPlan; readonly problems: readonly Problem[] }> {
  const { session, passes, pathCaps, problems } = await measureFolder(folder, options, hooks);
  const { planCaps } = await import("../judge/plan-caps.ts");
  const configs = [...new Set(passes.map(({ config }) => config))];
  const plan = planCaps(passes, configCaps(configs, session, pathCaps), gameCaps(session), {
    title: session.title,
    baseline: "",
    lows: options.lows ?? session.lows,
    mattersPct: session.mattersPct,
    confidencePct: session.confidencePct,
    falseAlarmControl: session.falseAlarmControl,
    keepAll: options.keepAll ?? false,
    setAside: session.setAside,
  });
  return { plan, problems };
}

/** By the path's {cap}, else by the config's `frame-cap`, which is of `cap-of` or else of the only uncapped config. */
function configCaps(
  configs: readonly string[],
  session: Session,
  pathCaps: ReadonlyMap<string, PathCap>,
): ConfigCap[] {
  const notes = new Map(session.configs.map((config) => [config.name, config]));
  const isCapped = (config: string): boolean =>
    pathCaps.has(config) || (notes.get(config)?.frameCapFps ?? null) !== null;
  const open = configs.filter((config) => !isCapped(config));
  return configs.flatMap((config): ConfigCap[] => {
    const path = pathCaps.get(config);
    if (path !== undefined) {
      return [{ config, fps: path.fps, of: configs.includes(path.of) ? path.of : null }];
    }
    const { frameCapFps: fps = null, capOf = null } = notes.get(config) ?? {};
    if (fps === null) return [];
    return [{ config, fps, of: capOf !== null && configs.includes(capOf) ? capOf : soleOf(open) }];
  });
}

function gameCaps({ games }: Session): ReadonlyMap<string, number> {
  return new Map(
    games.flatMap(({ name, frameCapFps }) => (frameCapFps === null ? [] : [[name, frameCapFps] as const])),
  );
}
