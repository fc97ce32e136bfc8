import { longestMs, restartS } from "../../read/frame-collector.ts";
import { mostColumns, mostLogBytes, mostLogLines } from "../../read/log-limits.ts";
import { maxLineLength } from "../../read/split-lines.ts";
import { formatCount } from "../../shared/format-number.ts";
import type { LogFinding } from "../../shared/problem.ts";
import { ownRule, type Page, practice } from "./page.ts";

const inspect = "`runjury inspect <log>` shows every column with the evidence for and against.";

/** Pages of what can be wrong inside a log. */
export const logPages: Readonly<Record<LogFinding["code"], Page>> = {
  "log-missing": {
    means: "There is no such log.",
    found: "The path given leads to nothing.",
    todo: "Give the path of a log.",
    source: ownRule,
  },
  "log-is-folder": {
    means: "A folder was given where a single log is needed.",
    found: "The path given leads to a folder.",
    todo: "Give the logs in it one by one.",
    source: ownRule,
  },
  "log-empty": {
    means: "The log has no bytes, or nothing but empty lines; it is left out.",
    found: "Nothing was read from it.",
    todo: "Capture the pass again.",
    source: ownRule,
  },
  "log-binary": {
    means: "The log is no text; it is left out.",
    found:
      "Too many of its first characters are controls that no text has, and it is not compressed with gzip.",
    todo: "Export the capture as delimited text.",
    source: practice,
  },
  "log-no-table": {
    means: "No table was found in the log; it is left out.",
    found:
      "No delimiter (comma, semicolon, tab, pipe, blanks) gives rows with equal numbers of cells and numbers in them.",
    todo: "Give a log with one row per frame. Notes beside captures are passed over under an ending that no log has, such as .md.",
    source: "RFC 4180 for quoted cells; delimiters by this tool's own evidence",
  },
  "log-too-wide": {
    means: "The log has more columns than are read; it is left out.",
    found: `Its rows have more than ${formatCount(mostColumns)} cells.`,
    todo: "Look whether the file is a log at all; else log fewer sensors.",
    source: ownRule,
  },
  "log-line-too-long": {
    means: "A line is too long for the row of a table; the log is left out.",
    found: `A line has more than ${formatCount(maxLineLength)} characters.`,
    todo: "Look whether the file is a log at all.",
    source: ownRule,
  },
  "log-too-long": {
    means: "The log is longer than any capture; it is left out.",
    found: `It has more than ${formatCount(mostLogLines)} lines, or more than ${formatCount(mostLogBytes)} bytes when unpacked.`,
    todo: "Look whether the file is a log at all; part a capture of many hours.",
    source: ownRule,
  },
  "log-packing-damaged": {
    means: "The compressed data are damaged or incomplete; what could be unpacked is used.",
    found: "Unpacking ended with an error before the end.",
    todo: "Pack the log again from the original, or capture the pass again.",
    source: "RFC 1952 (gzip)",
  },
  "log-header-width": {
    means: "The header has another number of names than the rows have cells; the log is left out.",
    found: "The counts differ in the header and in nearly all rows, so no name can be trusted.",
    todo: "Mend the header: as many names as cells.",
    source: ownRule,
  },
  "log-without-rows": {
    means: "The log has a header and no rows; it is left out.",
    found: "Nothing follows the line of names.",
    todo: "Capture the pass again.",
    source: ownRule,
  },
  "log-without-frames": {
    means: "None of the rows gave a frame; the log is left out.",
    found: "Every frame time is empty, no number, zero, negative or absurdly long.",
    todo: inspect,
    source: ownRule,
  },
  "log-words-for-numbers": {
    means: "The column named like frame times holds words; the log is left out.",
    found: "Its name says frame time, and most of its cells are no numbers.",
    todo: "Export numbers, or name another column as `log: { frame-time: ... }` in session.yaml.",
    source: ownRule,
  },
  "log-no-frame-time": {
    means: "No column gives frame times; the log is left out.",
    found: "No column of numbers is plausible as frame times, as a clock per frame, or as instantaneous FPS.",
    todo: `Name the column as \`log: { frame-time: ... }\` in session.yaml. ${inspect}`,
    source: ownRule,
  },
  "log-frame-time-unclear": {
    means: "The log can honestly be read in several ways; it is left out until you decide.",
    found:
      "Several columns or units fit alike, or the words of the header contradict the clock. Nothing is guessed.",
    todo: "Write the line that the message offers into session.yaml.",
    source: ownRule,
  },
  "log-not-per-frame": {
    means: "The rows are not frames but samples, so there are no lows in them; the log is left out.",
    found: "A column says how long a frame takes, and the clock says that the rows lie much further apart.",
    todo: "Log every frame, one row each.",
    source: ownRule,
  },
  "log-clock-too-coarse": {
    means: "The only clock is too coarse to tell frames apart; the log is left out.",
    found:
      "It stands still from row to row in too many rows, or its digits show steps of half a frame or more.",
    todo: "Log frame times, or a finer clock.",
    source: ownRule,
  },
  "log-streams": {
    means:
      "The log holds frames of several sources (such as programs) in turn; it is left out until you decide.",
    found: "A column of text with few values tells rows apart, and each part has its own steady frames.",
    todo: "Choose one: `log: { stream: { column: ..., equals: ... } }` in session.yaml, as the message shows. Where each game's source has a name of its own, `log: { for: { tide-runner: { stream: ... } } }` says it for one game.",
    source: ownRule,
  },
  "log-stream-missing": {
    means: "The stream that the session wants is not in this log; it is left out.",
    found: "No row has that value.",
    todo: "Correct `log: { stream: ... }` in session.yaml, or say for this game alone what its stream is called: `log: { for: { tide-runner: { stream: ... } } }`.",
    source: ownRule,
  },
  "log-column-missing": {
    means: "The session names a column that this log lacks; the log is left out.",
    found: "No name in the header equals it.",
    todo: "Correct the name in session.yaml; the message lists those there are.",
    source: ownRule,
  },
  "log-column-twice": {
    means: "The session names a column that the log has several times; the log is left out.",
    found: "Several names in the header equal it.",
    todo: "Give the column's number instead of its name.",
    source: ownRule,
  },
  "log-restarted": {
    means: "The log holds several stretches of time; the pass does not count until you choose one.",
    found: `The header comes again, or the clock falls by more than ${restartS} s.`,
    todo: "Choose one in session.yaml: `log: { segment: 2 }` for all logs that were restarted, or for this pass alone, as the message shows.",
    source: ownRule,
  },
  "log-segment-missing": {
    means: "The session picks a stretch that this log does not have; it is left out.",
    found: "The log has fewer stretches than the number given.",
    todo: "Correct `log: { segment: ... }` in session.yaml.",
    source: ownRule,
  },
  "log-rows-lost": {
    means: "Some rows gave no frame; they are counted, and the rest is used.",
    found: `A cell is empty, no number, zero, negative or above ${formatCount(longestMs)} ms, or the row has another number of cells. Rows read are always frames plus rows not used.`,
    todo: `A few are harmless; many flag the pass as damaged. ${inspect}`,
    source: ownRule,
  },
  "log-changed": {
    means: "The log was written while it was read: its figures may be of neither version.",
    found: "The file's size, or the time of its last write or change, differed before and after the reading.",
    todo: "Run again when the capture is whole.",
    source: ownRule,
  },
  "log-row-cut-off": {
    means: "The last row was cut off and is not used.",
    found: "It ends in the middle of a cell, or has fewer cells.",
    todo: "Nothing: one row is one frame.",
    source: ownRule,
  },
  "log-encoding-guessed": {
    means:
      "The text is not UTF-8; it was read in an older encoding, so names may look wrong. Numbers do not change.",
    found: "Some bytes are no UTF-8, and there is no byte order mark.",
    todo: "Save the log as UTF-8 if its names matter.",
    source: "RFC 3629 (UTF-8); WHATWG Encoding Standard",
  },
  "sensor-log-unusable": {
    means: "The sensor log beside the pass cannot be used; the pass is judged without it.",
    found: "It has no clock, no sensor, or no table.",
    todo: inspect,
    source: ownRule,
  },
  "sensor-log-elsewhere": {
    means: "The sensor log covers another time than the frames; it is not used.",
    found: "No reading falls into the time of the frames, with the session's offset.",
    todo: "Give the offset (`sensors: { offset: 1.5s }`), or put the right file beside the pass.",
    source: ownRule,
  },
  "sensor-clock-aligned": {
    means: "The sensor log shares no clock with the frames; both are taken to start together.",
    found: "Neither clock holds a date, so only elapsed time can be compared.",
    todo: "If they do not start together, say by how much: `sensors: { offset: 1.5s }`.",
    source: ownRule,
  },
  "sensor-missing": {
    means: "The column that the session names for a sensor is in neither log.",
    found: "No name in the header of the log or of its sensor log equals it.",
    todo: "Correct `sensors` in session.yaml.",
    source: ownRule,
  },
  "sensor-unclear": {
    means: "Several columns could be this sensor; none is used.",
    found: "The words of several names fit alike.",
    todo: "Choose one as `sensors: { cpu-power: { column: ... } }` in session.yaml.",
    source: ownRule,
  },
};
