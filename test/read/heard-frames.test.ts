import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { HeardFrames } from "../../src/read/heard-frames.ts";
import { markBlanks } from "../../src/read/mark-silence.ts";

const forever = Number.POSITIVE_INFINITY;

/** Frames of 50 ms; a reading in the rows of these, from the first up to the last of each pair. */
function heardIn(...runs: readonly (readonly [from: number, to: number])[]): HeardFrames {
  const heard = new HeardFrames();
  for (const [from, to] of runs) {
    heard.at(from);
    heard.upTo(to);
  }
  return heard;
}
const silencesOf = (heard: HeardFrames, from = 0, count = 600, framesPerS = 20) =>
  heard
    .silences((frame) => frame / framesPerS, from, count)
    .map(({ fromS, toS }) => [Number(fromS.toFixed(9)), Number(toS.toFixed(9))]);

/** The same by the rule, row by row. A step from row to row counts as none. */
function silencesByRows(frames: readonly number[], count: number, framesPerS: number): number[][] {
  const steps = frames
    .slice(1)
    .map((frame, i) => (frame - (frames[i] as number) > 1 ? frame - (frames[i] as number) : 0));
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1] ?? 0;
  const most = Math.max(5 * framesPerS, 5 * usual);
  const first = frames[0] as number;
  const last = frames.at(-1) as number;
  const between = frames.flatMap((frame, i) =>
    (frames[i + 1] ?? frame) - frame > most ? [[frame + most, frames[i + 1] as number]] : [],
  );
  const before = first > most ? [[0, first - most]] : [];
  const after = count - 1 - last > most ? [[last + most, forever]] : [];
  return [...before, ...between, ...after].map((silence) => silence.map((frame) => frame / framesPerS));
}

describe("a reading in a frame's row holds for 5 s, or for five readings as they usually come", () => {
  test.for([
    { what: "in every row", runs: [[0, 599]], silences: [] },
    { what: "up to 5 s before the end", runs: [[0, 499]], silences: [] },
    { what: "up to longer before the end", runs: [[0, 399]], silences: [[24.95, forever]] },
    { what: "from 5 s on", runs: [[100, 599]], silences: [] },
    { what: "from later on", runs: [[240, 599]], silences: [[0, 7]] },
    {
      what: "in one row in the middle",
      runs: [[300, 300]],
      silences: [
        [0, 10],
        [20, forever],
      ],
    },
    {
      what: "with a pause of 5 s",
      runs: [
        [0, 200],
        [300, 599],
      ],
      silences: [],
    },
    {
      what: "with a longer pause",
      runs: [
        [0, 200],
        [302, 599],
      ],
      silences: [[15, 15.1]],
    },
    {
      what: "every 4 s",
      runs: [
        [0, 0],
        [80, 80],
        [160, 160],
        [240, 240],
      ],
      silences: [],
    },
    {
      what: "every 6 s, from 10 s on",
      runs: [
        [200, 200],
        [320, 320],
        [440, 440],
        [560, 560],
      ],
      silences: [],
    },
    {
      what: "every 2 s, then no more",
      runs: [
        [0, 0],
        [40, 40],
        [80, 80],
        [120, 120],
      ],
      silences: [[16, forever]],
    },
  ] as const)("$what", ({ runs, silences }) => {
    expect(silencesOf(heardIn(...runs))).toEqual(silences);
  });

  test("whatever rows they stand in", () => {
    const runs = fc.array(fc.tuple(fc.integer({ min: 1, max: 250 }), fc.constantFrom(0, 0, 0, 1, 2, 40)), {
      minLength: 1,
      maxLength: 8,
    });
    fc.assert(
      fc.property(runs, fc.boolean(), fc.nat(50), (lengths, isEach, rest) => {
        const heard = new HeardFrames();
        const frames: number[] = [];
        let frame = -1;
        for (const [skipped, more] of lengths) {
          frame += skipped;
          heard.at(frame);
          const end = frame + more;
          for (; frame < end; frame++) {
            frames.push(frame);
            if (isEach) heard.at(frame + 1);
          }
          frames.push(frame);
          if (!isEach) heard.upTo(frame);
        }
        // Sixteenths of a second are exact, so that what lies on the limit lies on it.
        const count = frame + 1 + rest;
        expect(silencesOf(heard, 0, count, 16)).toEqual(silencesByRows(frames, count, 16));
      }),
    );
  });

  test("two readings 6 s apart hold for 30 s", () => {
    expect(silencesOf(heardIn([0, 0], [120, 120]), 0, 700)).toEqual([]);
    expect(silencesOf(heardIn([0, 0], [120, 120]), 0, 800)).toEqual([[36, forever]]);
  });

  test("in a stretch, as they usually come in it", () => {
    const often = Array.from({ length: 12 }, (_, i) => [20 * i, 20 * i] as const);
    const seldom = [340, 460, 580, 700].map((frame) => [frame, frame] as const);
    expect(silencesOf(heardIn(...often, ...seldom), 400, 400)).toEqual([]);
    const later = often.map(([frame]) => [800 + frame, 800 + frame] as const);
    expect(silencesOf(heardIn(...seldom, ...later), 300, 400)).toEqual([]);
  });

  test("in the stretch that is used, by its own time", () => {
    const heard = heardIn([0, 100], [500, 599]);
    expect(silencesOf(heard, 50, 550)).toEqual([[7.5, 22.5]]);
    expect(silencesOf(heard, 200, 400)).toEqual([[5, 15]]);
    expect(silencesOf(heard, 200, 80)).toEqual([]);
    expect(silencesOf(heard, 500, 100)).toEqual([]);
    expect(silencesOf(heard, 0, 300)).toEqual([[10, forever]].map(([fromS]) => [fromS, 14.95]));
  });
});

describe("silences are marked among readings that are kept where they change", () => {
  const series = { atS: Float64Array.of(0, 2, 20, 30), values: Float64Array.of(40, 41, 45, 45) };
  const marked = (...silences: readonly (readonly [number, number])[]) => {
    const { atS, values } = markBlanks(
      series,
      silences.map(([fromS, toS]) => ({ fromS, toS })),
    );
    return [...atS].map((at, i) => [at, values[i]]);
  };

  test.for([
    {
      silences: [],
      is: [
        [0, 40],
        [2, 41],
        [20, 45],
        [30, 45],
      ],
    },
    {
      silences: [[7, 12]],
      is: [
        [0, 40],
        [2, 41],
        [7, Number.NaN],
        [12, 41],
        [20, 45],
        [30, 45],
      ],
    },
    {
      silences: [[7, 20]],
      is: [
        [0, 40],
        [2, 41],
        [7, Number.NaN],
        [20, 45],
        [30, 45],
      ],
    },
    {
      silences: [[25, forever]],
      is: [
        [0, 40],
        [2, 41],
        [20, 45],
        [25, Number.NaN],
      ],
    },
    {
      silences: [
        [7, 9],
        [25, 27],
      ],
      is: [
        [0, 40],
        [2, 41],
        [7, Number.NaN],
        [9, 41],
        [20, 45],
        [25, Number.NaN],
        [27, 45],
        [30, 45],
      ],
    },
  ] as const)("$silences", ({ silences, is }) => {
    expect(marked(...silences)).toEqual(is);
  });
});
