import type { PassPlace } from "./layout.ts";
import type { LogSettings } from "./log.ts";
import type { Session } from "./session-file.ts";

type PassName = Pick<PassPlace, "game" | "config" | "boot" | "pass">;

/** Names by which `log: for:` may speak of a pass, the widest first. */
export function namesOfPass({ game, config, boot, pass }: PassName): readonly string[] {
  const cell = `${game}/${config}`;
  return [game, cell, `${cell}/${pass}`, ...(boot === null ? [] : [`${cell}/${boot}/${pass}`])];
}

/** What the session says about this pass's log; null where that is what it says about all. */
export function ownLogSettings({ log, logFor }: Session, place: PassName): LogSettings | null {
  const said = namesOfPass(place).flatMap((name) => logFor.filter((entry) => entry.name === name));
  if (said.length === 0) return null;
  return Object.assign({}, log, ...said.map(({ settings }) => settings));
}

/** What the session says about a log; of one that has no place, what it says about all. */
export function logSettingsOf(session: Session, place: PassName | null): LogSettings {
  return (place === null ? null : ownLogSettings(session, place)) ?? session.log;
}
