import type { ClaimDraft } from "../judge/claim-draft.ts";
import { unitsByMetric } from "../read/claim.ts";
import { metricLabel } from "../shared/metrics.ts";
import { escapeJson } from "./escape.ts";

/** A claim as it is written in a script, without the comment around it: "{ game: saltworks, ... }". */
export function writeClaim(draft: ClaimDraft): string {
  const { game, tag, config, metric, is, byPct, giveOrTakePct, about, differsAtMostPct } = draft;
  const scope =
    game !== null ? `game: ${yamlName(game)}` : tag !== null ? `tag: ${yamlName(tag)}` : "suite: true";
  const hasDirection = is === "higher" || is === "lower";
  const keys = [
    scope,
    `config: ${yamlName(config)}`,
    `metric: ${metricLabel[metric]}`,
    ...(is === null ? [] : [`is: ${is}`]),
    ...(byPct === null ? [] : [`by: ${hasDirection ? Math.abs(byPct) : signed(byPct)}%`]),
    ...(giveOrTakePct === null ? [] : [`give-or-take: ${giveOrTakePct}%`]),
    ...(about === null ? [] : [`about: ${about} ${unitsByMetric[metric]}`]),
    ...(differsAtMostPct === null ? [] : [`differs-at-most: ${differsAtMostPct}%`]),
  ];
  return `{ ${keys.join(", ")} }`;
}

/** The claim as a comment behind a sentence. */
export function claimComment(draft: ClaimDraft): string {
  return `<!-- claim: ${writeClaim(draft)} -->`;
}

function signed(value: number): string {
  return value > 0 ? `+${value}` : String(value);
}

/** A name as a YAML scalar that no comment, table or bracket around it can be confused by. */
function yamlName(name: string): string {
  const isPlain = /^[A-Za-z][\w.-]*(?: [\w.-]+)*$/.test(name) && !/^(?:null|true|false)$/i.test(name);
  return isPlain
    ? name
    : escapeJson(JSON.stringify(name)).replace(/[<>|&]/g, (c) => `\\u00${c.charCodeAt(0).toString(16)}`);
}
