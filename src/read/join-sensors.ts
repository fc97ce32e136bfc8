import type { LogFinding, Place, Problem } from "../shared/problem.ts";
import { ColumnNotes } from "./column-notes.ts";
import { epochUnit, findClocks } from "./column-shapes.ts";
import { decodeText, NotUtf8Error, SourceError } from "./decode-text.ts";
import { detectDialect } from "./detect-dialect.ts";
import { columnLabel } from "./find-column.ts";
import { GrowingNumbers } from "./growing-numbers.ts";
import { type HeadColumn, readHeadColumns } from "./head-columns.ts";
import { HeardFrames } from "./heard-frames.ts";
import type {
  ByteSource,
  ColumnReading,
  LogSettings,
  SensorLogReading,
  SensorSeries,
  TextReading,
} from "./log.ts";
import { LogTooLongError } from "./log-limits.ts";
import { markBlanks, markSilence } from "./mark-silence.ts";
import { ClockReader } from "./read-clock.ts";
import { readNumber } from "./read-number.ts";
import { recogniseSensors, type SensorChoice, type SensorRecognition } from "./recognise-sensors.ts";
import { mostRows, type PlainRows } from "./scan-rows.ts";
import { LineTooLongError, splitLines } from "./split-lines.ts";
import { RowSplitter } from "./split-rows.ts";
import { unitSeconds } from "./units.ts";

/** Where the frames' own time lies on the log's clock. */
export interface ClockZero {
  /** Clock reading, in seconds, at the start of the first frame; null without a clock. */
  readonly atS: number | null;
  /** The same as seconds since 1970, where the log carries the date. */
  readonly wallS: number | null;
  /** From the start of the first frame to the end of the last. */
  readonly spanS: number;
}

/** What one sensor says, where it changes. */
interface Readings {
  readonly choice: SensorChoice;
  readonly frames: GrowingNumbers;
  readonly values: GrowingNumbers;
  last: number;
  /** What its one column held in the last row that was parsed; NaN for blank. */
  lastPrinted: number;
  readonly heard: HeardFrames;
}

/** Collects sensor columns of the log itself, one value per frame at most. */
export class SensorCollector {
  private readonly columns: readonly HeadColumn[];
  private readonly recognition: SensorRecognition;
  private readonly decimalSign: TextReading["decimalSign"];
  private readonly readings: Readings[];

  /**
   * @param taken columns that have another role already
   * @param expectedRows about how many rows will come; 0 where nobody knows
   */
  constructor(
    columns: readonly HeadColumn[],
    taken: ReadonlySet<number>,
    settings: LogSettings,
    decimalSign: TextReading["decimalSign"],
    expectedRows = 0,
  ) {
    this.columns = columns;
    this.recognition = recogniseSensors(columns, taken, settings.sensors);
    this.decimalSign = decimalSign;
    this.readings = this.recognition.sensors.map((choice) => {
      const expected = expectedReadings(choice, columns, expectedRows);
      return {
        choice,
        frames: new GrowingNumbers(expected),
        values: new GrowingNumbers(expected),
        last: Number.NaN,
        lastPrinted: Number.NaN,
        heard: new HeardFrames(),
      };
    });
  }

  /** A row that gave the frame with this index. A value holds until it changes, so only changes are kept. */
  addRow(cells: readonly string[], frame: number): void {
    for (const reading of this.readings) {
      reading.lastPrinted = Number.NaN;
      addReading(reading, readSensor(reading.choice, cells, this.decimalSign), frame);
    }
  }

  /** Columns that hold the sensors' readings, from 0. */
  get indices(): readonly number[] {
    return this.recognition.sensors.flatMap((sensor) => sensor.indices);
  }

  /**
   * Like `addRow` for rows that were parsed already and gave a frame each.
   * @param rows with NaN where a cell was blank
   * @param slots place of each column among the values
   * @param firstFrame index of the first row's frame
   */
  addParsed(rows: PlainRows, count: number, slots: Int32Array, firstFrame: number): void {
    for (const reading of this.readings) {
      const columns = reading.choice.indices.map((index) => rows[slots[index] as number] as Float64Array);
      const [only] = columns;
      if (columns.length === 1 && only !== undefined) addPrinted(reading, only, count, firstFrame);
      else {
        for (let i = 0; i < count; i++) {
          addReading(reading, meanOfRow(reading.choice, columns, i), firstFrame + i);
        }
      }
    }
  }

  /** The columns' roles, with those of the sensors added. */
  describe(columns: readonly ColumnReading[]): ColumnReading[] {
    return describeSensors(columns, this.recognition.sensors);
  }

  problems(at: Place): Problem[] {
    return unclearProblems(this.recognition, this.columns, at);
  }

  /**
   * The readings on the frames' own time; each holds from the start of its frame. To be called once: the times take
   * the place of the frames' numbers, as a log may have a reading per frame and sensor.
   * @param frameEndsS end of each frame of the stretch, seconds from the start of the first; null for running sums
   * @param from index of the stretch's first frame
   */
  series(frameTimesMs: Float64Array, frameEndsS: Float64Array | null, from: number): SensorSeries[] {
    const n = frameTimesMs.length;
    return this.readings.flatMap(({ choice, frames, values, heard }) => {
      const count = frames.length;
      frames.push(0);
      values.push(0);
      const atS = frames.view();
      const kept = values.view();
      let first = 0;
      // The value from before the stretch still holds in its first frame.
      while (first + 1 < count && (atS[first + 1] ?? 0) <= from) first++;
      const stop = firstFrom(atS.subarray(0, count), from + n);
      if (stop <= first) return [];
      // The last value still holds in the last frame: without this a steady sensor would seem to have stopped.
      atS[stop] = from + n - 1;
      toStarts(atS.subarray(first, stop + 1), from, frameTimesMs, frameEndsS);
      kept[stop] = kept[stop - 1] ?? 0;
      return [
        {
          role: choice.role,
          unit: choice.unit,
          column: namesOf(choice, this.columns),
          ...markBlanks(
            { atS: atS.subarray(first, stop + 1), values: kept.subarray(first, stop + 1) },
            heard.silences(startsOf(frameTimesMs, frameEndsS), from, n),
          ),
        },
      ];
    });
  }
}

/** The first of rising numbers that is `least` or more. */
function firstFrom(rising: Float64Array, least: number): number {
  let [low, high] = [0, rising.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rising[middle] as number) < least) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Puts in the place of each frame's number, which rise, when it began: seconds from the start of the stretch. */
function toStarts(
  frames: Float64Array,
  from: number,
  frameTimesMs: Float64Array,
  frameEndsS: Float64Array | null,
): void {
  let startMs = 0;
  let next = 0;
  for (let i = 0; i < frames.length; i++) {
    const frame = Math.max(0, (frames[i] as number) - from);
    // Whole numbers are found faster.
    if (frameEndsS !== null) frames[i] = frame === 0 ? 0 : (frameEndsS[(frame - 1) | 0] as number);
    else {
      startMs = sumOn(startMs, frameTimesMs, next, frame);
      next = frame;
      frames[i] = startMs / 1000;
    }
  }
}

/** When a frame began, seconds from the start of the first; to be asked for in the order of the frames. */
function startsOf(frameTimesMs: Float64Array, frameEndsS: Float64Array | null): (frame: number) => number {
  if (frameEndsS !== null) return (frame) => (frame === 0 ? 0 : (frameEndsS[frame - 1] as number));
  let startMs = 0;
  let next = 0;
  return (frame) => {
    startMs = sumOn(startMs, frameTimesMs, next, frame);
    next = frame;
    return startMs / 1000;
  };
}

/**
 * Goes on with a sum, frame by frame: the same moment comes out whatever frames were asked for before it, to the last
 * digit. Of its own, so that it is compiled once for all logs.
 */
function sumOn(sumMs: number, frameTimesMs: Float64Array, from: number, to: number): number {
  let sum = sumMs;
  for (let i = from; i < to; i++) sum += frameTimesMs[i] as number;
  return sum;
}

function unclearProblems(
  { unclear }: SensorRecognition,
  columns: readonly HeadColumn[],
  at: Place,
): Problem[] {
  return unclear.map(({ role, indices }) => ({
    code: "sensor-unclear",
    severity: "note",
    at,
    role,
    columns: columns.filter(({ index }) => indices.includes(index)).map(columnLabel),
  }));
}

/** About how often it will say something else than in the row before, going by the head; and room for some rows more. */
function expectedReadings({ indices }: SensorChoice, columns: readonly HeadColumn[], rows: number): number {
  const own = columns.filter(({ index }) => indices.includes(index));
  const changing = own.reduce((sum, { shape }) => sum + shape.risingShare + shape.fallingShare, 0);
  return rows * Math.min(1, changing) + mostRows;
}

function namesOf({ indices }: SensorChoice, columns: readonly HeadColumn[]): string {
  return columns
    .filter(({ index }) => indices.includes(index))
    .map(columnLabel)
    .join(", ");
}

/** The sensor's value in its role's unit; the mean of the cores that print one; NaN, 0 / 0, where none does. */
function readSensor(
  { indices, scale, offset }: SensorChoice,
  cells: readonly string[],
  decimalSign: TextReading["decimalSign"],
): number {
  let sum = 0;
  let count = 0;
  for (const index of indices) {
    const value = readNumber(cells[index] ?? "", decimalSign);
    if (!Number.isFinite(value)) continue;
    sum += value;
    count++;
  }
  return (sum / count) * scale + offset;
}

/** The same of cells that were parsed already. */
function meanOfRow({ scale, offset }: SensorChoice, columns: readonly Float64Array[], row: number): number {
  let sum = 0;
  let count = 0;
  for (const values of columns) {
    const value = values[row] as number;
    if (!Number.isFinite(value)) continue;
    sum += value;
    count++;
  }
  return (sum / count) * scale + offset;
}

/** One column: nearly always it prints what it printed in the row before. */
function addPrinted(reading: Readings, values: Float64Array, count: number, firstFrame: number): void {
  const { heard, choice } = reading;
  const { scale, offset } = choice;
  const frames = reading.frames.room(count);
  const kept = reading.values.room(count);
  let { last, lastPrinted: printed } = reading;
  let added = 0;
  for (let i = 0; i < count; i++) {
    const value = values[i] as number;
    if (value === printed) continue;
    const isHeard = Number.isFinite(printed);
    printed = value;
    // Digits may say more than a double holds.
    if (!Number.isFinite(value)) {
      if (isHeard) heard.upTo(firstFrame + i - 1);
      continue;
    }
    if (!isHeard) heard.at(firstFrame + i);
    const now = value * scale + offset;
    if (now === last) continue;
    frames[added] = firstFrame + i;
    kept[added++] = now;
    last = now;
  }
  reading.frames.length += added;
  reading.values.length += added;
  if (Number.isFinite(printed)) heard.upTo(firstFrame + count - 1);
  reading.lastPrinted = printed;
  reading.last = last;
}

function addReading(reading: Readings, value: number, frame: number): void {
  if (Number.isNaN(value)) return;
  reading.heard.at(frame);
  if (value === reading.last) return;
  reading.frames.push(frame);
  reading.values.push(value);
  reading.last = value;
}

/** What a second, slower log beside the frames' log says. */
export interface SensorLog {
  readonly series: readonly SensorSeries[];
  readonly problems: readonly Problem[];
  /** null where it cannot be used. */
  readonly reading: SensorLogReading | null;
}

/**
 * Reads a sensor log and puts it on the frames' own time: by the date where both carry it, else by the elapsed time
 * that both count, else both are taken to begin together, which is said. Never throws for what the bytes hold.
 * @param force decode as this whatever the bytes say
 */
export async function joinSensorLog(
  source: ByteSource,
  settings: LogSettings,
  zero: ClockZero,
  force?: TextReading["encoding"],
): Promise<SensorLog> {
  const unusable = (why: string): SensorLog => ({
    series: [],
    problems: [{ code: "sensor-log-unusable", severity: "warning", at: { file: source.file }, why }],
    reading: null,
  });
  try {
    return await joinAs(source, settings, zero, force);
  } catch (error) {
    if (error instanceof NotUtf8Error) return joinSensorLog(source, settings, zero, "latin-1");
    if (error instanceof SourceError) return unusable(`it cannot be read (${error.why})`);
    if (error instanceof LineTooLongError) {
      return unusable(`line ${error.line} is too long for a row of a table`);
    }
    if (error instanceof LogTooLongError) return unusable("it is longer than any capture");
    throw error;
  }
}

const headLines = 500;

async function joinAs(
  source: ByteSource,
  settings: LogSettings,
  zero: ClockZero,
  force: TextReading["encoding"] | undefined,
): Promise<SensorLog> {
  const at = { file: source.file };
  const refuse = (why: string): SensorLog => ({
    series: [],
    problems: [{ code: "sensor-log-unusable", severity: "warning", at, why }],
    reading: null,
  });
  const decoded = await decodeText(source, force);
  const batches = splitLines(decoded.chunks);
  try {
    const head: string[] = [];
    let ended = false;
    while (head.length < headLines && !ended) {
      const next = await batches.next();
      if (next.done) ended = true;
      else for (const line of next.value.lines) head.push(line);
    }
    const dialect = detectDialect(head);
    if ("why" in dialect) return refuse("it holds no table of numbers");
    const columns = readHeadColumns(dialect, dialect.rows);
    const clock = chooseClock(findClocks(columns), zero);
    const recognition = recogniseSensors(
      columns,
      new Set(clock === null ? [] : [clock.index]),
      settings.sensors,
    );
    const problems = unclearProblems(recognition, columns, at);
    if (recognition.sensors.length === 0) {
      const refused = refuse("no column names a sensor");
      return { ...refused, problems: [...problems, ...refused.problems] };
    }
    if (clock === null) return refuse("it has no column with a clock");

    const reader = new ClockReader(clock.kind === "moment", dialect.decimalSign);
    const clockUnits = new GrowingNumbers();
    const values = recognition.sensors.map(() => new GrowingNumbers());
    const splitter = new RowSplitter(dialect.delimiter, dialect.firstLine);
    const take = (rows: readonly { readonly cells: readonly string[] | null }[]): void => {
      for (const { cells } of rows) {
        if (cells === null) continue;
        const reading = reader.read(cells[clock.index] ?? "");
        if (Number.isNaN(reading)) continue;
        clockUnits.push(reading);
        for (const [i, choice] of recognition.sensors.entries()) {
          values[i]?.push(readSensor(choice, cells, dialect.decimalSign));
        }
      }
    };
    take(splitter.push(head.slice(dialect.firstLine - 1)));
    while (!ended) {
      const next = await batches.next();
      if (next.done) ended = true;
      else take(splitter.push(next.value.lines));
    }
    take(splitter.end());
    const joined = onFramesTime({
      at,
      clock,
      reader,
      clockUnits,
      values,
      recognition,
      columns,
      problems,
      zero,
      settings,
    });
    const { delimiter, decimalSign, headerLine } = dialect;
    return {
      ...joined,
      reading: {
        file: source.file,
        text: { delimiter, decimalSign, headerLine },
        columns: sensorColumns(columns, clock, recognition),
        rows: clockUnits.length,
        ...joined.reading,
        offsetS: settings.sensorOffsetS ?? 0,
      },
    };
  } finally {
    await batches.return(undefined);
  }
}

/** The date where the frames' log has it too; else time since the start, which both logs count. */
function chooseClock(clocks: readonly HeadColumn[], zero: ClockZero): HeadColumn | null {
  const dated = clocks.filter((clock) => clock.dated || epochUnit(clock) !== null);
  const others = clocks.filter((clock) => !dated.includes(clock));
  const [first] = zero.wallS === null ? [...others, ...dated] : [...dated, ...others];
  return first ?? null;
}

interface Joining {
  readonly at: Place;
  readonly clock: HeadColumn;
  readonly reader: ClockReader;
  readonly clockUnits: GrowingNumbers;
  readonly values: readonly GrowingNumbers[];
  readonly recognition: SensorRecognition;
  readonly columns: readonly HeadColumn[];
  readonly problems: readonly Problem[];
  readonly zero: ClockZero;
  readonly settings: LogSettings;
}

/** Where the sensor log lies on the frames' own time. */
interface Joined {
  readonly series: readonly SensorSeries[];
  readonly problems: readonly Problem[];
  readonly reading: Pick<SensorLogReading, "fromS" | "toS" | "joinedBy">;
}

function sensorColumns(
  columns: readonly HeadColumn[],
  clock: HeadColumn,
  { sensors }: SensorRecognition,
): ColumnReading[] {
  const notes = new ColumnNotes(columns);
  notes.add(clock, "clock", true, clock.kind === "moment" ? "dates or times" : "numbers that never go back");
  return describeSensors(notes.readings(), sensors);
}

/** The columns' roles, with those of the sensors added. */
function describeSensors(
  columns: readonly ColumnReading[],
  sensors: readonly SensorChoice[],
): ColumnReading[] {
  return columns.map((column) => {
    const choice = sensors.find(({ indices }) => indices.includes(column.position - 1));
    if (choice === undefined || column.role !== "not-used") return column;
    const evidence = [...column.evidence, { favours: true, text: choice.evidence }];
    return { ...column, role: "sensor", sensor: choice.role, unit: column.unit ?? choice.unit, evidence };
  });
}

function onFramesTime(joining: Joining): Joined {
  const { at, clock, reader, clockUnits, values, recognition, columns, zero, settings } = joining;
  const problems: Problem[] = [...joining.problems];
  const finding = (severity: Problem["severity"], found: LogFinding): void => {
    problems.push({ ...found, severity, at });
  };
  const raw = clockUnits.view();
  const spanUnits = (raw.at(-1) ?? 0) - (raw[0] ?? 0);
  const unitS = clockUnitS(clock, spanUnits, zero);
  const isWall = clock.dated || epochUnit(clock) !== null;
  const baseS = (reader.base ?? 0) * unitS;
  const firstS = baseS + (raw[0] ?? 0) * unitS;
  const spanS = spanUnits * unitS;
  const overlaps = (zeroS: number): boolean => firstS - zeroS < zero.spanS && firstS + spanS - zeroS > 0;

  const given = isWall ? zero.wallS : (zero.atS ?? 0);
  const isCommon = given !== null && (isWall || overlaps(given));
  if (!isCommon) finding("note", { code: "sensor-clock-aligned" });
  const zeroS = (isCommon ? given : firstS) - (settings.sensorOffsetS ?? 0);
  if (!overlaps(zeroS)) finding("warning", { code: "sensor-log-elsewhere" });

  const series = recognition.sensors.map((choice, s): SensorSeries => {
    const atS: number[] = [];
    const kept: number[] = [];
    raw.forEach((reading, i) => {
      const value = values[s]?.view()[i] ?? Number.NaN;
      const timeS = baseS - zeroS + reading * unitS;
      // A clock that goes back would break the order of the readings; the later ones count from where it catches up.
      if (Number.isNaN(value) || timeS < (atS.at(-1) ?? Number.NEGATIVE_INFINITY)) return;
      atS.push(timeS);
      kept.push(value);
    });
    return {
      role: choice.role,
      unit: choice.unit,
      column: namesOf(choice, columns),
      ...markSilence(atS, kept),
    };
  });
  return {
    series: series.filter(({ atS }) => atS.length > 0),
    problems,
    reading: {
      fromS: firstS - zeroS,
      toS: firstS + spanS - zeroS,
      joinedBy: !isCommon ? "start" : isWall ? "date" : "elapsed-time",
    },
  };
}

/** As stated, or the unit in which the sensor log lasts about as long as the frames. */
function clockUnitS(clock: HeadColumn, spanUnits: number, zero: ClockZero): number {
  const stated = clock.timeUnit ?? epochUnit(clock);
  if (stated !== null) return unitSeconds[stated] * clock.multiple;
  const distance = (unitS: number): number => Math.abs(Math.log((spanUnits * unitS) / zero.spanS));
  return [1, 1e-3, 1e-6, 1e-9].reduce((best, unitS) => (distance(unitS) < distance(best) ? unitS : best), 1);
}
