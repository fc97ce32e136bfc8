import type { LogPart, Problem } from "../shared/problem.ts";
import type { LogSettings } from "./log.ts";
import type { LogQuestion } from "./session-found.ts";

/** The question that a log could not answer by itself, with the settings that would answer it. */
export function askQuestion(problem: Problem): LogQuestion[] {
  const { file } = problem.at;
  if (problem.code === "log-frame-time-unclear") {
    return [
      {
        file,
        question: "Which column is the frame time, and in which unit?",
        answers: problem.candidates.map(({ column, unit, avgFps, grounds, for: scope }) => ({
          settings: { frameTime: { column, unit } } satisfies LogSettings,
          meaning: `${avgFps === null ? "no frames" : `average FPS ${avgFps.toFixed(1)}`}: ${grounds.join("; ")}`,
          ...scopeOf(scope),
        })),
      },
    ];
  }
  if (problem.code === "log-streams") {
    return [
      {
        file,
        question: `Which of the streams in column ${problem.column} is the game?`,
        answers: problem.streams.map((part) => ({
          settings: { stream: { column: problem.column, equals: part.name } } satisfies LogSettings,
          meaning: partWords(part),
          ...scopeOf(part.for),
        })),
      },
    ];
  }
  if (problem.code === "log-restarted") {
    return [
      {
        file,
        question: "The log was restarted: which stretch of it counts?",
        answers: problem.segments.map((part) => ({
          settings: { segment: Number(part.name) } satisfies LogSettings,
          meaning: partWords(part),
          ...scopeOf(problem.for),
        })),
      },
    ];
  }
  return [];
}

function partWords({ frames, avgFps }: LogPart): string {
  return `${frames} frames${avgFps === null ? "" : `, average FPS ${avgFps.toFixed(1)}`}`;
}

function scopeOf(scope: string | undefined): { readonly scope?: string } {
  return scope === undefined ? {} : { scope };
}
