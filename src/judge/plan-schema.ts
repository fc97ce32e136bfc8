import * as z from "zod";
import { lowsDefinitions } from "../shared/lows-definition.ts";
import { metrics } from "../shared/metrics.ts";
import type { Plan } from "./plan.ts";

const figure = z.number();
const count = z.int().nonnegative();
const pct = z.number().describe("Percent.");
const minutes = z.number().nonnegative();
const name = z.string().min(1);
const names = z.array(name);
const metric = z.enum(metrics);

const session = z.object({
  title: z.string().nullable(),
  baseline: name,
  games: names,
  configs: names.describe("The baseline first."),
  metrics: z.array(metric).describe("Metrics that are to be settled."),
  lows: z.enum(lowsDefinitions),
  differencePct: pct.describe("The difference to show, in percent."),
  mattersPct: pct,
  confidencePct: pct,
  falseAlarmControl: z.enum(["columns", "strict"]),
  chancePct: pct.describe("Chance to show the difference, in percent."),
  leastPasses: count,
  mostPasses: count,
  switchMinutes: minutes,
  budgetMinutes: minutes.nullable().describe("The time that was given; null where none was."),
});

const game = z.object({
  game: name,
  passesPerBoot: count,
  passes: count.describe("Per config."),
  minutesPerPass: minutes,
});

const plan = z.object({
  boots: count.describe("Per config."),
  games: z.array(game),
  captures: count.describe("In all, those that repeat the baseline included."),
  switches: count.describe("Changes of config."),
  isBaselineRepeated: z.boolean(),
  minutes,
  capturesInFollow: count
    .nullable()
    .describe(
      "Captures after which `follow` says that it is enough; null with several boots, or unknown noise.",
    ),
});

const comparison = z.object({
  game: name,
  config: name,
  against: name,
  metric,
  noisePct: pct.nullable().describe("Noise of one pass, one standard deviation; null where nobody knows."),
  noiseFrom: z.enum(["pilot", "other-games", "stated"]).nullable(),
  bootNoisePct: pct.nullable(),
  bestPassesPerBoot: figure.nullable().describe("Not rounded."),
  passesNeeded: count.nullable().describe("Per config, to show the difference; null for more than 100."),
  passesForSame: count.nullable().describe("Per config, for `same` where nothing differs."),
  passes: count.describe("Per config, as planned."),
  resolvesPct: pct.nullable().describe("The smallest difference that is shown with the chance wanted."),
  chancePct: pct.nullable(),
  chanceOfSamePct: pct.nullable(),
  isReached: z.boolean(),
  passesInFollow: count.nullable().describe("Passes per config after which `follow` asks for no more of it."),
  stopInFollow: z.enum(["narrow", "most-passes", "out-of-reach"]).nullable(),
});

const step = z.discriminatedUnion("kind", [
  z.object({
    kind: z.literal("switch"),
    step: count,
    config: name,
    boot: name,
    isRepeat: z.boolean().describe("The baseline once more, as a check for drift."),
    file: z.null(),
  }),
  z.object({
    kind: z.literal("capture"),
    step: count,
    round: count,
    game: name,
    config: name,
    boot: name,
    pass: name,
    file: name.nullable().describe("The name that the capture should get, from the folder of captures."),
  }),
]);

const sheet = z.object({
  seed: z.int(),
  isRestricted: z.boolean().describe("Configs stay together because changing one costs a reboot."),
  layout: name,
  isLayoutNew: z.boolean().describe("The layout must be written into session.yaml."),
  steps: z.array(step),
});

/** The JSON of `plan --format json`, key for key. */
export const planSchema = z.object({
  format: z.literal("runjury.plan/1"),
  session,
  pilot: z.object({ passes: count, counted: count }).nullable(),
  plan,
  comparisons: z.array(comparison),
  cautions: z.array(z.object({ code: name, text: name })),
  sheet: sheet.nullable(),
}) satisfies z.ZodType<Plan>;

/** The JSON Schema (draft 2020-12) of a plan, for who reads it with a program. */
export function planJsonSchema(): object {
  const { $schema, ...schema } = z.toJSONSchema(planSchema, { io: "input" });
  return {
    $schema,
    $id: "urn:runjury:schema:plan:1",
    title: "runjury plan",
    description: "What `plan --format json` prints. Later versions may add keys.",
    ...schema,
  };
}
