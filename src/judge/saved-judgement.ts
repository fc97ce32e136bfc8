import * as z from "zod";
import { lowsDefinitions } from "../shared/lows-definition.ts";
import { metrics } from "../shared/metrics.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import type { Judgement } from "./judgement.ts";

const figure = z.number().nullable();
const word = z.enum(["higher", "lower", "same", "unclear"]);
const size = z.enum(["notable", "slight"]).nullable();
const figures = z.object(Object.fromEntries(metrics.map((metric) => [metric, figure.default(null)])));
const titles = z.array(z.object({ name: z.string(), title: z.string() }));

/** What is used of a saved judgement; later versions may add keys. */
const schema = z.looseObject({
  format: z.literal("runjury.judgement/1"),
  session: z.looseObject({
    title: z.string().nullable(),
    baseline: z.string(),
    lows: z.enum(lowsDefinitions),
    mattersPct: z.number(),
    confidencePct: z.number(),
    falseAlarmControl: z.enum(["columns", "strict"]),
    configs: z.array(z.string()),
    games: z.array(z.string()),
    noiseLevel: z.enum(["pass", "boot"]),
    titles: z.object({ games: titles, configs: titles }).optional(),
    tags: z.array(z.object({ game: z.string(), tag: z.string() })).optional(),
  }),
  passes: z.array(
    z.looseObject({
      ...figures.shape,
      game: z.string(),
      config: z.string(),
      pass: z.string(),
      boot: z.string().nullable(),
      counted: z.boolean(),
    }),
  ),
  verdicts: z.array(
    z.looseObject({
      game: z.string(),
      config: z.string(),
      against: z.string(),
      metric: z.enum(metrics),
      verdict: word,
      size,
      value: z.number(),
      againstValue: z.number(),
      changePct: z.number(),
      lowPct: figure,
      highPct: figure,
      resolvesPct: figure,
      passesNeeded: figure,
      passes: z.number(),
      againstPasses: z.number(),
    }),
  ),
  suite: z.array(
    z.looseObject({
      tag: z.string().nullable(),
      config: z.string(),
      against: z.string(),
      metric: z.enum(metrics),
      verdict: word,
      size,
      changePct: z.number(),
      lowPct: z.number(),
      highPct: z.number(),
    }),
  ),
  made: z
    .looseObject({
      version: z.string(),
      folder: z.string(),
      session: z.string(),
      settingsSha256: z.string(),
      captures: z.array(z.looseObject({ file: z.string(), sha256: z.string() })),
    })
    .optional(),
});

/**
 * A judgement from the JSON of `judge --format json`. What a check uses of it is verified; the rest is taken as it is.
 * @throws RunError where it is none
 */
export function readSavedJudgement(text: string, file: string): Judgement {
  const fail = (path: readonly (string | number)[]): never => {
    const problem: Problem = { code: "judgement-unreadable", severity: "error", at: { file }, path };
    throw new RunError([problem]);
  };
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    return fail([]);
  }
  const { success, data, error } = schema.safeParse(json);
  if (!success)
    return fail(
      (error.issues[0]?.path ?? []).map((step) => (typeof step === "number" ? step : String(step))),
    );
  // The looser shape above is a part of a judgement's; its words come from the program that wrote it.
  return data as unknown as Judgement;
}
