import type { Place, Problem } from "../shared/problem.ts";
import { fewRows } from "./column-shapes.ts";
import { type DecodedText, decodeText, NotUtf8Error, SourceError } from "./decode-text.ts";
import { detectDialect, rowsToGoBy } from "./detect-dialect.ts";
import type { Dialect, DialectFault } from "./dialect.ts";
import { findCoarseTimes } from "./find-coarse-times.ts";
import { columnLabel } from "./find-column.ts";
import { averageOf, FrameCollector, lostReasons, type NotUsed, type Reading } from "./frame-collector.ts";
import { type HeadColumn, readHeadColumns } from "./head-columns.ts";
import { type ClockZero, joinSensorLog, SensorCollector } from "./join-sensors.ts";
import type {
  ByteSource,
  ColumnReading,
  Log,
  LogFlag,
  LogReading,
  LogSettings,
  SensorSeries,
  TextReading,
} from "./log.ts";
import { LogTooLongError, mostColumns, mostLogBytes, mostLogLines, requireFewBytes } from "./log-limits.ts";
import { recogniseColumns } from "./recognise-columns.ts";
import type { Recognition } from "./recognition.ts";
import { type ScanTarget, scanBody } from "./scan-body.ts";
import { type LineBatch, LineTooLongError, splitLines } from "./split-lines.ts";
import { type Row, RowSplitter } from "./split-rows.ts";
import { StreamCounter } from "./stream-counter.ts";
import { RowGate } from "./take-row.ts";
import { type Stream, tellStreams } from "./tell-streams.ts";
import { type Stretch, timeFrames } from "./time-frames.ts";

/** Lines that decide the dialect and the columns. */
const usualHeadLines = 400;
/** Where those say nothing. */
const longHeadLines = 4000;
/** More than one lost frame in this many makes a log damaged. Common practice, no source. */
export const damagedFrom = 1000;

/**
 * Reads one log by evidence, streaming: the head decides encoding, dialect and columns, then the body is read row by
 * row. Never throws for what the bytes hold: any bytes give a log or problems.
 * @param source the log; may be opened more than once
 * @param settings what the session says where the evidence is not enough; {} for ordinary logs
 * @param sensorSource the slower sensor log beside it, if there is one
 */
export async function readLog(
  source: ByteSource,
  settings: LogSettings,
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

function refused(
  problem: Problem,
  text: TextReading | null = null,
  columns: readonly ColumnReading[] = [],
): LogReading {
  return { log: null, text, columns, problems: [problem] };
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

interface Head {
  readonly lines: readonly string[];
  /** Lines that came with them and are of the body already. */
  readonly rest: LineBatch;
  readonly ended: boolean;
}

/** Characters that the head may hold before it is long enough with fewer lines. */
const headCharacters = 2_000_000;

/** The same lines however the bytes arrive, so that the same file is always read alike. */
async function readHead(batches: AsyncIterator<LineBatch>, headLines: number): Promise<Head> {
  const lines: string[] = [];
  let characters = 0;
  while (true) {
    const next = await batches.next();
    if (next.done) return { lines, rest: { lines: [], open: false }, ended: true };
    const { lines: come, open } = next.value;
    let taken = 0;
    while (taken < come.length && lines.length < headLines && characters < headCharacters) {
      const line = come[taken++] ?? "";
      lines.push(line);
      characters += line.length;
    }
    // The last line of the file is left to the body, which asks whether it is whole.
    if (open) return { lines, rest: { lines: come.slice(taken), open }, ended: true };
    if (taken < come.length) return { lines, rest: { lines: come.slice(taken), open }, ended: false };
  }
}

/** Lines that tell how all are read. One that may be cut off is none of them where there are others enough. */
function wholeLines({ lines, rest, ended }: Head): readonly string[] {
  const isLastOpen = ended && rest.open && rest.lines.length === 0;
  return isLastOpen && lines.length > fewRows ? lines.slice(0, -1) : lines;
}

/** Control characters that no text has; a few may stray into names, and a crash leaves zeros at the end of a file. */
function isBinary(lines: readonly string[]): boolean {
  const text = lines.join("\n");
  let end = text.length;
  while (end > 0 && text.charCodeAt(end - 1) <= 32) end--;
  const sample = text.slice(0, Math.min(end, 20_000));
  // biome-ignore-start lint/suspicious/noControlCharactersInRegex: they are what is looked for
  const strange = sample.match(/[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/g)?.length ?? 0;
  // biome-ignore-end lint/suspicious/noControlCharactersInRegex: they are what is looked for
  return sample === "" || strange > 0.02 * sample.length;
}

function dialectProblem(fault: DialectFault, at: Place): Problem {
  switch (fault.why) {
    case "no-table":
      return { code: "log-no-table", severity: "error", at };
    case "too-wide":
      return { code: "log-too-wide", severity: "error", at, columns: fault.columns, most: mostColumns };
    case "no-rows":
      return { code: "log-without-rows", severity: "error", at };
    case "header-width":
      return {
        code: "log-header-width",
        severity: "error",
        at: { ...at, line: fault.line },
        names: fault.names,
        cells: fault.cells,
      };
  }
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
  const gate = new RowGate(dialect, columns, recognition);
  const makeBody = (): Body => {
    const frames = new FrameCollector(how, expectRows(table));
    const sensors = new SensorCollector(columns, taken, settings, dialect.decimalSign);
    return { gate, frames, sensors, streams: new StreamCounter(how, frames, stream), stream };
  };
  let body = makeBody();
  const isScanned =
    !table.head.ended &&
    request.isCareful !== true &&
    (await scanBody(request.source, text, dialect, scanTarget(how, body)));
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
  return finish(table, { text, readings, recognition, precision: precision / multiple, frames, sensors });
}

/** About how many rows a file has, by its size and the head's rows; 0 where its size says little. */
function expectRows({ request, decoded, head, dialect }: TableRead): number {
  if (decoded.gzip || head.ended) return 0;
  const rows = dialect.rows.slice(0, 100);
  const characters = rows.reduce((sum, { text }) => sum + text.length + 1, 0);
  const expected = characters === 0 ? 0 : (1.1 * (request.source.bytes ?? 0) * rows.length) / characters;
  return Math.min(expected, mostLogLines);
}

interface Columns {
  readonly dialect: Dialect;
  readonly allColumns: readonly HeadColumn[];
  readonly stream: ReturnType<typeof tellStreams>;
  /** Over the rows of the stream that counts. */
  readonly columns: readonly HeadColumn[];
  readonly recognition: Recognition;
}

/** Where a comma could be the decimal sign or part thousands, the reading that makes sense. */
function settleDecimalSign(
  dialect: Dialect,
  settings: LogSettings,
  notStreams: ReadonlySet<number>,
): Columns {
  const usual = recogniseTable(dialect, settings, notStreams);
  if (!dialect.isSignInDoubt || usual.recognition.frameTime !== null) return usual;
  const other = { ...dialect, decimalSign: dialect.decimalSign === "." ? "," : "." } as const;
  const otherwise = recogniseTable(other, settings, notStreams);
  return otherwise.recognition.frameTime === null ? usual : otherwise;
}

function recogniseTable(dialect: Dialect, settings: LogSettings, notStreams: ReadonlySet<number>): Columns {
  const rows = rowsToGoBy(dialect);
  const allColumns = readHeadColumns(dialect, rows);
  const stream = tellStreams(allColumns, { ...dialect, rows }, settings, notStreams);
  const isOne = stream === null || "fault" in stream;
  const own = isOne ? [] : rows.filter(({ cells }) => cells?.[stream.index] === stream.wanted);
  // A stream that begins after the head is read like those in it.
  const columns = own.length === 0 ? allColumns : readHeadColumns(dialect, own);
  return { dialect, allColumns, stream, columns, recognition: recogniseColumns(columns, settings) };
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

interface Body {
  readonly gate: RowGate;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
  readonly streams: StreamCounter;
  readonly stream: Stream | null;
}

/** Reads every row once, the head's again. */
async function readBody({ batches, head, decoded }: TableRead, dialect: Dialect, body: Body): Promise<void> {
  const splitter = new RowSplitter(dialect.delimiter, dialect.firstLine);
  const take = (rows: readonly Row[], isLastOpen: boolean): void => {
    for (const [i, row] of rows.entries()) takeRow(row, isLastOpen && i === rows.length - 1, body);
  };
  // The very last row may be cut off; it is known only when nothing follows it.
  const isHeadOpen = head.ended && head.rest.open && head.rest.lines.length === 0;
  let pending: LineBatch = { lines: head.lines.slice(dialect.firstLine - 1), open: isHeadOpen };
  if (head.rest.lines.length > 0) {
    take(splitter.push(pending.lines), false);
    pending = head.rest;
  }
  while (!head.ended) {
    const next = await batches.next();
    if (next.done) break;
    take(splitter.push(pending.lines), false);
    pending = next.value;
  }
  const last = [...splitter.push(pending.lines), ...splitter.end()];
  take(last, pending.open || decoded.damage.packed !== null);
}

function scanTarget(how: Reading, body: Body): ScanTarget {
  return { how, ...body, takeRow: (row, isLastOpen) => takeRow(row, isLastOpen, body) };
}

function takeRow(row: Row, isLastOpen: boolean, { gate, frames, sensors, streams, stream }: Body): void {
  const cells = gate.admit(row, isLastOpen, frames);
  if (cells === null) return;
  if (gate.isReading(cells)) {
    frames.skipRow("readings between frames", row.line);
    sensors.addRow(cells, frames.frameTimesMs.length);
    return;
  }
  if (stream !== null) {
    const name = cells[stream.index] ?? "";
    if (!streams.isOwn(name, cells, row.line)) {
      frames.skipRow("other stream", row.line);
      return;
    }
  }
  if (frames.addRow(cells, row.line)) sensors.addRow(cells, frames.frameTimesMs.length - 1);
}

interface Finished {
  readonly text: TextReading;
  readonly readings: readonly ColumnReading[];
  readonly recognition: Recognition;
  /** The smallest step that the digits of the frame time's column can show, in its unit. */
  readonly precision: number;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
}

async function finish({ request, decoded }: TableRead, finished: Finished): Promise<LogReading> {
  const { source, settings, sensorSource } = request;
  const { text, readings, recognition, frames, sensors } = finished;
  const at = { file: source.file };
  const problems: Problem[] = [...sensors.problems(at)];
  const flags: LogFlag[] = [];

  const stretch = chooseStretch(frames, settings, at);
  if ("problem" in stretch) return { log: null, text, columns: readings, problems: [stretch.problem] };
  flags.push(...stretch.flags);
  problems.push(...stretch.problems);

  const frameTimesMs = frames.frameTimesMs.view(stretch.from, stretch.to);
  if (frameTimesMs.length === 0) {
    return refused({ code: "log-without-frames", severity: "error", at, rows: frames.rows }, text, readings);
  }
  const notUsed: Record<string, number> = {};
  for (const [reason, count] of frames.notUsed) notUsed[reason] = count;
  const elsewhere = frames.frameTimesMs.length - frameTimesMs.length;
  if (elsewhere > 0) notUsed["other stretch"] = elsewhere;

  problems.push(...lostProblems(frames, recognition, at));
  const lostFrames = lostReasons.reduce((sum, reason) => sum + (frames.notUsed.get(reason) ?? 0), 0);
  if (lostFrames * damagedFrom > lostFrames + frameTimesMs.length) {
    flags.push({ code: "damaged", lostFrames, frames: frameTimesMs.length });
  }
  if (frames.notUsed.has("cut off") || decoded.damage.packed !== null) flags.push({ code: "cut-short" });
  if (frames.notUsed.has("cut off")) problems.push({ code: "log-row-cut-off", severity: "note", at });
  if (decoded.damage.packed !== null) {
    problems.push({
      code: "log-packing-damaged",
      severity: "warning",
      at,
      why: decoded.damage.packed,
      isUsed: true,
    });
  }

  // Stretches that are not told apart share no clock.
  const isWhole = frames.segments.length === 1 || settings.segment !== undefined;
  const measured = isWhole ? recognition : { ...recognition, clock: null };
  const timing = timeFrames(frames, measured, frameTimesMs, stretch, lostFrames > 0);
  const { frameEndsS, startedAt } = timing;
  if (timing.flag !== null) flags.push(timing.flag);
  const usualMs = (1000 * timing.sumS) / frameTimesMs.length;
  flags.push(...findCoarseTimes(frameTimesMs, usualMs, recognition.frameTime, finished.precision));
  const own = sensors.series(frameTimesMs, frameEndsS, stretch.from);
  const beside = await readSensorLog(sensorSource, settings, timing.zero, own);
  problems.push(...beside.problems, ...missingSensors(settings, beside.series, readings, at));
  const log: Log = {
    file: source.file,
    text,
    columns: readings,
    frameTimesMs,
    frameEndsS,
    rows: { read: frames.rows, frames: frameTimesMs.length, notUsed },
    sensors: beside.series,
    flags,
    startedAt,
  };
  return { log, text, columns: readings, problems };
}

/** Sensors that the session names and neither log has. */
function missingSensors(
  { sensors }: LogSettings,
  series: readonly SensorSeries[],
  columns: readonly ColumnReading[],
  at: Place,
): Problem[] {
  return Object.entries(sensors ?? {}).flatMap(([role, { column }]): Problem[] => {
    if (series.some((found) => found.role === role)) return [];
    const names = columns.map(({ name, position }) => name ?? String(position));
    return [{ code: "sensor-missing", severity: "warning", at, role, wanted: column, columns: names }];
  });
}

function chooseStretch(
  frames: FrameCollector,
  settings: LogSettings,
  at: Place,
): (Stretch & { flags: LogFlag[]; problems: Problem[] }) | { problem: Problem } {
  const { segments } = frames;
  const total = frames.frameTimesMs.length;
  const wanted = settings.segment;
  if (wanted !== undefined && wanted > segments.length) {
    return {
      problem: { code: "log-segment-missing", severity: "error", at, wanted, segments: segments.length },
    };
  }
  if (segments.length === 1) return { from: 0, to: total, flags: [], problems: [] };
  if (wanted === undefined) {
    return {
      from: 0,
      to: total,
      flags: [{ code: "restarted", segments: segments.length, picked: null }],
      problems: [{ code: "log-restarted", severity: "warning", at, segments: frames.parts() }],
    };
  }
  return {
    from: segments[wanted - 1]?.firstFrame ?? 0,
    to: segments[wanted]?.firstFrame ?? total,
    flags: [{ code: "restarted", segments: segments.length, picked: wanted }],
    problems: [],
  };
}

function lostProblems(frames: FrameCollector, { frameTime, columns }: Recognition, at: Place): Problem[] {
  const column = columns[frameTime?.index ?? 0];
  return [...frames.firstLost].flatMap(([reason, { line, found }]): Problem[] => {
    if (!(lostReasons as readonly NotUsed[]).includes(reason)) return [];
    return [
      {
        code: "log-rows-lost",
        severity: "warning",
        at: { ...at, line },
        reason,
        rows: frames.notUsed.get(reason) ?? 0,
        column: column?.name ?? `column ${column?.position ?? 1}`,
        found,
      },
    ];
  });
}

async function readSensorLog(
  sensorSource: ByteSource | null,
  settings: LogSettings,
  zero: ClockZero,
  own: readonly SensorSeries[],
): Promise<{ series: SensorSeries[]; problems: readonly Problem[] }> {
  if (sensorSource === null) return { series: [...own], problems: [] };
  const beside = await joinSensorLog(sensorSource, settings, zero);
  // What the log itself says of a sensor is on the frames' own clock and wins.
  const added = beside.series.filter(({ role }) => own.every((series) => series.role !== role));
  return { series: [...own, ...added], problems: beside.problems };
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
