import type { Happening } from "../judge/follow-session.ts";
import { escapeJson } from "./escape.ts";

/**
 * What has happened as one line of JSON each, with the keys of the data contract.
 * @param at when, ISO 8601 in UTC
 */
export function followJsonLines(happenings: readonly Happening[], at: string): string[] {
  return happenings.map((happening) =>
    escapeJson(JSON.stringify({ format: "runjury.follow/1", at, ...happening })),
  );
}
