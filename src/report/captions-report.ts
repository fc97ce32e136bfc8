import type { RunningFigures } from "../measure/running-figures.ts";
import { formatMovingFps } from "../shared/format-number.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import { cueText, visible } from "./escape.ts";
import { lowsWords } from "./lows-words.ts";
import { toCsv } from "./to-csv.ts";

/** One capture's running figures, for a caption track. */
export interface CaptionTrack {
  /** As the user typed it. */
  readonly file: string;
  /** A name for the track's file: game, config and pass, or the log's own name. */
  readonly name: string;
  /** The config's title, to be shown over the figures; null for none. */
  readonly heading: string | null;
  readonly lows: LowsDefinition;
  /** Where the last caption ends, seconds. */
  readonly lengthS: number;
  readonly moments: readonly RunningFigures[];
}

/**
 * A caption track as WebVTT.
 * @see W3C, WebVTT: The Web Video Text Tracks Format (Candidate Recommendation, 4 April 2019), sections 4.1 and 4.2
 */
export function captionsVtt(track: CaptionTrack): string {
  const note = `NOTE\nRunning figures of ${cueText(track.name)}.\n1% and 0.1% low: ${lowsWords[track.lows]}, of the frames so far.`;
  const cues = cuesOf(track).map(
    ({ fromS, toS, lines }) =>
      `${clockTime(fromS, ".")} --> ${clockTime(toS, ".")}\n${lines.map(cueText).join("\n")}`,
  );
  return `${["WEBVTT", note, ...cues].join("\n\n")}\n`;
}

/** The same as SubRip: numbered captions, a comma before the milliseconds (common practice, no published standard). */
export function captionsSrt(track: CaptionTrack): string {
  const cues = cuesOf(track).map(({ fromS, toS, lines }, i) => {
    // Players take tags in angle brackets for styling, and there is no way to escape them.
    const shown = lines.map((line) => visible(line).replace(/[<>{}]/g, " "));
    return `${i + 1}\n${clockTime(fromS, ",")} --> ${clockTime(toS, ",")}\n${shown.join("\n")}\n`;
  });
  return `${cues.join("\n")}\n`;
}

/** The figures of all tracks, one row per capture and moment, unrounded. */
export function captionsCsv(tracks: readonly CaptionTrack[]): string {
  return toCsv(
    ["track", "file", "atS", "frames", "avgFps", "low1Fps", "low01Fps"],
    tracks.flatMap(({ name, file, moments }) =>
      moments.map(({ atS, frames, avgFps, low1Fps, low01Fps }) => [
        name,
        file,
        atS,
        frames,
        avgFps,
        low1Fps,
        low01Fps,
      ]),
    ),
  );
}

interface Cue {
  readonly fromS: number;
  readonly toS: number;
  readonly lines: readonly string[];
}

function cuesOf({ heading, moments, lengthS }: CaptionTrack): Cue[] {
  return moments.map((moment, i) => ({
    fromS: moment.atS,
    toS: moments[i + 1]?.atS ?? lengthS,
    lines: [
      ...(heading === null ? [] : [heading]),
      `average FPS ${shown(moment.avgFps)}`,
      `1% low ${shown(moment.low1Fps)}`,
      `0.1% low ${shown(moment.low01Fps)}`,
    ],
  }));
}

/** What does not exist yet is said, never guessed. */
function shown(fps: number | null): string {
  return fps === null ? "too early" : formatMovingFps(fps);
}

/** Hours, minutes, seconds, milliseconds; never less than two digits of hours. */
function clockTime(seconds: number, mark: "." | ","): string {
  const ms = Math.round(1000 * seconds);
  const two = (value: number): string => String(value).padStart(2, "0");
  const [h, m, s] = [Math.floor(ms / 3_600_000), Math.floor(ms / 60_000) % 60, Math.floor(ms / 1000) % 60];
  return `${two(h)}:${two(m)}:${two(s)}${mark}${String(ms % 1000).padStart(3, "0")}`;
}
