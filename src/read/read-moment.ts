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
  /^(\d{4})(?:[-/](0?[1-9]|1[0-2])[-/](0?[1-9]|[12]\d|3[01])|(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01]))[T ]([01]?\d|2[0-4]):([0-5]\d)(?::(\d{2})(?:[.,](\d{1,12}))?)?(\s?(?:Z|UTC|[+-]\d{2}:?\d{2})?)$/i;
/** "20260314T201500.020Z". */
const basic =
  /^(\d{4})()()(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])T([01]\d|2[0-4])([0-5]\d)(\d{2})(?:[.,](\d{1,12}))?(Z|[+-]\d{2}:?\d{2})?$/;
const timeOfDay =
  /^((?:\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{1,2}[ .-]\p{L}{3,9}\.?[ -]\d{2,4}|\p{L}{3,9}\.? \d{1,2},? \d{4})(?:,? |[T_-]))?(\d{1,3}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,12}))?(\s?(?:AM|PM)?)$/iu;

/** The parts of a moment's cell. */
interface Printed {
  /** Start of the day (UTC) since 1970; null where the date is not known. */
  readonly dayS: number | null;
  readonly hours: string;
  readonly minutes: string;
  /** Undefined where the minute is all that is printed. */
  readonly seconds: string | undefined;
  readonly decimals: string;
  /** Zone or half of the day, with the blank before it. */
  readonly suffix: string;
}

/**
 * Reads ISO 8601 date-times (RFC 3339, with a blank for the T if need be) and times of day or since the start such
 * as "21:05:01.123" and "01:23.456". Dates in other orders are left out, their time of day is read.
 */
export function readMoment(cell: string): Moment | null {
  // Most cells are numbers: no colon, no moment, but in the basic form of ISO 8601.
  if (!cell.includes(":") && cell.charCodeAt(8) !== 0x54) return null;
  const printed = takeApart(cell);
  if (printed === null) return null;
  const { dayS, hours, minutes, seconds, decimals, suffix } = printed;
  const end = suffix.trim().toUpperCase();
  let wholeS = Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds ?? 0);
  if (dayS !== null) wholeS += dayS - zoneSeconds(end);
  else if (end !== "") wholeS = (wholeS % 43_200) + (end === "PM" ? 43_200 : 0);
  return { wholeS, fractionS: Number(`0.${decimals}`), decimals: decimals.length, dated: dayS !== null };
}

function takeApart(cell: string): Printed | null {
  const d = dated.exec(cell) ?? basic.exec(cell);
  if (d !== null) {
    const [, year, month, day, monthInOne, dayInOne, hours = "", minutes = "", ...rest] = d;
    const [seconds, decimals = "", suffix = ""] = rest;
    const dayS = Date.UTC(Number(year), Number(month || monthInOne) - 1, Number(day || dayInOne)) / 1000;
    return { dayS, hours, minutes, seconds, decimals, suffix };
  }
  const t = timeOfDay.exec(cell);
  if (t === null) return null;
  const [, date, first = "", second = "", third, decimals = "", suffix = ""] = t;
  const others = { dayS: null, decimals, suffix };
  // Two parts are minutes and seconds, but beside a date or a half of the day hours and minutes.
  return third === undefined && date === undefined && suffix.trim() === ""
    ? { ...others, hours: "0", minutes: first, seconds: second }
    : { ...others, hours: first, minutes: second, seconds: third };
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
  const printed = takeApart(cell);
  if (printed?.seconds === undefined || Number(printed.seconds) > 59) return null;
  const { seconds, decimals, suffix } = printed;
  const fraction = decimals === "" ? 0 : decimals.length + 1;
  const secondsAt = cell.length - suffix.length - fraction - seconds.length;
  return { prefix: cell.slice(0, secondsAt), suffix, seconds: Number(seconds) };
}

/** @param zone "", "Z", "UTC", "+01:00" or "+0100" */
function zoneSeconds(zone: string): number {
  const sign = zone.startsWith("-") ? -1 : 1;
  return /\d/.test(zone) ? sign * (Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(-2)) * 60) : 0;
}
