/** Everything is done on natural logs, because noise and effects are percentages; null stays null. */
export function logOf(value: number | null): number | null {
  return value !== null && Number.isFinite(value) && value > 0 ? Math.log(value) : null;
}

/** A difference of natural logs as the change that people read, in percent; null stays null. */
export function pctOfLog(log: number): number;
export function pctOfLog(log: number | null): number | null;
export function pctOfLog(log: number | null): number | null {
  return log === null ? null : 100 * Math.expm1(log);
}
