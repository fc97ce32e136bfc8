import { nearestName } from "../shared/nearest.ts";
import { soleOf } from "../shared/non-empty.ts";
import { refusal } from "../shared/problem.ts";

/** Names under which people file the configuration that everything is compared with. */
const usualNames: ReadonlySet<string> = new Set(["stock", "default", "baseline", "reference"]);

/** The one config with a usual baseline name; null where none or several have one. */
export function guessBaseline(configs: readonly string[]): string | null {
  return soleOf(configs.filter((config) => usualNames.has(config.toLowerCase())));
}

/** The configs with this one, if it is among them, before the others. */
export function putFirst(baseline: string | null, configs: readonly string[]): string[] {
  return [...configs].sort((a, b) => Number(b === baseline) - Number(a === baseline));
}

/**
 * The config that the others are compared with: the one asked for, else the one with a usual name.
 * @param configs names in Unicode's composed form, as read/layout.ts gives them
 * @param asked in any form: a name completed from a path may be decomposed
 * @throws RunError if it does not exist or nobody can tell
 */
export function chooseBaseline(configs: readonly string[], asked: string | null): string {
  const wanted = asked?.normalize("NFC") ?? null;
  if (configs.length === 0) throw refusal({ code: "nothing-to-judge" });
  if (wanted !== null && !configs.includes(wanted)) {
    const nearest = nearestName(wanted, configs);
    throw refusal({ code: "baseline-unknown", baseline: wanted, nearest, configs });
  }
  const only = soleOf(configs);
  if (only !== null) throw refusal({ code: "one-config", config: only });
  const baseline = wanted ?? guessBaseline(configs);
  if (baseline === null) throw refusal({ code: "baseline-needed", configs });
  return baseline;
}
