import type { LogFinding } from "../shared/problem.ts";
import { fewRows } from "./column-shapes.ts";
import type { Dialect } from "./dialect.ts";
import { findColumn } from "./find-column.ts";
import { type HeadColumn, readHeadColumns, takeMedian } from "./head-columns.ts";
import type { LogSettings } from "./log.ts";
import { recogniseColumns } from "./recognise-columns.ts";
import { isStateName, isStreamName } from "./weigh-words.ts";

/** A column whose values tell several sources of frames apart, and the one that counts. */
export interface Stream {
  readonly index: number;
  readonly wanted: string;
  /** The session did not say so: it is the commonest so far, and a second one is a question. */
  readonly isGuess: boolean;
}

/** More different values than this are names of something else. */
const mostStreams = 16;
/** Comparisons with the clock below which it says nothing. */
const fewest = 5;

/**
 * The column that tells streams of frames apart, and which of them counts; null where there is none.
 * @param notStreams columns that are known to describe one stream
 */
export function tellStreams(
  columns: readonly HeadColumn[],
  dialect: Dialect,
  settings: LogSettings,
  notStreams: ReadonlySet<number>,
): Stream | { readonly fault: LogFinding } | null {
  if (settings.stream !== undefined) return bySetting(columns, settings.stream);
  const candidates = columns.filter((column) => !notStreams.has(column.index) && couldTell(column));
  const several = candidates.filter(({ texts }) => texts.size > 1);
  const verdicts = several.map((column) => ({
    column,
    verdict: askClock(column, columns, dialect, settings),
  }));
  const told =
    verdicts.find(({ verdict }) => verdict === "several") ??
    verdicts.find(
      ({ column, verdict }) =>
        verdict === null && seemsToTell(column, dialect, askSteps(column, columns, dialect, settings)),
    );
  // One value so far: a name that streams have is worth watching.
  const watched = candidates.find(({ texts, words }) => texts.size === 1 && isStreamName(words));
  const column = told?.column ?? watched;
  if (column === undefined) return null;
  const [first] = [...column.texts].sort((a, b) => b[1] - a[1]);
  return first === undefined ? null : { index: column.index, wanted: first[0], isGuess: true };
}

function bySetting(
  columns: readonly HeadColumn[],
  stream: NonNullable<LogSettings["stream"]>,
): Stream | { readonly fault: LogFinding } {
  const { equals } = stream;
  if (stream.column !== undefined) {
    const found = findColumn(columns, stream.column);
    if (typeof found === "object") return { fault: found.fault("stream") };
    return { index: found, wanted: equals, isGuess: false };
  }
  const holding = columns.find(
    ({ texts, kind, words }) => texts.has(equals) && (kind === "text" || isStreamName(words)),
  );
  if (holding !== undefined) return { index: holding.index, wanted: equals, isGuess: false };
  const streams = columns.filter((column) => couldTell(column)).flatMap(({ texts }) => [...texts.keys()]);
  return { fault: { code: "log-stream-missing", wanted: equals, column: null, streams } };
}

function couldTell({ kind, words, texts, timeUnit, otherUnit, shape }: HeadColumn): boolean {
  if (texts.size === 0 || texts.size > mostStreams) return false;
  if (kind === "text") return true;
  return kind === "number" && shape.whole && isStreamName(words) && timeUnit === null && otherUnit === null;
}

/**
 * What the clock says: in one stream every step equals the frame time, also where the column's value changes; where
 * sources take turns, a step equals it only from one row of a source to its next.
 */
function askClock(
  column: HeadColumn,
  all: readonly HeadColumn[],
  dialect: Dialect,
  settings: LogSettings,
): "one" | "several" | null {
  const [commonest] = [...column.texts].sort((a, b) => b[1] - a[1]);
  const name = ({ cells }: Dialect["rows"][number]): string => cells?.[column.index] ?? "";
  const own = dialect.rows.filter((row) => name(row) === commonest?.[0]);
  let { frameTime, clock } = recogniseColumns(readHeadColumns(dialect, own), settings);
  // Half of the rows of one stream do not follow each other.
  const isAlone = frameTime?.how === "duration" && clock !== null;
  if (!isAlone && !isStreamName(column.words)) ({ frameTime, clock } = recogniseColumns(all, settings));
  if (frameTime?.how !== "duration" || clock === null) return null;
  const lengths = all[frameTime.index]?.values ?? new Float64Array(0);
  const readings = all[clock.index]?.clock ?? new Float64Array(0);
  const usual = all[frameTime.index]?.shape.median ?? 0;
  // A clock that cannot tell one frame from the next cannot tell this either.
  if (clock.precisionS > 0.25 * usual * frameTime.unitS) return null;
  const toleranceS = 1.001 * clock.precisionS + 0.003 * usual * frameTime.unitS;
  const lastOf = new Map<string, number>();
  let changes = 0;
  let changesAgree = 0;
  const everyone = { returns: 0, agree: 0 };
  const likeliest = { returns: 0, agree: 0 };
  dialect.rows.forEach((row, i) => {
    const value = name(row);
    const agrees = (before: number): boolean => {
      const step = ((readings[i] ?? Number.NaN) - (readings[before] ?? Number.NaN)) * clock.unitS;
      const length = (lengths[clock.lag === 0 ? i : before] ?? Number.NaN) * frameTime.unitS;
      return Math.abs(step - length) <= toleranceS + 0.003 * length;
    };
    if (i > 0 && name(dialect.rows[i - 1] as Dialect["rows"][number]) !== value) {
      changes++;
      if (agrees(i - 1)) changesAgree++;
      const before = lastOf.get(value);
      const returning =
        before === undefined ? [] : value === commonest?.[0] ? [everyone, likeliest] : [everyone];
      for (const count of returning) {
        count.returns++;
        if (agrees(before as number)) count.agree++;
      }
    }
    lastOf.set(value, i);
  });
  if (changes > 0 && changesAgree >= 0.7 * changes) return "one";
  // Rows of other kinds between the frames, such as a sensor's, need not be frames of anything.
  const isRunning = [everyone, likeliest].some(
    ({ returns, agree }) => returns >= fewest && agree >= 0.7 * returns,
  );
  return isRunning ? "several" : null;
}

/**
 * What the steps say, where they are all that a log has: begins and ends of frames, or frames and inputs, follow each
 * other more steadily by themselves than together. Frames of one stream, taken some at a time, gain no more by it than
 * sums of several steps do, by the root of their number.
 */
function askSteps(
  { index, texts }: HeadColumn,
  all: readonly HeadColumn[],
  { rows }: Dialect,
  settings: LogSettings,
): "one" | "several" | null {
  // Scenes that follow each other may be steady or not, each for itself.
  if (shareOfChanges(index, rows) <= turnsFrom) return null;
  const { frameTime, clock } = recogniseColumns(all, settings);
  if (frameTime?.how !== "steps" || clock === null) return null;
  const readings = all[clock.index]?.clock ?? new Float64Array(0);
  const together = steadinessOf(readings);
  const gains = [...texts]
    .filter(([, count]) => count >= fewRows)
    .map(([value]) => {
      const own = steadinessOf(readings.filter((_, i) => rows[i]?.cells?.[index] === value));
      return own.spread / (together.spread / Math.sqrt(Math.max(1, own.usual / together.usual)));
    });
  if (gains.some((gain) => gain < 0.5)) return "several";
  return together.spread < 0.3 && gains.length > 0 && gains.every((gain) => gain > 0.8) ? "one" : null;
}

/** A clock's usual step, and how far half of the steps lie from it, as a share. */
function steadinessOf(readings: Float64Array): { readonly usual: number; readonly spread: number } {
  const steps = readings.subarray(1).map((value, i) => value - (readings[i] as number));
  const known = steps.filter((step) => step >= 0);
  const usual = takeMedian(known.slice());
  return { usual, spread: takeMedian(known.map((step) => Math.abs(step - usual))) / usual };
}

/** Without frame times and a clock the name decides; failing that, the steps, or values that take turns and look like programs or mere names. */
function seemsToTell(
  { words, texts, name, index }: HeadColumn,
  { rows }: Dialect,
  bySteps: "one" | "several" | null,
): boolean {
  if (isStreamName(words) || bySteps === "several") return true;
  if (isStateName(words)) return false;
  const values = [...texts.keys()];
  if (values.every((value) => /^(?:yes|no|true|false|on|off|ok|y|n|t|f|none|-)?$/i.test(value))) return false;
  const takesTurns = Math.min(...texts.values()) >= 3 && shareOfChanges(index, rows) > turnsFrom;
  const isProgram = values.every((value) => /^[^,;|]+\.[a-z0-9_]{1,8}$/i.test(value));
  return takesTurns && (isProgram || (bySteps !== "one" && (name === null || words.length > 0)));
}

/** Values that change in more of the rows take turns. Common practice, no source. */
const turnsFrom = 0.2;

function shareOfChanges(index: number, rows: Dialect["rows"]): number {
  const cells = rows.map((row) => row.cells?.[index] ?? "");
  return cells.filter((cell, i) => i > 0 && cell !== cells[i - 1]).length / cells.length;
}
