/** A point in time as printed in a cell. */
export interface Moment {
  /** Whole seconds: since 1970 where the date is known, else since midnight or since the start. */
  readonly wholeS: number;
  /** In [0, 1). */
  readonly fractionS: number;
  /** Digits of the fraction as printed. */
  readonly decimals: number;
  /** The date is known (a time without a zone is taken for UTC). */
  readonly dated: boolean;
}

const dated =
  /^(\d{4})[-/](\d{1,2})[-/](\d{1,2})[T ](\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,12}))?)?\s?(Z|UTC|[+-]\d{2}:?\d{2})?$/i;
const timeOfDay =
  /^(?:\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}[T ])?(\d{1,3}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,12}))?\s?(AM|PM)?$/i;

/**
 * Reads ISO 8601 date-times (RFC 3339, with a blank for the T if need be) and times of day or since the start such
 * as "21:05:01.123" and "01:23.456". Dates in other orders are left out, their time of day is read.
 */
export function readMoment(cell: string): Moment | null {
  // Most cells are numbers: no colon, no moment.
  if (!cell.includes(":")) return null;
  const d = dated.exec(cell);
  if (d !== null) {
    const day = Date.UTC(Number(d[1]), Number(d[2]) - 1, Number(d[3]));
    if (Number.isNaN(day) || Number(d[4]) > 24 || Number(d[5]) > 59) return null;
    const wholeS =
      day / 1000 + Number(d[4]) * 3600 + Number(d[5]) * 60 + Number(d[6] ?? 0) - zoneSeconds(d[8]);
    return { wholeS, ...fraction(d[7]), dated: true };
  }
  const t = timeOfDay.exec(cell);
  if (t === null) return null;
  const parts = [Number(t[1]), Number(t[2])];
  if (t[3] !== undefined) parts.push(Number(t[3]));
  let wholeS = parts.reduce((sum, part) => sum * 60 + part, 0);
  if (t[5] !== undefined) wholeS = (wholeS % 43_200) + (t[5].toUpperCase() === "PM" ? 43_200 : 0);
  return { wholeS, ...fraction(t[4]), dated: false };
}

/** How the cells of one minute are printed, but for seconds and their fraction. */
export interface MinuteForm {
  /** Characters before the two digits of the seconds. */
  readonly prefix: string;
  /** Characters behind the seconds and their fraction. */
  readonly suffix: string;
}

/** The form of a moment's minute and its seconds; null where the cell is no moment, prints none, or is not all ASCII. */
export function minuteForm(cell: string): (MinuteForm & { readonly seconds: number }) | null {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: all of ASCII
  if (!/^[\u0000-\u007f]{1,48}$/.test(cell)) return null;
  const d = dated.exec(cell);
  const t = d === null ? timeOfDay.exec(cell) : null;
  const seconds = d === null ? (t?.[3] ?? t?.[2]) : d[6];
  if (seconds === undefined || Number(seconds) > 59) return null;
  const before = cell.slice(0, cell.length - (d?.[8] ?? t?.[5] ?? "").length).trimEnd();
  const decimals = d === null ? t?.[4] : d[7];
  const secondsAt = before.length - (decimals === undefined ? 0 : decimals.length + 1) - seconds.length;
  return { prefix: cell.slice(0, secondsAt), suffix: cell.slice(before.length), seconds: Number(seconds) };
}

function fraction(digits: string | undefined): { fractionS: number; decimals: number } {
  return digits === undefined
    ? { fractionS: 0, decimals: 0 }
    : { fractionS: Number(`0.${digits}`), decimals: digits.length };
}

function zoneSeconds(zone: string | undefined): number {
  if (zone === undefined || !/\d/.test(zone)) return 0;
  const sign = zone.startsWith("-") ? -1 : 1;
  return sign * (Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(-2)) * 60);
}
