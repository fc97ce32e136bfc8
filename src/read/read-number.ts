import type { TextReading } from "./log.ts";

type DecimalSign = TextReading["decimalSign"];

/** No program prints a number with a unit or parted thousands in more characters. */
const longestNumber = 64;
/** Digits with a decimal point and perhaps an exponent, nothing else: what most cells are. */
const plainNumber = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
/** Groups of three digits parted by commas, points, apostrophes or spaces. */
const groupedByComma = /^[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?(?:[eE][+-]?\d+)?$/;
const groupedByPoint = /^[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?(?:[eE][+-]?\d+)?$/;
const groupedBySpace = /^[+-]?\d{1,3}(?:[ '\u00a0\u202f\u2009]\d{3})+(?:[.,]\d*)?$/;
/** Units that stand behind numbers in cells, as a pattern without regard to case. */
export const cellUnits =
  "(?:[nuµμm]?s(?:ecs?)?|(?:nano|micro|milli)?seconds?|fps|[kmg]?hz|m?w|watts?|%|°?[cf]|rpm|m?v|j|[mg]i?b)";
/** A number with a known unit behind it, such as "16.7 ms" or "45%"; other words make a cell text. */
const withUnit = new RegExp(`^([+-]?(?:\\d[\\d.,]*)?\\d(?:[eE][+-]?\\d+)?)\\s*(${cellUnits})$`, "i");

/**
 * The number in a cell, NaN where it holds none.
 *
 * A decimal point is read in every log, since programs that print commas in one column print points in the next; a
 * comma is the decimal sign where `decimalSign` says so and parts thousands otherwise (it can only be there inside
 * quotes, as the delimiter would have cut it). A unit behind the number is
 * ignored here; see `readCellUnit`. "NaN", "inf" and hexadecimal are not numbers.
 */
export function readNumber(cell: string, decimalSign: DecimalSign): number {
  const usual = readPlainDigits(cell);
  if (!Number.isNaN(usual)) return usual;
  if (plainNumber.test(cell)) return Number(cell);
  if (cell.length > longestNumber) return Number.NaN;
  const unit = withUnit.exec(cell);
  const text = unit?.[1] ?? cell;
  if (unit !== null && plainNumber.test(text)) return Number(text);
  if (decimalSign === ",") {
    if (groupedByPoint.test(text)) return Number(text.replaceAll(".", "").replace(",", "."));
    if (groupedBySpace.test(text))
      return Number(text.replace(/[ '\u00a0\u202f\u2009]/g, "").replace(",", "."));
    const pointed = text.replace(",", ".");
    return plainNumber.test(pointed) ? Number(pointed) : Number.NaN;
  }
  if (groupedByComma.test(text)) return Number(text.replaceAll(",", ""));
  if (groupedBySpace.test(text)) return Number(text.replace(/[ '\u00a0\u202f\u2009]/g, "").replace(",", "."));
  return Number.NaN;
}

/** The unit printed behind the number in a cell, "" where there is none. */
export function readCellUnit(cell: string): string {
  // Units end in a letter or "%".
  if (cell.length > longestNumber || isDigitAt(cell, cell.length - 1)) return "";
  return withUnit.exec(cell)?.[2] ?? "";
}

/** Digits after the decimal sign; 0 for whole numbers and for what is no number. */
export function decimalsOf(cell: string, decimalSign: DecimalSign): number {
  // Most cells end in their decimals.
  let end = cell.length - 1;
  while (isDigitAt(cell, end)) end--;
  if (cell[end] === decimalSign) return cell.length - 1 - end;
  const at = cell.lastIndexOf(decimalSign);
  const point = at < 0 && decimalSign === "," ? cell.lastIndexOf(".") : at;
  if (point < 0) return 0;
  let digits = 0;
  while (isDigitAt(cell, point + 1 + digits)) digits++;
  return digits;
}

/** False beyond the cell's end as well. */
export function isDigitAt(cell: string, at: number): boolean {
  const code = cell.charCodeAt(at);
  return code >= 0x30 && code <= 0x39;
}

/** So many digits are an integer below 2 to the 53, and powers of ten to 22 are doubles exactly. */
const exactDigits = 15;
const powersOfTen = Float64Array.from({ length: exactDigits + 1 }, (_, i) => Number(`1e${i}`));

/**
 * The commonest cells, "16" or "16.67" of at most 15 digits, without a pattern: a head holds thousands of cells.
 * One division of exact operands is the nearest double (Clinger 1990, How to read floating point numbers accurately).
 * @returns NaN for any other cell, numbers among them
 */
export function readPlainDigits(cell: string): number {
  const length = cell.length;
  if (length === 0 || length > exactDigits + 1) return Number.NaN;
  let digits = 0;
  let point = -1;
  for (let i = 0; i < length; i++) {
    const code = cell.charCodeAt(i);
    if (code >= 0x30 && code <= 0x39) digits = digits * 10 + (code - 0x30);
    else if (code === 0x2e && point < 0 && i > 0) point = i;
    else return Number.NaN;
  }
  if (point < 0) return length > exactDigits ? Number.NaN : digits;
  return digits / (powersOfTen[length - 1 - point] as number);
}
