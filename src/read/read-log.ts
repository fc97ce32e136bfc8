import type { LogFinding, LogPart, Place, Problem } from "../shared/problem.ts";
import { type DecodedText, decodeText, NotUtf8Error, SourceError } from "./decode-text.ts";
import { type Dialect, type DialectFault, detectDialect } from "./detect-dialect.ts";
import { averageOf, FrameCollector, lostReasons, type NotUsed } from "./frame-collector.ts";
import { type HeadColumn, isTruncatedCell, readHeadColumns } from "./head-columns.ts";
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
import { columnLabel, findColumn, type Recognition, recogniseColumns } from "./recognise-columns.ts";
import { type LineBatch, LineTooLongError, splitLines } from "./split-lines.ts";
import { type Row, RowSplitter } from "./split-rows.ts";
import { isStreamName } from "./weigh-words.ts";

/** Lines that decide the dialect and the columns. */
const headLines = 2000;
/** More than one lost frame in this many makes a log damaged. Common practice, no source. */
const damagedFrom = 1000;
/** Frame times and clock further apart than this share: time is missing. Common practice, no source. */
const timeMissingShare = 0.005;
/** Streams named in a question. */
const mostStreams = 12;

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
): Promise<LogReading> {
  const reading = await readGuarded(source, settings, sensorSource);
  return fillCandidates(reading, source, settings);
}

async function readGuarded(
  source: ByteSource,
  settings: LogSettings,
  sensorSource: ByteSource | null,
): Promise<LogReading> {
  const at = { file: source.file };
  try {
    return await readAs(source, settings, sensorSource, undefined);
  } catch (error) {
    if (error instanceof NotUtf8Error) return readGuardedAsLatin1(source, settings, sensorSource);
    return failedRead(at, error);
  }
}

async function readGuardedAsLatin1(
  source: ByteSource,
  settings: LogSettings,
  sensorSource: ByteSource | null,
): Promise<LogReading> {
  const at = { file: source.file };
  try {
    const reading = await readAs(source, settings, sensorSource, "latin-1");
    if (reading.log === null) return reading;
    const note: Problem = { code: "log-encoding-guessed", severity: "note", at, encoding: "Latin-1" };
    return { ...reading, problems: [...reading.problems, note] };
  } catch (error) {
    return failedRead(at, error);
  }
}

function failedRead(at: Place, error: unknown): LogReading {
  if (error instanceof SourceError) {
    return refused({ code: "unreadable", severity: "error", at, why: error.why });
  }
  if (error instanceof LineTooLongError) {
    return refused({ code: "log-line-too-long", severity: "error", at: { ...at, line: error.line } });
  }
  throw error;
}

function refused(
  problem: Problem,
  text: TextReading | null = null,
  columns: readonly ColumnReading[] = [],
): LogReading {
  return { log: null, text, columns, problems: [problem] };
}

async function readAs(
  source: ByteSource,
  settings: LogSettings,
  sensorSource: ByteSource | null,
  force: TextReading["encoding"] | undefined,
): Promise<LogReading> {
  const at = { file: source.file };
  const decoded = await decodeText(source, force);
  const lineEnd = new LineEndWatch();
  const batches = splitLines(lineEnd.watch(decoded.chunks))[Symbol.asyncIterator]();
  try {
    const head = await readHead(batches);
    if (decoded.empty || head.lines.every((line) => line.trim() === "")) {
      return refused({ code: "log-empty", severity: "error", at });
    }
    if (isBinary(head.lines)) return refused({ code: "log-binary", severity: "error", at });
    const dialect = detectDialect(head.lines);
    if ("why" in dialect) return refused(dialectProblem(dialect, at));
    return await readTable({ source, settings, sensorSource, decoded, lineEnd, batches, head, dialect });
  } finally {
    await batches.return?.(undefined);
  }
}

/** Notes how the first lines of a text end. */
class LineEndWatch {
  found: TextReading["lineEnd"] = "LF";

  async *watch(chunks: AsyncIterable<string>): AsyncGenerator<string> {
    let isKnown = false;
    for await (const chunk of chunks) {
      if (!isKnown) {
        isKnown = /[\r\n]/.test(chunk);
        this.found = chunk.includes("\r\n")
          ? "CRLF"
          : chunk.includes("\r") && !chunk.includes("\n")
            ? "CR"
            : "LF";
      }
      yield chunk;
    }
  }
}

interface Head {
  readonly lines: string[];
  /** The file's last line is among them and has no line end. */
  readonly open: boolean;
  readonly ended: boolean;
}

async function readHead(batches: AsyncIterator<LineBatch>): Promise<Head> {
  const lines: string[] = [];
  let open = false;
  while (lines.length < headLines) {
    const next = await batches.next();
    if (next.done) return { lines, open, ended: true };
    for (const line of next.value.lines) lines.push(line);
    open = next.value.open;
  }
  return { lines, open, ended: false };
}

/** Control characters that no text has; a few may stray into names. */
function isBinary(lines: readonly string[]): boolean {
  const sample = lines.join("\n").slice(0, 20_000);
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  const strange = sample.match(/[\u0000-\u0008\u000e-\u001a\u001c-\u001f\ufffd]/g)?.length ?? 0;
  return sample.includes("\u0000") || strange > 0.02 * sample.length;
}

function dialectProblem(fault: DialectFault, at: Place): Problem {
  switch (fault.why) {
    case "no-table":
      return { code: "log-no-table", severity: "error", at };
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
  readonly source: ByteSource;
  readonly settings: LogSettings;
  readonly sensorSource: ByteSource | null;
  readonly decoded: DecodedText;
  readonly lineEnd: LineEndWatch;
  readonly batches: AsyncIterator<LineBatch>;
  readonly head: Head;
  readonly dialect: Dialect;
}

async function readTable(table: TableRead): Promise<LogReading> {
  const { source, settings, decoded, dialect } = table;
  const at = { file: source.file };
  const text: TextReading = {
    encoding: decoded.encoding,
    byteOrderMark: decoded.byteOrderMark,
    gzip: decoded.gzip,
    lineEnd: table.lineEnd.found,
    delimiter: dialect.delimiter,
    decimalSign: dialect.decimalSign,
    headerLine: dialect.headerLine,
    notes: dialect.notes,
  };
  const allColumns = readHeadColumns(dialect, dialect.rows);
  const stream = chooseStream(allColumns, dialect, settings);
  if (stream !== null && "fault" in stream) {
    return refused({ ...stream.fault, severity: "error", at }, text);
  }
  const rows =
    stream === null
      ? dialect.rows
      : dialect.rows.filter(({ cells }) => cells?.[stream.index] === stream.wanted);
  const columns = stream === null ? allColumns : readHeadColumns(dialect, rows);
  const recognition = recogniseColumns(columns, settings);
  const { frameTime, clock } = recognition;
  if (frameTime === null) {
    const fault = recognition.fault ?? {
      code: "log-no-frame-time" as const,
      columns: columns.map(columnLabel),
    };
    return refused(
      { ...fault, severity: "error", at: placeOfFault(fault, dialect, at) },
      text,
      recognition.columns,
    );
  }

  const isMoment = clock !== null && columns[clock.index]?.kind === "moment";
  const frames = new FrameCollector(frameTime, clock, isMoment, dialect.decimalSign);
  const taken = new Set(
    recognition.columns.filter(({ role }) => role !== "not-used").map(({ position }) => position - 1),
  );
  const sensors = new SensorCollector(columns, taken, settings, dialect.decimalSign);
  const others = await readBody(table, { frames, sensors, stream, recognition, columns });

  const readings = sensors.describe(recognition.columns);
  if (stream?.isGuess === true && others.size > 1) {
    const streams = [...others.values()].slice(0, mostStreams);
    const column = columnLabel(columns[stream.index] as HeadColumn);
    return refused({ code: "log-streams", severity: "error", at, column, streams }, text, readings);
  }
  return finish(table, { text, readings, recognition, frames, sensors });
}

function placeOfFault(fault: LogFinding, { firstLine }: Dialect, at: Place): Place {
  return fault.code === "log-words-for-numbers" ? { ...at, line: firstLine, column: fault.position } : at;
}

interface Stream {
  readonly index: number;
  readonly wanted: string;
  /** Nobody said so: the only stream seen so far. */
  readonly isGuess: boolean;
}

/** The column that tells streams of frames apart, and which of them counts; null where there is none. */
function chooseStream(
  columns: readonly HeadColumn[],
  dialect: Dialect,
  settings: LogSettings,
): Stream | { readonly fault: LogFinding } | null {
  const { stream } = settings;
  if (stream !== undefined) {
    if (stream.column !== undefined) {
      const found = findColumn(columns, stream.column);
      if (typeof found === "object") return { fault: found.fault("stream") };
      return { index: found, wanted: stream.equals, isGuess: false };
    }
    const holding = columns.find(({ texts }) => texts.has(stream.equals));
    if (holding !== undefined) return { index: holding.index, wanted: stream.equals, isGuess: false };
    const streams = columns.filter(isStreamColumn).flatMap(({ texts }) => [...texts.keys()]);
    return { fault: { code: "log-stream-missing", wanted: stream.equals, column: null, streams } };
  }
  const candidate = columns.find((column) => isStreamColumn(column) || interleaves(column, dialect));
  if (candidate === undefined) return null;
  const [first] = [...candidate.texts.entries()].sort((a, b) => b[1] - a[1]);
  return first === undefined ? null : { index: candidate.index, wanted: first[0], isGuess: true };
}

function isStreamColumn({ kind, words, texts, timeUnit, otherUnit, shape }: HeadColumn): boolean {
  if (texts.size === 0 || texts.size > 12 || !isStreamName(words)) return false;
  if (timeUnit !== null || otherUnit !== null) return false;
  return kind === "text" || (kind === "number" && shape.whole);
}

/** A column of few words that change from row to row, each again and again: several sources taking turns. */
function interleaves({ kind, texts, index }: HeadColumn, { rows }: Dialect): boolean {
  if (kind !== "text" || texts.size < 2 || texts.size > 12) return false;
  const cells = rows.map((row) => row.cells?.[index] ?? "");
  const changes = cells.filter((cell, i) => i > 0 && cell !== cells[i - 1]).length;
  const fewest = Math.min(...texts.values());
  return fewest >= 3 && changes > 0.2 * cells.length && looksLikeFile([...texts.keys()]);
}

function looksLikeFile(texts: readonly string[]): boolean {
  return texts.every((text) => /^[^,;|]+\.[a-z0-9_]{1,8}$/i.test(text));
}

interface Body {
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
  readonly stream: Stream | null;
  readonly recognition: Recognition;
  readonly columns: readonly HeadColumn[];
}

/** Reads every row once, the head's again; gives the streams met, by name. */
async function readBody({ batches, head, dialect }: TableRead, body: Body): Promise<Map<string, LogPart>> {
  const splitter = new RowSplitter(dialect.delimiter, dialect.firstLine);
  const streams = new StreamCounter(body);
  const take = (rows: readonly Row[], isLastOpen: boolean): void => {
    for (const [i, row] of rows.entries()) {
      takeRow(row, isLastOpen && i === rows.length - 1, dialect, body, streams);
    }
  };
  // The very last row may be cut off; it is known only when nothing follows it.
  let pending: { lines: readonly string[]; open: boolean } = {
    lines: head.lines.slice(dialect.firstLine - 1),
    open: head.open,
  };
  while (!head.ended) {
    const next = await batches.next();
    if (next.done) break;
    take(splitter.push(pending.lines), false);
    pending = next.value;
  }
  const last = [...splitter.push(pending.lines), ...splitter.end()];
  take(last, pending.open);
  return streams.parts;
}

/** Frames of every stream, for the question which one counts. */
class StreamCounter {
  readonly parts = new Map<string, LogPart>();
  private readonly body: Body;
  private readonly collectors = new Map<string, FrameCollector>();

  constructor(body: Body) {
    this.body = body;
  }

  add(name: string, cells: readonly string[], line: number): void {
    const { recognition, columns, frames, stream } = this.body;
    if (stream?.isGuess !== true || recognition.frameTime === null) return;
    if (name === stream.wanted) {
      this.note(name, frames);
      return;
    }
    if (!this.collectors.has(name) && this.collectors.size >= mostStreams) return;
    let own = this.collectors.get(name);
    if (own === undefined) {
      const { frameTime, clock } = recognition;
      const isMoment = clock !== null && columns[clock.index]?.kind === "moment";
      own = new FrameCollector(frameTime, clock, isMoment, frames.decimalSign);
      this.collectors.set(name, own);
    }
    own.addRow(cells, line);
    this.note(name, own);
  }

  private note(name: string, own: FrameCollector): void {
    this.parts.set(name, {
      name,
      get frames() {
        return own.frameTimesMs.length;
      },
      get avgFps() {
        return averageOf(own.frameTimesMs.view());
      },
    });
  }
}

function takeRow(row: Row, isOpen: boolean, dialect: Dialect, body: Body, streams: StreamCounter): void {
  const { frames, sensors, stream, columns, recognition } = body;
  const { cells, line } = row;
  if (cells === null) {
    frames.skipRow(isOpen ? "cut off" : "stray quote", line, row.text);
    return;
  }
  if (dialect.names !== null && isHeaderAgain(cells, dialect.names)) {
    frames.startSegment();
    frames.skipRow("header repeated", line);
    return;
  }
  const index = recognition.frameTime?.index ?? 0;
  if (isOpen && isCutOff(cells, dialect, columns[index])) {
    frames.skipRow("cut off", line, row.text);
    return;
  }
  if (stream !== null) {
    const name = cells[stream.index] ?? "";
    streams.add(name, cells, line);
    if (name !== stream.wanted) {
      frames.skipRow("other stream", line);
      return;
    }
  }
  if (cells.length <= index) {
    frames.skipRow("too few cells", line, row.text);
    return;
  }
  if (frames.addRow(cells, line)) sensors.addRow(cells, frames.frameTimesMs.length - 1);
}

function isHeaderAgain(cells: readonly string[], names: readonly string[]): boolean {
  return (
    cells.length >= names.length &&
    names.every((name, i) => name === cells[i]) &&
    names.some((name) => /\p{L}/u.test(name))
  );
}

/** The file's last line, without a line end: cells are missing, or the frame time lacks digits that all others have. */
function isCutOff(cells: readonly string[], dialect: Dialect, column: HeadColumn | undefined): boolean {
  if (cells.length < dialect.width) return true;
  const isLastCell = column !== undefined && column.index === dialect.width - 1;
  return isLastCell && isTruncatedCell(cells[column.index] ?? "", column.fixedDecimals, dialect.decimalSign);
}

interface Finished {
  readonly text: TextReading;
  readonly readings: readonly ColumnReading[];
  readonly recognition: Recognition;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
}

async function finish(table: TableRead, finished: Finished): Promise<LogReading> {
  const { source, settings, sensorSource, decoded } = table;
  const { text, readings, recognition, frames, sensors } = finished;
  const at = { file: source.file };
  const problems: Problem[] = [...sensors.problems(at)];
  const flags: LogFlag[] = [];

  const stretch = chooseStretch(frames, settings, at);
  if ("problem" in stretch) return { log: null, text, columns: readings, problems: [stretch.problem] };
  flags.push(...stretch.flags);
  problems.push(...stretch.problems);

  const frameTimesMs = frames.frameTimesMs.view(stretch.from, stretch.to).slice();
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
  if (frames.notUsed.has("cut off")) {
    flags.push({ code: "cut-short" });
    problems.push({ code: "log-row-cut-off", severity: "note", at });
  }
  if (decoded.damage.packed !== null) {
    problems.push({ code: "log-packing-damaged", severity: "warning", at, why: decoded.damage.packed });
  }

  const timing = timeFrames(frames, recognition, frameTimesMs, stretch, lostFrames > 0);
  if (timing.flag !== null) flags.push(timing.flag);
  const series = sensors.series(frameTimesMs, timing.frameEndsS, stretch.from);
  const beside = await readSensorLog(sensorSource, settings, timing.zero, series);
  problems.push(...beside.problems);
  const log: Log = {
    file: source.file,
    text,
    columns: readings,
    frameTimesMs,
    frameEndsS: timing.frameEndsS,
    rows: { read: frames.rows, frames: frameTimesMs.length, notUsed },
    sensors: beside.series,
    flags,
    startedAt: startOf(frames, recognition, frameTimesMs, stretch),
  };
  return { log, text, columns: readings, problems };
}

/** The part of the frames that is used. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
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

/**
 * When each frame ended. The running sum of frame times is exact unless frames were lost or the clock says that time
 * is missing; then the clock tells.
 */
function timeFrames(
  frames: FrameCollector,
  { frameTime, clock, wallClock }: Recognition,
  frameTimesMs: Float64Array,
  { from, to }: Stretch,
  hasLost: boolean,
): { frameEndsS: Float64Array | null; flag: LogFlag | null; zero: ClockZero } {
  let sumS = 0;
  for (const ms of frameTimesMs) sumS += ms / 1000;
  const unknown = { frameEndsS: null, flag: null, zero: { atS: null, wallS: null, spanS: sumS } };
  if (clock === null || frames.firstClock === null) return unknown;
  const clockS = frames.clockS.view(from, to);
  const n = frameTimesMs.length;
  const known = clockS.findIndex((value) => !Number.isNaN(value));
  const lastKnown = clockS.findLastIndex((value) => !Number.isNaN(value));
  if (known < 0) return unknown;
  // Frame times of the rows between two readings: the first row's lies before its reading, or the last row's after it.
  let betweenS = 0;
  for (let i = known + 1 - clock.lag; i <= lastKnown - clock.lag; i++)
    betweenS += (frameTimesMs[i] ?? 0) / 1000;
  const spanS = (clockS[lastKnown] ?? 0) - (clockS[known] ?? 0);
  const isMissing =
    frameTime?.how !== "steps" &&
    lastKnown > known &&
    Math.abs(betweenS - spanS) > timeMissingShare * spanS + 2 * clock.precisionS;
  const firstFrameS = (frameTimesMs[known] ?? 0) / 1000;
  let beforeS = 0;
  for (let i = 0; i < known; i++) beforeS += (frameTimesMs[i] ?? 0) / 1000;
  const startS = (clockS[known] ?? 0) - beforeS - (clock.lag === 0 ? firstFrameS : 0);
  const base = (frames.clockReader?.base ?? 0) * clock.unitS + frames.firstClock * clock.unitS;
  const isWall = wallClock?.index === clock.index;
  const zero = { atS: base + startS, wallS: isWall ? base + startS : null, spanS: Math.max(sumS, spanS) };
  if (!isMissing && !hasLost) return { frameEndsS: null, flag: null, zero };

  const frameEndsS = new Float64Array(n);
  let endS = 0;
  for (let i = 0; i < n; i++) {
    const ownS = (frameTimesMs[i] ?? 0) / 1000;
    const readingS = clockS[i] ?? Number.NaN;
    const byClock = readingS - startS + (clock.lag === 1 ? ownS : 0);
    // A clock that is coarse, or has gaps, never takes the frames' time back.
    endS = Number.isNaN(byClock) ? endS + ownS : Math.max(endS, byClock);
    frameEndsS[i] = endS;
  }
  const flag: LogFlag | null = isMissing
    ? { code: "time-missing", frameSumS: betweenS, clockSpanS: spanS }
    : null;
  return { frameEndsS, flag, zero };
}

/** When the capture began, where the log's clock carries the date. */
function startOf(
  frames: FrameCollector,
  { clock, wallClock }: Recognition,
  frameTimesMs: Float64Array,
  { from }: Stretch,
): string | null {
  if (clock === null || wallClock === null || wallClock.index !== clock.index || frames.firstClock === null)
    return null;
  const base = (frames.clockReader?.base ?? 0) * clock.unitS + frames.firstClock * clock.unitS;
  const readingS = frames.clockS.view()[from] ?? Number.NaN;
  const startMs = 1000 * (base + readingS) - (clock.lag === 0 ? (frameTimesMs[0] ?? 0) : 0);
  if (!Number.isFinite(startMs) || Math.abs(startMs) > 8.64e15) return null;
  return new Date(Math.round(startMs)).toISOString();
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
        const tried = await readGuarded(source, { ...settings, frameTime: { column, unit } }, null);
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
