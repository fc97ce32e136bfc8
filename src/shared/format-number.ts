/**
 * The only place that rounds a figure for people. Fixed rules, no locale: a point is the decimal sign and digits
 * are not grouped, so that a figure can be compared and searched.
 */

/** A figure with as many decimals as it deserves: 0.123, 6.54, 54.3, 543. */
export function formatFigure(value: number): string {
  const size = Math.abs(value);
  const decimals = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : 3;
  return fixed(value, decimals);
}

/** A figure as somebody gave it, without decimals that nobody said: 60, 59.94. */
export function formatGiven(value: number): string {
  return String(Number(fixed(value, 2)));
}

/** Frames per second on a display that moves: whole, since nobody can read a last digit that flickers. */
export function formatMovingFps(fps: number): string {
  return fixed(fps, fps < 9.95 ? 1 : 0);
}

/**
 * A change in percent with its sign: "+2.1%", "-12%", "0.0%".
 * @param interval its interval, of which it then never lies outside as they are shown: "-26.6%" in -26.7 to -26.5%
 */
export function formatChange(
  pct: number,
  interval: { readonly lowPct?: number | null; readonly highPct?: number | null } = {},
): string {
  const { lowPct = null, highPct = null } = interval;
  const isNarrow = lowPct !== null && highPct !== null && decimalsOf(lowPct, highPct) === 1;
  return `${signed(pct, Math.abs(pct) >= 9.95 && !isNarrow ? 0 : 1)}%`;
}

/** An interval in percent, both ends with the decimals of the wider one: "-3.1 to +0.4%". */
export function formatInterval(lowPct: number, highPct: number): string {
  const decimals = decimalsOf(lowPct, highPct);
  return `${signed(lowPct, decimals)} to ${signed(highPct, decimals)}%`;
}

/** From ten on whole percents, unless both ends would be the same one. */
function decimalsOf(lowPct: number, highPct: number): number {
  const isWide = Math.max(Math.abs(lowPct), Math.abs(highPct)) >= 9.95;
  return isWide && fixed(lowPct, 0) !== fixed(highPct, 0) ? 0 : 1;
}

/** A percent without sign: "3%", "2.9%". */
export function formatPct(pct: number): string {
  return `${String(Number(fixed(pct, Math.abs(pct) >= 9.95 ? 0 : 1)))}%`;
}

/** A time in minutes, whole ones from ten on, rounded up: "2.5 min", "45 min", "3 h", "3 h 20 min". */
export function formatMinutes(minutes: number): string {
  if (minutes < 9.95) return `${Number(fixed(minutes, 1))} min`;
  // Sums of tenths are a little off.
  const whole = Math.ceil(minutes - 1e-9);
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/** A probability: "0.03", "below 0.001". */
export function formatP(p: number): string {
  if (p < 0.001) return "below 0.001";
  return p < 0.0995 ? Number(p.toPrecision(1)).toString() : fixed(p, 2);
}

/** A count of whole things with thousands apart by a comma: "12,345". */
export function formatCount(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ",");
}

function signed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return Number(text) > 0 ? `+${text}` : text;
}

function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  // "-0.0" would claim a direction that the rounding took away.
  return Number(text) === 0 ? text.replace("-", "") : text;
}
