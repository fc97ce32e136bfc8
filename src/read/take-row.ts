import { fewRows } from "./column-shapes.ts";
import type { Dialect } from "./dialect.ts";
import type { FrameCollector, Reading } from "./frame-collector.ts";
import { type HeadColumn, isTruncatedCell } from "./head-columns.ts";
import { readNumber } from "./read-number.ts";
import type { Row } from "./split-rows.ts";
import { areNames, isNumberLike } from "./tell-cells.ts";

/** Decides row by row what is a frame, and why not; the same for every row of one log. */
export class RowGate {
  private readonly dialect: Dialect;
  private readonly last: HeadColumn;
  private readonly frameIndex: number;
  /** Columns beside the frame time that hold numbers in every row of values. */
  private readonly numbered: readonly number[];
  /** A first column of other numbers: a line under the table has its words there. */
  readonly leading: readonly number[];
  /** Columns of rows of their own between the frames. */
  private readonly between: readonly number[];
  /** Frame time and clock: cells that a row which ends in them may have cut off. */
  private readonly timing: readonly number[];
  /** Many rows have nothing in their last cell. */
  private readonly mayEndBlank: boolean;
  /** A number below this in the last cell of all lacks its last digits. */
  private readonly leastAtEnd: number;
  /**
   * A text column left of the frame time or clock: a delimiter inside it would push them aside. In one column nothing
   * is a delimiter: it would cut a number such as "1,972.28" to its thousands.
   */
  readonly canShift: boolean;

  constructor(dialect: Dialect, columns: readonly HeadColumn[], { frameTime, clock, counter }: Reading) {
    this.dialect = dialect;
    this.last = columns[dialect.width - 1] as HeadColumn;
    this.frameIndex = frameTime.index;
    const besides = [clock?.index, counter].filter((index) => index !== this.frameIndex);
    const isLeading = this.frameIndex !== 0 && !besides.includes(0) && isNumbers(columns[0] as HeadColumn);
    this.leading = isLeading ? [0] : [];
    this.numbered = columns
      .filter((column) => isNumbers(column) && [...besides, ...this.leading].includes(column.index))
      .map(({ index }) => index);
    this.between = columns
      .filter((column) => isBetweenFrames(column, columns[this.frameIndex] as HeadColumn))
      .map(({ index }) => index);
    this.timing = [this.frameIndex, clock?.index ?? this.frameIndex];
    const { index, shape, values, fewestDecimals } = this.last;
    this.mayEndBlank = shape.count < 0.9 * values.length;
    const isDuration = index === this.frameIndex && frameTime.how !== "steps";
    // Decimals that are all there tell that no digit is lost.
    const isTold = fewestDecimals === null && shape.count >= fewRows && this.timing.includes(index);
    // Without its last digits it is a tenth at most: of any before, or of a clock's last reading.
    this.leastAtEnd = isTold ? (isDuration ? shape.min : shape.max) / 5 : Number.NEGATIVE_INFINITY;
    this.canShift =
      dialect.width === 1 ||
      columns.slice(0, Math.max(...this.timing)).some(({ kind }) => kind === "text" || kind === "empty");
  }

  /** The row's cells if it may be a frame; null where `frames` has noted why it is none. */
  admit(row: Row, isOpen: boolean, frames: FrameCollector): readonly string[] | null {
    const { cells, line, text } = row;
    const { width, names, delimiter } = this.dialect;
    // Where blanks part the cells a blank one cannot be seen: those behind it would take each other's place.
    const isAligned = delimiter === " ";
    if (isOpen && (cells === null || this.isCutOff(cells, text))) {
      frames.skipRow("cut off", line, text);
    } else if (cells === null) {
      frames.skipRow("stray quote", line, text);
    } else if (names !== null && isHeaderAgain(row, cells, names)) {
      frames.startSegment();
      frames.skipRow("header repeated", line);
    } else if (names !== null && this.isOtherHeader(cells)) {
      frames.startOtherTable();
      frames.skipRow("words among the numbers", line, text, true);
    } else if (row.lines > 1 && cells.length !== width) {
      // Lines that a stray quote has run together.
      for (let i = 0; i < row.lines; i++) frames.skipRow("stray quote", line, text);
    } else if (
      cells.length <= this.frameIndex ||
      (isAligned && cells.length < width) ||
      this.endsInTiming(cells)
    ) {
      frames.skipRow("too few cells", line, text, true);
    } else if ((this.canShift || isAligned) && cells.slice(width).some((cell) => cell !== "")) {
      frames.skipRow("too many cells", line, text, isAligned);
    } else if (this.numbered.some((index) => isWord(cells[index] ?? ""))) {
      frames.skipRow("words among the numbers", line, text, true);
    } else {
      return cells;
    }
    return null;
  }

  /** Names of another table's columns: what stands under them are no frames of this one. */
  private isOtherHeader(cells: readonly string[]): boolean {
    return isWord(cells[this.frameIndex] ?? "") && areNames(cells);
  }

  /** Whether an admitted row holds the readings of slower sensors and no frame. */
  isReading(cells: readonly string[]): boolean {
    return cells[this.frameIndex] === "" && this.between.some((index) => (cells[index] ?? "") !== "");
  }

  /** Whether a row lacks its end, and what is its last cell now may lack some, too. */
  private endsInTiming({ length }: readonly string[]): boolean {
    return length < this.dialect.width && !this.dialect.mayEndShort && this.timing.includes(length - 1);
  }

  /** The file's last line has no line end, and lacks cells or digits that all others have. */
  private isCutOff(cells: readonly string[], text: string): boolean {
    const { width, decimalSign } = this.dialect;
    // biome-ignore lint/suspicious/noControlCharactersInRegex: a crash leaves them where the rest of a file should be
    if (cells.length < width || /\u0000/.test(text)) return true;
    const cell = cells[width - 1] as string;
    // A quote that is closed, or nothing where there mostly is nothing: the row is whole.
    if (text.endsWith('"') || (cell === "" && this.mayEndBlank)) return false;
    return (
      isTruncatedCell(cell, this.last.fewestDecimals, decimalSign) ||
      readNumber(cell, decimalSign) < this.leastAtEnd
    );
  }
}

function isNumbers({ kind, isSpans }: HeadColumn): boolean {
  return kind === "number" && !isSpans;
}

/** Filled in several rows, all of them without a frame time, while many others have one. */
function isBetweenFrames({ kind, values }: HeadColumn, frameTime: HeadColumn): boolean {
  if (kind !== "number" || frameTime.kind !== "number" || frameTime.shape.count < fewRows) return false;
  let readings = 0;
  for (const [row, value] of values.entries()) {
    if (Number.isNaN(value)) continue;
    if (!Number.isNaN(frameTime.values[row])) return false;
    readings++;
  }
  return readings >= 2;
}

/** Names that hold a delimiter, of one column or between blanks, are cut where they stand again. */
function isHeaderAgain({ text }: Row, cells: readonly string[], names: readonly string[]): boolean {
  if (!names.some((name) => /\p{L}/u.test(name))) return false;
  return (
    names.every((name, i) => name === cells[i]) || text.trim().split(/\s+/).join(" ") === names.join(" ")
  );
}

function isWord(cell: string): boolean {
  // Nearly every cell begins with a digit or a sign, all below "A", and ends so; "1% low" ends otherwise.
  const mayBe = cell.charCodeAt(0) > 64 || cell.charCodeAt(cell.length - 1) > 64;
  return mayBe && /\p{L}{3}/u.test(cell) && !isNumberLike(cell);
}
