import type { TextReading } from "./log.ts";
import { type MinuteForm, minuteForm, readMoment } from "./read-moment.ts";
import { readNumber } from "./read-number.ts";

/** What whoever reads a clock's cells as bytes needs to know. */
export type ClockForm =
  /** Numbers: what is to be taken off each. */
  | { readonly base: bigint }
  /** Moments of one minute: how they are printed, and the reading of its second 0. */
  | (MinuteForm & { readonly minuteS: number });

const dayS = 86_400;
/** Longer cells may hold more digits than a double tells apart: ten of a date in seconds, a point and four more. */
const longestAsDouble = 14;

/**
 * Reads the cells of one clock column in the log's order, relative to the whole part of the first reading: a time
 * since 1970 in nanoseconds has more digits than a double holds, the differences have not.
 */
export class ClockReader {
  private readonly decimalSign: TextReading["decimalSign"];
  private readonly moments: boolean;
  private exactBase: bigint | null = null;
  private addedS = 0;
  private last = Number.NaN;
  /** The last moment read: its cell, and its reading without the fraction. */
  private lastMoment: { readonly cell: string; readonly wholeS: number } | null = null;
  private minute: ClockForm | null = null;
  /** What was taken off every reading, in the column's unit (seconds for dates and times of day); null before the first. */
  base: number | null = null;
  /** Every reading so far carried its date. */
  dated = true;

  /** @param moments the column holds dates or times of day rather than numbers */
  constructor(moments: boolean, decimalSign: TextReading["decimalSign"]) {
    this.moments = moments;
    this.decimalSign = decimalSign;
  }

  /**
   * The reading less `base`, NaN where the cell holds none.
   * @param known the number in the cell, where it was read already
   */
  read(cell: string, known?: number): number {
    return this.moments ? this.readMomentCell(cell) : this.readNumberCell(cell, known);
  }

  /**
   * Whether numbers must be read from their cells: else they are the readings themselves, from the base 0.
   * @param longest characters of the longest cell
   * @param values the numbers in the cells, NaN where there is none
   */
  needsCells(longest: number, values: Float64Array): boolean {
    const first = values.find((value) => Number.isFinite(value)) ?? 0;
    return this.moments || longest > longestAsDouble || Math.abs(first) >= 1e9;
  }

  /**
   * How the next cells can be read by others: numbers of any size, moments of the minute of the last one read here.
   * Null where they cannot: before the first reading, and where it has no such form.
   */
  get form(): ClockForm | null {
    if (this.moments) return this.minuteOfLast();
    if (this.base === null) return null;
    const base = this.exactBase ?? BigInt(this.base);
    return BigInt.asIntN(64, base) === base ? { base } : null;
  }

  /** Others have read cells by `form`, the last one as this. */
  passOver(reading: number): void {
    this.last = reading;
  }

  private minuteOfLast(): ClockForm | null {
    if (this.lastMoment === null) return this.minute;
    const { cell, wholeS } = this.lastMoment;
    const form = minuteForm(cell);
    this.lastMoment = null;
    this.minute = form === null ? null : { ...form, minuteS: wholeS - form.seconds };
    return this.minute;
  }

  private readMomentCell(cell: string): number {
    const moment = readMoment(cell);
    if (moment === null) return Number.NaN;
    this.dated &&= moment.dated;
    this.base ??= moment.wholeS;
    if (!moment.dated) {
      const fallS = this.last - (moment.wholeS - this.base + this.addedS + moment.fractionS);
      // Half a day back is the next day; as far ahead after that, a clock that went back over midnight by a little.
      if (fallS > dayS / 2) this.addedS += dayS;
      else if (fallS < -dayS / 2 && this.addedS > 0) this.addedS -= dayS;
    }
    const wholeS = moment.wholeS - this.base + this.addedS;
    this.last = wholeS + moment.fractionS;
    this.lastMoment = { cell, wholeS };
    return this.last;
  }

  private readNumberCell(cell: string, known?: number): number {
    const isLong = cell.length > longestAsDouble;
    const digits = isLong ? /^\s*\+?(\d{10,40})(?:[.,](\d{0,20}))?\s*$/.exec(cell) : null;
    if (digits !== null && (digits[2] === undefined || cell.includes(this.decimalSign))) {
      const whole = BigInt(digits[1] ?? "0");
      this.exactBase ??= this.base === null ? whole : BigInt(this.base);
      this.base ??= Number(this.exactBase);
      return Number(whole - this.exactBase) + Number(`0.${digits[2] ?? "0"}`);
    }
    const value = known ?? readNumber(cell, this.decimalSign);
    if (!Number.isFinite(value)) return Number.NaN;
    if (this.base === null) {
      this.base = Math.abs(value) >= 1e9 ? Math.trunc(value) : 0;
    }
    return value - this.base;
  }
}
