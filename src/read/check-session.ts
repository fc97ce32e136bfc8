import { nearestName } from "../shared/nearest.ts";
import type { Problem } from "../shared/problem.ts";
import type { PassPlace } from "./layout.ts";
import { namesOfPass } from "./log-settings-of.ts";
import type { Session, SetAside } from "./session-file.ts";

/** Whether a pass is the one meant; without a boot, the pass of this name in whatever boot. */
function isMeant(entry: SetAside, place: PassPlace): boolean {
  return (
    entry.game === place.game &&
    entry.config === place.config &&
    entry.pass === place.pass &&
    (entry.boot === null || entry.boot === place.boot)
  );
}

/** A pass as `set-aside` takes it: game/config/pass, or game/config/boot/pass. */
function writePass({ game, config, boot, pass }: PassPlace, withBoot: boolean): string {
  return (withBoot && boot !== null ? [game, config, boot, pass] : [game, config, pass]).join("/");
}

/**
 * What the session says against what was captured. Errors: a baseline, a set-aside pass or logs to read otherwise that
 * do not exist, and a set-aside pass that several boots have. Warnings: games and configs described but not captured, and
 * names that differ in spelling only.
 * @param passes every pass found, those that could not be read included; empty: nothing can be compared, and
 *   nothing is reported
 */
export function checkSession(session: Session, passes: readonly PassPlace[]): readonly Problem[] {
  if (passes.length === 0) return [];
  const problems: Problem[] = [];
  const games = [...new Set(passes.map((pass) => pass.game))];
  const configs = [...new Set(passes.map((pass) => pass.config))];

  problems.push(...findAlike("game", games), ...findAlike("config", configs));
  const { baseline } = session;
  if (baseline !== null && !configs.includes(baseline.name)) {
    problems.push({
      severity: "error",
      at: baseline.at,
      code: "session-baseline-unknown",
      baseline: baseline.name,
      isGame: games.includes(baseline.name),
      layout: session.layout.pattern,
      nearest: nearestName(baseline.name, configs),
      configs,
    });
  }
  for (const { name, at } of session.games) {
    if (games.includes(name)) continue;
    const nearest = nearestName(name, games);
    problems.push({ severity: "warning", at, code: "game-not-captured", game: name, nearest });
  }
  for (const { name, at } of session.configs) {
    if (configs.includes(name)) continue;
    const nearest = nearestName(name, configs);
    problems.push({ severity: "warning", at, code: "config-not-captured", config: name, nearest });
  }
  const known = new Set(passes.flatMap(namesOfPass));
  for (const { name, at } of session.logFor) {
    if (known.has(name)) continue;
    problems.push({
      severity: "error",
      at,
      code: "session-log-unknown",
      name,
      nearest: nearestName(name, [...known]),
    });
  }
  for (const entry of session.setAside) {
    const pass = writePass(entry, true);
    // One pass filed under two file names is one pass here; that it is filed twice is another finding.
    const meant = new Set(
      passes.filter((place) => isMeant(entry, place)).map((place) => writePass(place, true)),
    );
    if (meant.size > 1) {
      problems.push({ severity: "error", at: entry.at, code: "set-aside-unclear", pass, passes: [...meant] });
    } else if (meant.size === 0) {
      const named = passes.map((place) => writePass(place, entry.boot !== null));
      const nearest = nearestName(pass, named);
      problems.push({ severity: "error", at: entry.at, code: "set-aside-unknown", pass, nearest });
    }
  }
  return problems;
}

/** Names that are the same to whoever reads them aloud; a stroke between two figures may mean something. */
export function findAlike(kind: "game" | "config", names: readonly string[]): Problem[] {
  const alike = new Map<string, string[]>();
  for (const name of names) {
    const plain = name.toLowerCase().replace(/(?<!\d)[\s_-]+|[\s_-]+(?!\d)/g, "");
    alike.set(plain, [...(alike.get(plain) ?? []), name]);
  }
  return [...alike.values()]
    .filter(({ length }) => length > 1)
    .map((same) => ({ code: "names-alike", severity: "warning", at: { file: "" }, kind, names: same }));
}
