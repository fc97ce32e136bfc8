import type { Place, Problem } from "../shared/problem.ts";
import { type DecodedText, decodeText, NotUtf8Error, SourceError } from "./decode-text.ts";
import { detectDialect } from "./detect-dialect.ts";
import type { Dialect } from "./dialect.ts";
import { columnLabel } from "./find-column.ts";
import { finishLog } from "./finish-log.ts";
import { averageOf, FrameCollector, type Reading } from "./frame-collector.ts";
import type { HeadColumn } from "./head-columns.ts";
import { SensorCollector } from "./join-sensors.ts";
import type { ByteSource, ColumnReading, LogReading, LogSettings, TextReading } from "./log.ts";
import { LogTooLongError, mostLogBytes, mostLogLines, requireFewBytes } from "./log-limits.ts";
import { type Body, readBody, scanTarget } from "./read-body.ts";
import { type Head, isBinary, readHead, wholeLines } from "./read-head.ts";
import { settleDecimalSign } from "./recognise-table.ts";
import { dialectProblem, refused } from "./refuse-log.ts";
import { scanBody } from "./scan-body.ts";
import { type LineBatch, LineTooLongError, splitLines } from "./split-lines.ts";
import type { Row } from "./split-rows.ts";
import { StreamCounter } from "./stream-counter.ts";
import { RowGate } from "./take-row.ts";
import type { Stream } from "./tell-streams.ts";

/** Lines that decide the dialect and the columns. */
const usualHeadLines = 400;
/** Where those say nothing. */
const longHeadLines = 4000;
/**
 * Reads one log by evidence, streaming: the head decides encoding, dialect and columns, then the body is read row by
 * row. Never throws for what the bytes hold: any bytes give a log or problems.
 * @param source the log; may be opened more than once
 * @param settings what the session says where the evidence is not enough; nothing of ordinary logs
 * @param sensorSource the slower sensor log beside it, if there is one
 */
export async function readLog(
  source: ByteSource,
  settings: LogSettings = {},
  sensorSource: ByteSource | null = null,
  { isCareful = false, headLines = usualHeadLines }: ReadOptions = {},
): Promise<LogReading> {
  const reading = await readGuarded({ source, settings, sensorSource, isCareful, headLines });
  return fillCandidates(reading, source, settings);
}

/** How, not what: all of these give the same frames, as far as the head tells the same. */
export interface ReadOptions {
  /** Read every row as text: the reference that the faster way is held to. */
  readonly isCareful?: boolean;
  /** Lines that decide the dialect and the columns. */
  readonly headLines?: number;
}

interface Request extends ReadOptions {
  readonly source: ByteSource;
  readonly settings: LogSettings;
  readonly sensorSource: ByteSource | null;
  /** Decode as this whatever the bytes say. */
  readonly force?: TextReading["encoding"];
  /** Columns that were found not to tell streams apart. */
  readonly notStreams?: ReadonlySet<number>;
}

async function readGuarded(request: Request): Promise<LogReading> {
  const at = { file: request.source.file };
  try {
    return await readOnce(request);
  } catch (error) {
    if (error instanceof NotUtf8Error) {
      const reading = await readGuarded({ ...request, force: "latin-1" });
      if (reading.log === null) return reading;
      const note: Problem = { code: "log-encoding-guessed", severity: "note", at, encoding: "Latin-1" };
      return { ...reading, problems: [...reading.problems, note] };
    }
    if (error instanceof SourceError) {
      return refused({ code: "unreadable", severity: "error", at, why: error.why });
    }
    if (error instanceof LineTooLongError) {
      return refused({ code: "log-line-too-long", severity: "error", at: { ...at, line: error.line } });
    }
    if (error instanceof LogTooLongError) {
      const { limit } = error;
      const most = limit === "bytes" ? mostLogBytes : mostLogLines;
      return refused({ code: "log-too-long", severity: "error", at, limit, most });
    }
    throw error;
  }
}

async function readOnce(request: Request): Promise<LogReading> {
  const at = { file: request.source.file };
  requireFewBytes(request.source.bytes ?? 0);
  const decoded = await decodeText(request.source, request.force);
  const batches = splitLines(decoded.chunks)[Symbol.asyncIterator]();
  try {
    const head = await readHead(batches, request.headLines ?? usualHeadLines);
    if (decoded.empty && decoded.damage.packed !== null) {
      const why = decoded.damage.packed;
      return refused({ code: "log-packing-damaged", severity: "error", at, why, isUsed: false });
    }
    if (decoded.empty || head.lines.every((line) => line.trim() === "")) {
      return refused({ code: "log-empty", severity: "error", at });
    }
    if (isBinary(head.lines)) return refused({ code: "log-binary", severity: "error", at });
    const dialect = detectDialect(wholeLines(head));
    const reading =
      "why" in dialect
        ? refused(dialectProblem(dialect, at))
        : await readTable({ request, decoded, batches, head, dialect });
    const isTooShort = !head.ended && saysNothing(reading) && request.headLines !== longHeadLines;
    return isTooShort ? await readOnce({ ...request, headLines: longHeadLines }) : reading;
  } finally {
    await batches.return?.(undefined);
  }
}

/** No table, or no frames in it: they may begin further down, behind a long text or rows without a frame. */
function saysNothing({ problems }: LogReading): boolean {
  return problems.some(
    ({ code }) => code === "log-no-table" || code === "log-without-rows" || code === "log-no-frame-time",
  );
}

interface TableRead {
  readonly request: Request;
  readonly decoded: DecodedText;
  readonly batches: AsyncIterator<LineBatch>;
  readonly head: Head;
  readonly dialect: Dialect;
}

async function readTable(table: TableRead): Promise<LogReading> {
  const { request } = table;
  const { settings, notStreams = new Set<number>() } = request;
  const at = { file: request.source.file };
  const columnsBySign = settleDecimalSign(table.dialect, settings, notStreams);
  const { dialect, allColumns, stream, columns, recognition } = columnsBySign;
  const text = textReading(table, dialect);
  if (stream !== null && "fault" in stream) {
    return refused({ ...stream.fault, severity: "error", at }, text);
  }
  const { frameTime, clock } = recognition;
  if (frameTime === null) {
    const fault = recognition.fault ?? {
      code: "log-no-frame-time" as const,
      columns: columns.map(columnLabel),
    };
    const isWords = fault.code === "log-words-for-numbers";
    const place = isWords ? placeInRow(dialect.rows[0], dialect, fault.position - 1, at) : at;
    return refused({ ...fault, severity: "error", at: place }, text, recognition.columns);
  }

  const how: Reading = {
    frameTime,
    clock,
    isMomentClock: clock !== null && columns[clock.index]?.kind === "moment",
    isSpans: columns[frameTime.index]?.isSpans === true && frameTime.how === "duration",
    counter: recognition.counter,
    wall: recognition.wallClock?.index ?? null,
    decimalSign: dialect.decimalSign,
  };
  const taken = new Set(
    recognition.columns.filter(({ role }) => role !== "not-used").map(({ position }) => position - 1),
  );
  const gate = new RowGate(dialect, columns, how);
  const makeBody = (): Body => {
    const expected = expectRows(table);
    const frames = new FrameCollector(how, expected);
    const sensors = new SensorCollector(columns, taken, settings, dialect.decimalSign, expected);
    return { gate, frames, sensors, streams: new StreamCounter(how, frames, stream), stream };
  };
  let body = makeBody();
  const isScanned =
    !table.head.ended &&
    request.isCareful !== true &&
    (await scanBody(request.source, table.decoded.unpacked, text, dialect, scanTarget(how, body)));
  if (!isScanned) {
    body = makeBody();
    await readBody(table, dialect, body);
  }
  body.frames.end();
  const { frames, sensors, streams } = body;

  const readings = markStream(sensors.describe(recognition.columns), stream, streams.areSeveral());
  if (stream !== null) {
    const column = columnLabel(columns[stream.index] as HeadColumn);
    if (stream.isGuess && streams.areSeveral()) {
      // A title that changed once is no second program: the clock ran on across the change.
      if (streams.areOneByClock())
        return readOnce({ ...request, notStreams: new Set([...notStreams, stream.index]) });
      const fault: Problem = { code: "log-streams", severity: "error", at, column, streams: streams.parts() };
      return refused(fault, text, readings);
    }
    if (!streams.hasOwn()) {
      const known = [...(allColumns[stream.index]?.texts.keys() ?? [])];
      const fault = { code: "log-stream-missing", wanted: stream.wanted, column, streams: known } as const;
      return refused({ ...fault, severity: "error", at }, text, readings);
    }
  }
  const { precision = 0, multiple = 1 } = columns[frameTime.index] ?? {};
  return finishLog(request, {
    text,
    readings,
    recognition,
    precision: precision / multiple,
    packingDamage: table.decoded.damage.packed,
    frames,
    sensors,
  });
}

/** About how many rows a file has, by its size and the head's rows; 0 where its size says little. */
function expectRows({ request, decoded, head, dialect }: TableRead): number {
  const bytes = decoded.gzip ? decoded.unpacked?.length : request.source.bytes;
  if (bytes === undefined || head.ended) return 0;
  const rows = dialect.rows.slice(0, 100);
  const characters = rows.reduce((sum, { text }) => sum + text.length + 1, 0);
  const expected = characters === 0 ? 0 : (1.1 * bytes * rows.length) / characters;
  return Math.min(expected, mostLogLines);
}

function textReading({ decoded }: TableRead, dialect: Dialect): TextReading {
  return {
    encoding: decoded.encoding,
    byteOrderMark: decoded.byteOrderMark,
    gzip: decoded.gzip,
    lineEnd: decoded.lineEnd(),
    delimiter: dialect.delimiter,
    decimalSign: dialect.decimalSign,
    headerLine: dialect.headerLine,
    notes: dialect.notes,
  };
}

function markStream(
  columns: readonly ColumnReading[],
  stream: Stream | null,
  areSeveral: boolean,
): ColumnReading[] {
  return columns.map((column) => {
    if (stream === null || column.position !== stream.index + 1 || column.role !== "not-used") return column;
    const guess = areSeveral
      ? "its values name sources that take turns"
      : "its one value names the source of the frames";
    const text = stream.isGuess ? guess : "the session picks one of its values";
    return { ...column, role: "stream", evidence: [...column.evidence, { favours: true, text }] };
  });
}

/** Place of a cell: counted in characters of its line, where the cells before it are plain. */
function placeInRow(row: Row | undefined, { delimiter }: Dialect, index: number, at: Place): Place {
  if (row === undefined) return at;
  if (delimiter === " ") return { ...at, line: row.line };
  const before = row.text.split(delimiter).slice(0, index);
  return { ...at, line: row.line, column: before.reduce((sum, cell) => sum + cell.length + 1, 1) };
}

/** Fills in what average FPS each candidate of an unclear log would give, by reading it that way. */
async function fillCandidates(
  reading: LogReading,
  source: ByteSource,
  settings: LogSettings,
): Promise<LogReading> {
  const problems = await Promise.all(
    reading.problems.map(async (problem): Promise<Problem> => {
      if (problem.code !== "log-frame-time-unclear") return problem;
      const candidates = [];
      for (const candidate of problem.candidates) {
        const { column, unit } = candidate;
        const tried = await readGuarded({
          source,
          settings: { ...settings, frameTime: { column, unit } },
          sensorSource: null,
        });
        candidates.push({
          ...candidate,
          avgFps: tried.log === null ? null : averageOf(tried.log.frameTimesMs),
        });
      }
      return { ...problem, candidates };
    }),
  );
  return { ...reading, problems };
}
