import type { Problem } from "../shared/problem.ts";
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
        answers: problem.candidates.map(({ column, unit, avgFps, grounds }) => ({
          settings: { frameTime: { column, unit } } satisfies LogSettings,
          meaning: `${avgFps === null ? "no frames" : `average FPS ${avgFps.toFixed(1)}`}: ${grounds.join("; ")}`,
        })),
      },
    ];
  }
  if (problem.code === "log-streams") {
    return [
      {
        file,
        question: `Which of the streams in column ${problem.column} is the game?`,
        answers: problem.streams.map(({ name, frames, avgFps }) => ({
          settings: { stream: { column: problem.column, equals: name } } satisfies LogSettings,
          meaning: `${frames} frames${avgFps === null ? "" : `, average FPS ${avgFps.toFixed(1)}`}`,
        })),
      },
    ];
  }
  return [];
}
