import * as z from "zod";
import { type MetricName, metricsByName } from "../shared/metrics.ts";
import type { ValueKind } from "../shared/problem.ts";
import { claimWords, type Margin } from "./claim.ts";
import { text } from "./yaml-schema.ts";

const metricNames = Object.keys(metricsByName) as [MetricName, ...MetricName[]];

/** Text of a form; its message is the kind of value it takes. */
function written(kind: ValueKind, pattern: RegExp) {
  return text(kind).pipe(z.string().regex(pattern, { error: kind }));
}

/** A percent with or without its sign; bare numbers between 0 and 1 could be meant as fractions and are refused. */
const change = written("change", /^[-+\u2212]?(\d+(\.\d+)? ?%|[1-9]\d*(\.\d+)?|0)$/).transform((value) => {
  const sign = /^[-\u2212]/.test(value) ? -1 : value.startsWith("+") ? 1 : 0;
  return { sign, sizePct: Number.parseFloat(value.replace(/^[-+\u2212]/, "")) };
});

const margin = written("margin", /^\d+(\.\d+)?( ?(%|FPS|W|J|FPS\/W))?$/i).transform(
  (value): Margin => ({ value: Number.parseFloat(value), unit: unitOf(value) }),
);

const figure = written("figure", /^(?=.*[1-9])\d+(\.\d+)?( ?(FPS|W|J|FPS\/W))?$/i).transform((value) => ({
  value: Number.parseFloat(value),
  unit: unitOf(value),
  decimals: /\.(\d+)/.exec(value)?.[1]?.length ?? 0,
}));

function unitOf(value: string): Margin["unit"] {
  const unit = value.replace(/^[\d. ]+/, "").toUpperCase();
  return unit === "" ? null : (unit as Margin["unit"]);
}

const percent = written("percent", /^(\d+(\.\d+)? ?%|[1-9]\d*(\.\d+)?)$/).transform((value) =>
  Number.parseFloat(value),
);

const order = written("order", /^[^<>]+(<[^<>]+)+$|^[^<>]+(>[^<>]+)+$/).transform((value) => {
  const names = value.split(/[<>]/).map((name) => name.trim());
  return value.includes(">") ? names.reverse() : names;
});

const shape = {
  game: text().optional().describe("The game it speaks of, by its name in the paths."),
  suite: z.literal(true).optional().describe("true: all games together."),
  tag: text().optional().describe("All games that carry this tag in session.yaml."),
  metric: z.enum(metricNames).optional().describe("What was measured."),
  config: text().optional().describe("The config it speaks of, by its name in the paths."),
  against: text().optional().describe("The config it is compared with. Left out: the session's baseline."),
  is: z
    .enum(claimWords)
    .optional()
    .describe(
      "The verdict. within-noise: same or unclear. not-higher, not-lower: no verdict in that direction.",
    ),
  by: change
    .optional()
    .describe("Size of the change in percent: inside the interval, and within 1 point of the estimate."),
  "give-or-take": margin
    .optional()
    .describe(
      "How far `by` (in points) or `about` (in its unit, or in percent of it) may be from what was measured.",
    ),
  about: figure
    .optional()
    .describe("The value itself, in the metric's unit: within 1% of it, or equal once rounded as written."),
  "differs-at-most": percent
    .optional()
    .describe("No game's interval reaches further than this, up or down; with `game`, that game's."),
  order: order
    .optional()
    .describe("Configs by the metric's value, each truly above the one before: quiet < stock < full."),
  best: text().optional().describe("This config is truly better than every other one."),
  worst: text().optional().describe("This config is truly worse than every other one."),
  none: text("reason")
    .optional()
    .describe("Instead of all else: why the sentence's numbers are no measurements."),
};

/** One claim, as it stands after `claim:` in a comment of a script. */
export const claimSchema = z.strictObject(shape, { error: "mapping" satisfies ValueKind });

/** One entry of claims.yaml. */
export const claimEntrySchema = z.strictObject(
  { say: text().describe("The sentence."), ...shape },
  { error: "mapping" satisfies ValueKind },
);

/** The JSON Schema (draft 2020-12) of claims.yaml, from the schema that reads it. */
export function claimsJsonSchema(): object {
  const { $schema, ...schema } = z.toJSONSchema(z.array(claimEntrySchema), { io: "input" });
  return {
    $schema,
    $id: "urn:runjury:schema:claims:1",
    title: "runjury claims",
    description:
      "Sentences and what must be true in the data for each. In a Markdown script the same keys, without `say`, stand in a comment after the sentence.",
    ...schema,
  };
}
