import { formatCount, formatFigure, formatPct } from "../shared/format-number.ts";
import type { FrameTimeCandidate, LogFinding, LogPart } from "../shared/problem.ts";
import { escapeJson } from "./escape.ts";
import { didYouMean, type FindingWords } from "./finding-words.ts";

const mostListed = 12;

/** Findings about one log in words. */
export function describeLogFinding(finding: LogFinding): FindingWords {
  switch (finding.code) {
    case "log-missing":
      return {
        message: "there is no such log",
        ...didYouMean(finding.nearest),
      };
    case "log-is-folder":
      return { message: "this is a folder, not a log", todo: "give the logs in it one by one" };
    case "log-empty":
      return { message: "the log is empty; it is left out" };
    case "log-binary":
      return {
        message: "this is no text; it is left out",
        expected: "delimited text with one row per frame",
      };
    case "log-no-table":
      return {
        message: "no table was found; the log is left out",
        expected: "delimited text with one row per frame",
      };
    case "log-too-wide":
      return {
        message: `the log has ${formatCount(finding.columns)} columns; it is left out`,
        expected: `at most ${formatCount(finding.most)} columns; give a log with fewer sensors, one row per frame`,
      };
    case "log-line-too-long":
      return { message: "this line is too long for a row of a table; the log is left out" };
    case "log-too-long":
      return {
        message: `the log is longer than any capture: over ${formatCount(finding.most)} ${finding.limit}${finding.limit === "bytes" ? " unpacked" : ""}; it is left out`,
      };
    case "log-packing-damaged":
      return {
        message: `the compressed data are incomplete: ${finding.why}; ${finding.isUsed ? "what could be unpacked is used" : "the log is left out"}`,
      };
    case "log-header-width":
      return {
        message: `the header has ${finding.names} names and the rows have ${finding.cells} cells; the log is left out`,
        expected: "as many names as cells",
      };
    case "log-without-rows":
      return { message: "the log has a header and no rows; it is left out" };
    case "log-without-frames":
      return { message: `none of ${formatCount(finding.rows)} rows gave a frame; the log is left out` };
    case "log-words-for-numbers":
      return {
        message: `frame times in column ${quote(finding.name)} are not numbers: ${quote(finding.found)}; the log is left out`,
        expected: `${unitWords(finding.unit)} such as ${finding.unit === "s" ? "0.0167" : "16.7"}`,
      };
    case "log-no-frame-time":
      return {
        message: `no column of frame times, clock or frame rate among ${list(finding.columns)}; the log is left out`,
        expected: "a column of frame times, a clock, or instantaneous FPS",
        todo: `if one of them is, say which and in what unit (s, ms, us, ns or fps), for example:\n${sessionLines("frame-time", finding.columns[0] ?? "name", "ms")}`,
      };
    case "log-frame-time-unclear":
      return {
        message: `${unclearWords[finding.why]}; the log is left out until you decide`,
        todo: [
          "it could be:",
          ...finding.candidates.map(candidateLine),
          "write the line that is right into session.yaml:",
          ...finding.candidates.map(({ column, unit, for: scope }) =>
            sessionLines("frame-time", column, unit, scope),
          ),
          // Nothing but a clock, whose rows lie too far apart for frames.
          ...(finding.why === "words-too-weak" && finding.candidates.every(({ isClock }) => isClock)
            ? ["if it holds sensors, name it after the log that it belongs to, such as pass-1.sensors.csv"]
            : []),
        ].join("\n"),
      };
    case "log-not-per-frame":
      return {
        message:
          `the rows are not frames: ${quote(finding.column)} says ${formatFigure(finding.frameTimeMs)} ms per frame, ` +
          `but the rows are ${formatFigure(finding.stepMs)} ms apart by ${quote(finding.clock)}; the log is left out`,
        expected: "one row per frame",
      };
    case "log-clock-too-coarse":
      return {
        message:
          `the only clock, ${quote(finding.column)}, cannot tell frames apart: its digits show steps of ` +
          `${formatFigure(finding.stepMs)} ms, and it stands still from row to row in ` +
          `${formatPct(finding.standingPct)} of the rows; the log is left out`,
        expected: "a clock fine enough to tell frames apart, or a column of frame times",
      };
    case "log-streams":
      return {
        message: `column ${quote(finding.column)} tells several streams of frames apart; the log is left out until you decide`,
        todo: [
          "they are:",
          ...finding.streams.map((part) => `  ${quote(part.name)}: ${partWords(part)}`),
          "write the line that is right into session.yaml:",
          ...finding.streams.map(({ name, for: scope }) => streamLine(finding.column, name, scope)),
        ].join("\n"),
      };
    case "log-stream-missing":
      return {
        message: `no stream is called ${quote(finding.wanted)}; the log is left out`,
        ...(finding.streams.length > 0 ? { expected: `one of ${list(finding.streams)}` } : {}),
        ...(finding.for !== undefined && finding.streams.length > 0
          ? {
              todo: [
                `correct it in session.yaml, or, where only this game's stream has another name, write:`,
                ...finding.streams
                  .slice(0, mostListed)
                  .map((name) => streamLine(finding.column, name, finding.for)),
              ].join("\n"),
            }
          : {}),
      };
    case "log-column-missing":
      return {
        message: `the session's ${finding.key} names the column ${quote(finding.wanted)}, which the log lacks; it is left out`,
        expected: `one of ${list(finding.columns)}`,
      };
    case "log-column-twice":
      return {
        message: `several columns are called ${quote(finding.wanted)}; the log is left out`,
        expected: `the column's number for ${finding.key}: ${finding.positions.join(" or ")}`,
      };
    case "log-restarted":
      return {
        message: `the log was restarted: ${finding.segments.length} stretches; the pass does not count until you decide`,
        todo: [
          ...finding.segments.map((part) => `stretch ${part.name}: ${partWords(part)}`),
          "write the line that is right into session.yaml:",
          ...finding.segments.map(({ name }) => `  ${logLine(`segment: ${name}`, finding.for)}`),
        ].join("\n"),
      };
    case "log-segment-missing":
      return {
        message: `the session picks stretch ${finding.wanted} of a log that has ${finding.segments}; it is left out`,
      };
    case "log-rows-lost":
      return {
        message:
          `${formatCount(finding.rows)} ${finding.rows === 1 ? "row is" : "rows are"} not used, the first here: ` +
          `${finding.reason} (${quote(finding.found)} in ${quote(finding.column)})`,
      };
    case "log-changed":
      return {
        message: "this log was written while it was read: its figures may be of neither version",
        todo: "run again when the capture is whole",
      };
    case "log-row-cut-off":
      return { message: "the last row was cut off and is not used" };
    case "log-encoding-guessed":
      return { message: `the text is not UTF-8; it was read as ${finding.encoding}` };
    case "sensor-log-unusable":
      return { message: `the sensor log cannot be used: ${finding.why}; the pass is judged without it` };
    case "sensor-log-elsewhere":
      return { message: "the sensor log covers another time than the frames; it is not used" };
    case "sensor-clock-aligned":
      return {
        message: "the sensor log shares no clock with the frames; both are taken to start together",
        todo: "if they do not, say by how much: `sensors: { offset: 1.5s }` in session.yaml",
      };
    case "sensor-missing":
      return {
        message: `neither the log nor its sensor log has the column ${quote(finding.wanted)} that the session names for ${finding.role}`,
        expected: `one of ${list(finding.columns)}, or a column of the sensor log`,
      };
    case "sensor-unclear":
      return {
        message: `several columns could be the ${finding.role.replace("-", " ")}: ${list(finding.columns)}; none is used`,
        todo: [
          "write the line that is right into session.yaml:",
          ...finding.columns
            .slice(0, mostListed)
            .map((name) => `  sensors: { ${finding.role}: { column: ${yaml(name)} } }`),
        ].join("\n"),
      };
  }
}

const unclearWords = {
  "columns-fit-alike": "several columns could be the frame time",
  "clock-disagrees": "the column named like a frame time does not agree with the clock",
  "unit-against-clock": "the header's unit of the frame time contradicts the clock",
  "unit-against-values": "the unit of the header or of the date makes no sense of the values",
  "unit-unknown": "the unit of the frame time cannot be told",
  "words-too-weak": "nothing names the frame time clearly enough",
} as const;

function candidateLine({ column, position, unit, isClock, avgFps, grounds }: FrameTimeCandidate): string {
  const what = isClock ? `the steps of column ${position}` : `column ${position}`;
  const gives = avgFps === null ? "gives no frames" : `gives an average of ${formatFigure(avgFps)} FPS`;
  return `  ${what}, ${quote(column)}, in ${unit}: ${gives}; ${grounds.join("; ")}`;
}

function sessionLines(key: string, column: string, unit: string, scope?: string): string {
  return `  ${logLine(`${key}: { column: ${yaml(column)}, unit: ${unit} }`, scope)}`;
}

function streamLine(column: string | null, name: string, scope?: string): string {
  const inColumn = column === null ? "" : `column: ${yaml(column)}, `;
  return `  ${logLine(`stream: { ${inColumn}equals: ${yaml(name)} }`, scope)}`;
}

/** @param scope the logs it is for; left out for all */
function logLine(setting: string, scope?: string): string {
  return scope === undefined ? `log: { ${setting} }` : `log: { for: { ${yaml(scope)}: { ${setting} } } }`;
}

function partWords({ frames, avgFps }: LogPart): string {
  return `${formatCount(frames)} frames${avgFps === null ? "" : `, average FPS ${formatFigure(avgFps)}`}`;
}

function unitWords(unit: string | null): string {
  return { s: "seconds", us: "microseconds", ns: "nanoseconds" }[unit ?? ""] ?? "milliseconds";
}

function list(names: readonly string[]): string {
  const shown = names.slice(0, mostListed).map(quote);
  return names.length > shown.length
    ? `${shown.join(", ")} and ${names.length - shown.length} more`
    : shown.join(", ");
}

function quote(text: string): string {
  const characters = Array.from(text);
  return `"${characters.length > 60 ? `${characters.slice(0, 60).join("")}…` : text}"`;
}

/** A YAML scalar that reads back as the same text: a JSON string is one. */
function yaml(text: string): string {
  return escapeJson(JSON.stringify(text));
}
