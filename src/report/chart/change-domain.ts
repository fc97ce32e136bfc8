import type { IntervalRow } from "./interval-rows.ts";

/**
 * The stretch of percent that shows every estimate and every interval of a settled verdict, and twice as much of the
 * intervals of what cannot be told, which would otherwise squeeze all the rest.
 */
export function changeDomain(rows: readonly IntervalRow[], mattersPct: number): [number, number] {
  const lanes = rows.flatMap((row) => row.lanes);
  const settled = lanes.filter(({ verdict }) => verdict !== "unclear");
  const must = [
    -1.4 * mattersPct,
    1.4 * mattersPct,
    ...lanes.map(({ changePct }) => changePct),
    ...settled.flatMap(({ lowPct, highPct }) => [lowPct ?? 0, highPct ?? 0]),
  ];
  const [least, most] = [Math.min(...must), Math.max(...must)];
  const room = most - least;
  const open = lanes.flatMap(({ lowPct, highPct }) => [lowPct ?? 0, highPct ?? 0]);
  const low = Math.max(Math.min(least, ...open), least - room);
  const high = Math.min(Math.max(most, ...open), most + room);
  const edge = 0.03 * (high - low);
  return [low - edge, high + edge];
}
