import type { ClaimWord } from "../read/claim.ts";
import type { Metric } from "../shared/metrics.ts";
import type { Compared, Where } from "./compared.ts";

/** A claim to be written out. */
export interface ClaimDraft extends Where {
  readonly config: string;
  readonly metric: Metric;
  readonly is: ClaimWord | null;
  /** With its sign. */
  readonly byPct: number | null;
  /** How far from `byPct` the data may lie, in points. */
  readonly giveOrTakePct: number | null;
  readonly about: number | null;
  readonly differsAtMostPct: number | null;
}

/** The claim that a comparison is what its verdict says, and nothing more. */
export function draftOf(row: Compared, more: Partial<ClaimDraft> = {}): ClaimDraft {
  const { game, tag, config, metric, verdict } = row;
  return {
    game,
    tag,
    config,
    metric,
    is: verdict,
    byPct: null,
    giveOrTakePct: null,
    about: null,
    differsAtMostPct: null,
    ...more,
  };
}
