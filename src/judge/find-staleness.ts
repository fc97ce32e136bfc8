import type { Problem } from "../shared/problem.ts";
import type { Origin } from "./judgement.ts";

/** Says what of a judgement's origin is another now. `now` null: the captures are not at hand. */
export function findStaleness(
  file: string,
  made: Origin | undefined,
  now: Origin | null,
  version: string,
): Problem[] {
  const at = { file };
  if (made === undefined) return [{ code: "judgement-origin-unknown", severity: "warning", at }];
  const problems: Problem[] = [];
  if (made.version !== version)
    problems.push({ code: "judgement-version", severity: "warning", at, made: made.version, now: version });
  if (now === null) {
    return [...problems, { code: "judgement-captures-gone", severity: "warning", at, folder: made.folder }];
  }
  const before = new Map(made.captures.map((capture) => [capture.file, capture.sha256]));
  const after = new Map(now.captures.map((capture) => [capture.file, capture.sha256]));
  const changed = [...before].filter(([name, digest]) => (after.get(name) ?? digest) !== digest);
  const missing = [...before.keys()].filter((name) => !after.has(name));
  const added = [...after.keys()].filter((name) => !before.has(name));
  if (changed.length + missing.length + added.length > 0) {
    problems.push({
      code: "judgement-stale",
      severity: "warning",
      at,
      changed: changed.map(([name]) => name),
      missing,
      added,
    });
  }
  if (made.settingsSha256 !== now.settingsSha256)
    problems.push({ code: "judgement-settings-changed", severity: "warning", at, session: made.session });
  return problems;
}
