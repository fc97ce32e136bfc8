import type { PassSummary } from "../measure/pass-summary.ts";
import type { JudgedPass, JudgeSettings } from "./judgement.ts";
import { judgedPass, markPasses, sortPasses } from "./mark-passes.ts";

/**
 * The passes of a session with their flags and whether each counts; needs no baseline.
 * @param passes one summary per capture; game, config, boot and pass name together are unique
 * @returns in session order: by game, config, boot and pass name
 */
export function listPasses(
  passes: readonly PassSummary[],
  settings: Pick<JudgeSettings, "keepAll" | "setAside">,
): JudgedPass[] {
  return markPasses(sortPasses(passes), settings).map(judgedPass);
}
