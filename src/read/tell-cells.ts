import type { TextReading } from "./log.ts";
import { nameWords } from "./name-words.ts";
import { readMoment } from "./read-moment.ts";
import { isDigitAt, readNumber } from "./read-number.ts";
import { timeUnitOfWords, unitOfWords } from "./units.ts";
import { isClockName, weighDurationName, weighRateName } from "./weigh-words.ts";

/** A number by either decimal sign, a date or a time, or what stands where there is none. */
export function isNumberLike(cell: string): boolean {
  return isNumber(cell, ".") || isNumber(cell, ",") || readMoment(cell) !== null || isMissing(cell);
}

export function isNumber(cell: string, decimalSign: TextReading["decimalSign"]): boolean {
  return !Number.isNaN(readNumber(cell, decimalSign));
}

/** What programs print where they have no number. */
export function isMissing(cell: string): boolean {
  // All of them begin otherwise, and nearly every cell begins so.
  if (isDigitAt(cell, 0)) return false;
  // "#DIV/0!", "#N/A": what spreadsheets print.
  if (/^#\p{Lu}[\p{Lu}\d/]{0,8}[!?]?$/u.test(cell)) return true;
  const said = /^(?:nan|n\/?a|null|none|-+|[-+]?inf|infinity|\?)(?:\s+(\S{1,12}))?$/i.exec(cell);
  return said !== null && (said[1] === undefined || unitOfWords(said[1]) !== null);
}

/** Prose has lines and commas too; a header names a time or a rate, and is no sentence. */
export function isNameOfTime(cell: string): boolean {
  const words = nameWords(cell);
  if (/[.!?]$/.test(cell)) return false;
  return (
    weighDurationName(words, timeUnitOfWords(words) !== null).weight >= 1 ||
    isClockName(words) ||
    weighRateName(words).isRate
  );
}

/** Names of several columns, some of them of a time or a rate. */
export function areNames(cells: readonly string[]): boolean {
  const filled = cells.filter((cell) => cell !== "");
  return (
    filled.length >= 2 &&
    filled.every((cell) => /\p{L}/u.test(cell) && !isNumberLike(cell)) &&
    filled.some((cell) => isNameOfTime(cell))
  );
}

/** A line of notes, cut at its commas, rather than names: "Scene: the harbour, at night". */
export function isProse(cells: readonly string[]): boolean {
  if (cells.some(isLabelled)) return true;
  return cells.some((cell) => cell.split(/\s+/).length > 3) && !cells.some((cell) => isNameOfTime(cell));
}

/** "Scene: the harbour". */
export function isLabelled(cell: string): boolean {
  return /:(?:\s|$)/.test(cell);
}

/** Units and blanks, in brackets or not. */
export function isRowOfUnits(cells: readonly string[]): boolean {
  return cells.every((cell) => /^[[(]?[-#]?[\])]?$/.test(cell) || unitOfWords(cell) !== null);
}
