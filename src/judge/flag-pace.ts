import { mean, sum } from "simple-statistics";
import type { PaceDrops } from "../measure/pace-facts.ts";
import type { PassSummary } from "../measure/pass-summary.ts";
import type { PinnedRate } from "../measure/pinned-rate.ts";
import { groupBy } from "../shared/group-by.ts";

/** What set the pace of a pass, as far as its logs and its neighbours tell. */
export type PaceFlag =
  | {
      readonly code: "capped";
      readonly kind: PinnedRate["kind"];
      readonly rateFps: number;
      readonly timePct: number;
    }
  | { readonly code: "gpu-bound"; readonly timePct: number }
  | ({ readonly code: "throttled"; readonly kind: "drops" } & Omit<PaceDrops, "stretches">)
  | {
      readonly code: "throttled";
      readonly kind: "siblings";
      readonly sensor: PaceDrops["sensor"];
      /** Below the lowest of the cell's other passes, in percent: the sensor, and the frame rates that came out slower. */
      readonly belowPct: number;
      readonly slower: readonly { readonly metric: "avgFps" | "low1Fps"; readonly belowPct: number }[];
    }
  | {
      readonly code: "power-limited";
      readonly watts: number;
      readonly timePct: number;
      /** Games of the config in which power was held there. */
      readonly games: number;
    };

/** Most of a pass: common practice, no source. */
const gpuBoundPct = 75;
/** A limiter gives every pass the same rate, or a quite different one; passes that merely run evenly differ a little. */
const sameRate = 0.003;
const otherRate = 0.015;
/** Slow frames gather in the drops where they hold this share of them at least. */
const leastSlowPct = 50;
/** And this much more of them than of all frames, and than of the slow frames of other configs at the same places. */
const leastMorePct = 25;
/** Few shifts along the pass catch as many. */
const mostP = 0.25;
/** Below the lowest of a cell's other passes. */
const siblingDrop = { "cpu-clock": 5, "cpu-power": 10 } as const;
const siblingSlowerPct = 1;
const keptLoad = 0.85;
/** A power limit belongs to a config, so several of its games are held at one value. */
const sameWatts = 0.02;

/**
 * Flags on what set the pace. A pass alone can mislead, so its neighbours are heard: a cap gives the passes of a cell
 * one rate, what happens at the same place of the scene in other configs too is the scene's own, and a power limit
 * shows in more than one game. Thresholds are common practice without a source; test/detection measures what they
 * find and what they flag for nothing.
 */
export function flagPace(passes: readonly PassSummary[]): Map<PassSummary, PaceFlag[]> {
  const flags = new Map<PassSummary, PaceFlag[]>();
  const add = (pass: PassSummary, flag: PaceFlag): void => {
    flags.set(pass, [...(flags.get(pass) ?? []), flag]);
  };
  for (const game of groupBy(passes, (pass) => pass.game).values()) {
    for (const cell of groupBy(game, (pass) => pass.config).values()) {
      for (const pass of cell) {
        for (const flag of flagsWithin(pass, cell, game)) add(pass, flag);
      }
    }
  }
  for (const config of groupBy(passes, (pass) => pass.config).values()) {
    for (const pass of config) {
      const flag = heldFlag(pass, config);
      if (flag !== null) add(pass, flag);
    }
  }
  return flags;
}

function flagsWithin(
  pass: PassSummary,
  cell: readonly PassSummary[],
  game: readonly PassSummary[],
): PaceFlag[] {
  const capped = cappedFlag(pass, cell, game);
  const timePct = pass.pace?.gpuBusyPct ?? null;
  const throttled = dropsFlag(pass, cell, game) ?? siblingsFlag(pass, cell);
  return [
    ...(capped === null ? [] : [capped]),
    ...(timePct !== null && timePct >= gpuBoundPct ? [{ code: "gpu-bound" as const, timePct }] : []),
    ...(throttled === null ? [] : [throttled]),
  ];
}

function cappedFlag(
  pass: PassSummary,
  cell: readonly PassSummary[],
  game: readonly PassSummary[],
): PaceFlag | null {
  const own = pass.pace?.pinned ?? null;
  if (own === null) return null;
  const pinned = cell.filter(({ pace }) => (pace?.pinned ?? null) !== null);
  const distances = game.flatMap(({ pace }) =>
    pace?.pinned ? [distanceOfRates(pace.pinned.rateFps, own.rateFps)] : [],
  );
  const isOneRate = distances.every((distance) => distance <= sameRate || distance >= otherRate);
  // A cap that a neighbour outruns is none.
  const isOutrun =
    own.kind === "value" &&
    cell.some(({ avgFps }) => avgFps !== null && avgFps > own.rateFps * (1 + sameRate));
  return isOneRate && !isOutrun && 2 * pinned.length > cell.length ? { code: "capped", ...own } : null;
}

/** How far two rates are from one, or from whole multiples of one period, on the log scale. */
function distanceOfRates(a: number, b: number): number {
  const ratio = Math.max(a, b) / Math.min(a, b);
  return Math.abs(Math.log(ratio / Math.round(ratio)));
}

/** Chance can gather slow frames in the drops of one pass, but hardly in those of most passes that have any. */
function dropsFlag(
  pass: PassSummary,
  cell: readonly PassSummary[],
  game: readonly PassSummary[],
): PaceFlag | null {
  const drops = pass.pace?.drops ?? null;
  const others = game.filter(({ config, pace }) => config !== pass.config && pace !== undefined);
  if (drops === null || !gathersIn(drops, others) || isScenesOwn(drops, others)) return null;
  const dropping = cell.flatMap(({ pace }) => (pace?.drops ? [pace.drops] : []));
  if (2 * dropping.filter((theirs) => gathersIn(theirs, others)).length <= dropping.length) return null;
  const { stretches: _places, ...facts } = drops;
  return { code: "throttled", kind: "drops", ...facts };
}

function gathersIn(drops: PaceDrops, others: readonly PassSummary[]): boolean {
  const { slowFramesPct, framesPct, p } = drops;
  const usualPct = Math.max(framesPct, slowFramesOfScene(drops, others) ?? 0);
  return slowFramesPct >= leastSlowPct && slowFramesPct >= usualPct + leastMorePct && p <= mostP;
}

/** Whether most passes of the game's other configs drop at the same place. */
function isScenesOwn(drops: PaceDrops, others: readonly PassSummary[]): boolean {
  const alike = others.filter(({ pace }) => {
    const theirs = pace?.drops?.stretches ?? [];
    return 2 * overlap(drops.stretches, theirs) >= total(drops.stretches);
  });
  return others.length > 0 && 2 * alike.length >= others.length;
}

/** Share of the slow frames of other configs' passes that lie where the drops are, in percent: what the scene does by itself. */
function slowFramesOfScene(drops: PaceDrops, others: readonly PassSummary[]): number | null {
  const shares = others.flatMap(({ pace }) => {
    const counts = pace?.slowAt ?? null;
    if (counts === null) return [];
    const inside = counts.map(
      (count, i) =>
        count * counts.length * overlap(drops.stretches, [[i / counts.length, (i + 1) / counts.length]]),
    );
    return [(100 * sum(inside)) / sum(counts)];
  });
  return shares.length === 0 ? null : mean(shares);
}

type Stretches = PaceDrops["stretches"];

function total(stretches: Stretches): number {
  return stretches.reduce((sum, [from, to]) => sum + to - from, 0);
}

function overlap(a: Stretches, b: Stretches): number {
  return a.reduce(
    (sum, [from, to]) =>
      sum +
      b.reduce((inner, [start, end]) => inner + Math.max(0, Math.min(to, end) - Math.max(from, start)), 0),
    0,
  );
}

/** A pass whose clock or power lies below all other passes of its cell, and which is slower than all of them. */
function siblingsFlag(pass: PassSummary, cell: readonly PassSummary[]): PaceFlag | null {
  const others = cell.filter((other) => other !== pass);
  if (others.length < 2) return null;
  const sensor = pass.cpuClockMhz !== null ? "cpu-clock" : "cpu-power";
  const key = sensor === "cpu-clock" ? "cpuClockMhz" : "cpuPowerW";
  const belowPct = belowAll(
    pass[key],
    others.map((other) => other[key]),
  );
  if (belowPct === null || belowPct < siblingDrop[sensor]) return null;
  const loads = others.flatMap(({ cpuLoadPct }) => (cpuLoadPct === null ? [] : [cpuLoadPct]));
  if (pass.cpuLoadPct !== null && loads.length > 0 && pass.cpuLoadPct < keptLoad * mean(loads)) return null;
  const slower = (["avgFps", "low1Fps"] as const).flatMap((metric) => {
    const below = belowAll(
      pass[metric],
      others.map((other) => other[metric]),
    );
    return below !== null && below >= siblingSlowerPct ? [{ metric, belowPct: below }] : [];
  });
  return slower.length === 0 ? null : { code: "throttled", kind: "siblings", sensor, belowPct, slower };
}

/** How far below the lowest of the others, in percent; null where one is unknown. */
function belowAll(own: number | null, others: readonly (number | null)[]): number | null {
  const known = others.filter((value): value is number => value !== null && value > 0);
  if (own === null || known.length < others.length) return null;
  return 100 * (1 - own / Math.min(...known));
}

function heldFlag(pass: PassSummary, config: readonly PassSummary[]): PaceFlag | null {
  const own = pass.pace?.heldPower ?? null;
  if (own === null) return null;
  const alike = config.filter(
    ({ pace }) => pace?.heldPower && Math.abs(Math.log(pace.heldPower.watts / own.watts)) <= sameWatts,
  );
  const games = new Set(alike.map(({ game }) => game)).size;
  return games < 2 ? null : { code: "power-limited", ...own, games };
}
