import { passName } from "../judge/mark-passes.ts";
import type { NamedSheet } from "../judge/plan.ts";
import type { PlanSettings } from "../judge/plan-session.ts";
import { makeRunSheet } from "../judge/run-sheet.ts";
import { isFileName, layoutWithBoots, nameLog } from "../read/name-log.ts";
import type { Session } from "../read/session-file.ts";
import { planRefused } from "./plan-options.ts";

/**
 * The run sheet of a plan, with the name of the file under which each capture is found again.
 * @param seed the whole number that the order comes from
 * @throws RunError where a name cannot be one of a file, or two captures would get the same
 */
export function nameSheet(
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
    throw planRefused(...unusable.map((name) => ({ code: "plan-name-unusable", ...name }) as const));
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
    if (file === null) throw planRefused({ code: "plan-file-unclear", layout: layout.pattern });
    const key = file.toLowerCase();
    const other = taken.get(key);
    if (other !== undefined)
      throw planRefused({ code: "plan-files-collide", passes: [other, passName(place)] });
    taken.set(key, passName(place));
    return { ...step, file };
  });
  return { ...sheet, layout: layout.pattern, isLayoutNew: layout !== session.layout, steps };
}
