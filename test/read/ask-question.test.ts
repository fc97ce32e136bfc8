import { describe, expect, test } from "vitest";
import { askQuestion } from "../../src/read/ask-question.ts";
import type { Problem } from "../../src/shared/problem.ts";

const at = { file: "tide-runner/quiet-35w/pass-1.csv" };

describe("what a log leaves open is asked, with answers that settle it", () => {
  test("a frame time that two columns could be", () => {
    const candidate = { position: 1, isClock: false };
    const problem: Problem = {
      code: "log-frame-time-unclear",
      severity: "error",
      at,
      why: "columns-fit-alike",
      candidates: [
        {
          ...candidate,
          column: "a ms",
          unit: "ms",
          avgFps: 59.96,
          grounds: ["its name says ms", "no clock"],
        },
        { ...candidate, column: "b", unit: "us", avgFps: null, grounds: ["its name says nothing"] },
      ],
    };
    expect(askQuestion(problem)).toEqual([
      {
        file: at.file,
        question: "Which column is the frame time, and in which unit?",
        answers: [
          {
            settings: { frameTime: { column: "a ms", unit: "ms" } },
            meaning: "average FPS 60.0: its name says ms; no clock",
          },
          {
            settings: { frameTime: { column: "b", unit: "us" } },
            meaning: "no frames: its name says nothing",
          },
        ],
      },
    ]);
  });

  test("streams that take turns", () => {
    const problem: Problem = {
      code: "log-streams",
      severity: "error",
      at,
      column: "process",
      streams: [
        { name: "tide-runner", frames: 900, avgFps: 59.96 },
        { name: "overlay", frames: 0, avgFps: null },
      ],
    };
    expect(askQuestion(problem)).toEqual([
      {
        file: at.file,
        question: "Which of the streams in column process is the game?",
        answers: [
          {
            settings: { stream: { column: "process", equals: "tide-runner" } },
            meaning: "900 frames, average FPS 60.0",
          },
          { settings: { stream: { column: "process", equals: "overlay" } }, meaning: "0 frames" },
        ],
      },
    ]);
  });

  test("nothing is asked of a log that cannot be read at all", () => {
    expect(askQuestion({ code: "log-empty", severity: "error", at })).toEqual([]);
  });
});
