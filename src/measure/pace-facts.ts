import type { Log, SensorRole, SensorSeries } from "../read/log.ts";
import { partitionAt } from "../shared/partition-at.ts";
import { findHeldPower, type HeldPower } from "./held-power.ts";
import type { FrameTail } from "./lows.ts";
import { meanOf } from "./mean-of.ts";
import { findPinnedRate, type PinnedRate } from "./pinned-rate.ts";
import { type Drop, findDrops } from "./sensor-drops.ts";
import { gridSensor, isConstant } from "./sensor-grid.ts";
import { type Coincidence, slowFramesAt, slowFramesIn } from "./slow-frames-in.ts";
import { stepsBetween } from "./steps-between.ts";
import { timeWeightedMean } from "./time-weighted-mean.ts";
import type { TrimmedFrames } from "./trim.ts";

/** Drops of a clock or a power within a pass, while the load stayed as far as it is known. */
export interface PaceDrops extends Coincidence {
  readonly sensor: "cpu-clock" | "cpu-power";
  /** How far below the pass's usual level, on average, in percent. */
  readonly belowPct: number;
  /** Share of the time that the drops last, in percent. */
  readonly timePct: number;
  /** Whether the logs say that the load stayed; null where they do not say. */
  readonly isLoadKept: boolean | null;
  /** Where they lie, as fractions of the pass. */
  readonly stretches: readonly (readonly [from: number, to: number])[];
}

/** What may have set the pace of a pass, as facts; plain data. Whether it deserves a flag is for the judgement. */
export interface PaceFacts {
  readonly pinned: PinnedRate | null;
  /** Share of the time with the GPU load at `gpuCeilingPct` or more, in percent; null where the logs have no load. */
  readonly gpuBusyPct: number | null;
  readonly heldPower: HeldPower | null;
  readonly drops: PaceDrops | null;
  /** Frames slower than the 1% low in each fortieth of the pass; null where they are fewer than ten. */
  readonly slowAt?: readonly number[] | null;
}

/** A graphics card this busy has nothing left to give: common practice, no source. */
export const gpuCeilingPct = 95;
/** Falls smaller than these are ordinary: clocks move by some percent, power with what the scene asks for. */
const leastDrop = { "cpu-clock": 0.05, "cpu-power": 0.1 } as const;
/** A load in the drops below this share of the load elsewhere means that less was asked for. */
const keptLoad = 0.85;

const finestCellS = 0.25;
const mostCells = 600;

/**
 * @param trimmed the frames and the window that the sensors are read over
 * @param medians of those frames, by `blockMedians`
 * @param tail their slow end
 */
export function findPaceFacts(
  log: Pick<Log, "sensors">,
  trimmed: TrimmedFrames,
  medians: Float64Array,
  tail: FrameTail,
): PaceFacts {
  const { fromS, toS } = trimmed;
  const series = (role: SensorRole): SensorSeries | null =>
    log.sensors.find((candidate) => candidate.role === role) ?? null;
  const gpuLoad = series("gpu-load");
  const power = series("cpu-power");
  const slowerThanMs = slowLimit(trimmed.frameTimesMs.length, tail);
  const powerGrid = power === null ? null : gridOf(power, fromS, toS);
  return {
    pinned: findPinnedRate(trimmed.frameTimesMs, medians),
    gpuBusyPct: gpuLoad === null ? null : timeAtLeastPct(gpuLoad, fromS, toS, gpuCeilingPct),
    heldPower: powerGrid === null ? null : findHeldPower(powerGrid),
    drops: findPaceDrops(series("cpu-clock"), powerGrid, series("cpu-load"), trimmed, slowerThanMs),
    slowAt:
      slowerThanMs === null ? null : slowFramesAt(trimmed.frameTimesMs, trimmed.endsS, trimmed, slowerThanMs),
  };
}

/** The frame time that the slowest hundredth of the frames exceeds; fewer than ten of them say nothing of where they lie. */
function slowLimit(frames: number, { slowestMs }: FrameTail): number | null {
  const slowFrames = Math.floor(0.01 * frames);
  return slowFrames < 10 ? null : (slowestMs[slowestMs.length - slowFrames - 1] as number);
}

function timeAtLeastPct(series: SensorSeries, fromS: number, toS: number, level: number): number | null {
  const reached = series.values.map((value) =>
    Number.isFinite(value) ? 100 * Number(value >= level) : value,
  );
  return timeWeightedMean({ ...series, values: reached }, fromS, toS);
}

/** As fine as the sensor is read, but not finer than a quarter of a second. */
function gridOf(series: SensorSeries, fromS: number, toS: number): Float64Array | null {
  const finestS = Math.max(finestCellS, (toS - fromS) / mostCells);
  const cellS = Math.max(finestS, typicalStepS(series.atS, finestS));
  return gridSensor(series, fromS, toS, Math.floor((toS - fromS) / cellS));
}

/** The upper median of the steps; 0 where it is no longer than `finestS`, as of a sensor that is read with every frame. */
function typicalStepS(atS: Float64Array, finestS: number): number {
  const middle = (atS.length - 1) >> 1;
  if (countSteps(atS, finestS) > middle) return 0;
  const steps = stepsBetween(atS);
  partitionAt(steps, middle);
  return steps[middle] ?? 0;
}

/** Steps of at most so much. */
function countSteps(values: Float64Array, most: number): number {
  let count = 0;
  for (let i = 1; i < values.length; i++) {
    if ((values[i] as number) - (values[i - 1] as number) <= most) count++;
  }
  return count;
}

/** A clock that moves says more than power, which also follows what the scene asks for. */
function findPaceDrops(
  clock: SensorSeries | null,
  powerGrid: Float64Array | null,
  load: SensorSeries | null,
  trimmed: TrimmedFrames,
  slowerThanMs: number | null,
): PaceDrops | null {
  const { fromS, toS } = trimmed;
  const clockGrid = clock === null ? null : gridOf(clock, fromS, toS);
  if (clockGrid !== null && !isConstant(clockGrid)) {
    return dropsOf("cpu-clock", clockGrid, load, trimmed, slowerThanMs);
  }
  return powerGrid === null ? null : dropsOf("cpu-power", powerGrid, load, trimmed, slowerThanMs);
}

function dropsOf(
  sensor: PaceDrops["sensor"],
  grid: Float64Array,
  load: SensorSeries | null,
  trimmed: TrimmedFrames,
  slowerThanMs: number | null,
): PaceDrops | null {
  const { frameTimesMs, endsS, fromS, toS } = trimmed;
  const spanS = toS - fromS;
  const found = findDrops(grid, spanS / grid.length, leastDrop[sensor]);
  if (found === null || slowerThanMs === null) return null;
  const loadGrid = load === null ? null : gridSensor(load, fromS, toS, grid.length);
  const kept =
    loadGrid === null ? found.stretches : found.stretches.filter(keepsLoad(loadGrid, found.stretches));
  if (kept.length === 0) return null;
  const stretches = kept.map(({ start, end }) => [start / grid.length, end / grid.length] as const);
  const inside = insideOf(stretches, Math.min(mostCells, Math.floor(spanS / finestCellS)));
  const coincidence = slowFramesIn(frameTimesMs, endsS, { fromS, toS }, slowerThanMs, inside);
  if (coincidence === null) return null;
  return {
    sensor,
    belowPct: found.belowPct,
    timePct: 100 * stretches.reduce((sum, [from, to]) => sum + to - from, 0),
    isLoadKept: loadGrid === null ? null : true,
    ...coincidence,
    stretches,
  };
}

function keepsLoad(load: Float64Array, drops: readonly Drop[]): (drop: Drop) => boolean {
  const isInside = new Uint8Array(load.length);
  for (const { start, end } of drops) isInside.fill(1, start, end);
  // A drop falls from ordinary cells, so there are some.
  const outside = meanOf(load.filter((_, i) => isInside[i] === 0));
  return ({ start, end }) => meanOf(load.subarray(start, end)) >= keptLoad * outside;
}

/**
 * The stretches on a grid, and the cell on each side: two clocks agree no better than that. None begins in the first
 * cell, since there is nothing to fall from.
 */
function insideOf(stretches: readonly (readonly [number, number])[], cells: number): Uint8Array {
  const inside = new Uint8Array(cells);
  for (const [from, to] of stretches) {
    inside.fill(1, Math.floor(from * cells) - 1, Math.ceil(to * cells) + 1);
  }
  return inside;
}
