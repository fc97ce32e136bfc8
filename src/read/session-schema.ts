import * as z from "zod";
import type { ValueKind } from "../shared/problem.ts";
import { namedEntries, text } from "./yaml-schema.ts";

/** A schema's message is the kind of value it takes; the words for it are report/describe-session-problem.ts's. */
function takes(kind: ValueKind): { readonly error: ValueKind } {
  return { error: kind };
}

function mapping<S extends z.ZodRawShape>(shape: S) {
  return z.strictObject(shape, takes("mapping"));
}

function texts() {
  return z.array(text("texts"), takes("texts"));
}

/** A pattern with its kind: where a union's member fails only by its checks, zod shows the member's own message. */
function written(pattern: RegExp, kind: ValueKind) {
  return z.string(takes(kind)).regex(pattern, takes(kind));
}

/**
 * A percent as "3%" or as the bare number 3. A bare number below 1 is refused: 0.03 could be meant as 3% or as
 * 0.03%.
 */
function percent(kind: "percent" | "confidence", least: number, pattern: RegExp) {
  return z
    .union([z.number().min(least, takes(kind)).lt(100, takes(kind)), written(pattern, kind)], takes(kind))
    .transform((value) => (typeof value === "number" ? value : Number.parseFloat(value)));
}

const matters = percent("percent", 1, /^\d{1,2}(\.\d+)? ?%$/).refine((pct) => pct > 0, takes("percent"));
const confidence = percent("confidence", 50, /^[5-9]\d(\.\d+)? ?%$/);

const secondsPer = { ms: 0.001, s: 1, min: 60 } as const;

/** "2s", "500 ms", "1.5min" as seconds. */
function inSeconds(duration: string): number {
  const unit = /ms|s|min/.exec(duration)?.[0] as keyof typeof secondsPer;
  return Number.parseFloat(duration) * secondsPer[unit];
}

/** A bare number has no unit and is refused, but 0 is 0 in all of them. */
function time(kind: "duration" | "offset", pattern: RegExp) {
  return z
    .union([written(pattern, kind), z.literal(0, takes(kind))], takes(kind))
    .transform((value) => (value === 0 ? 0 : inSeconds(value)));
}

const duration = time("duration", /^\d+(\.\d+)? ?(ms|s|min)$/);
const offset = time("offset", /^[-+]?\d+(\.\d+)? ?(ms|s|min)$/);

const keep = written(/^(all|\d+(\.\d+)? ?(ms|s|min))$/, "keep")
  .transform((value) => (value === "all" ? null : inSeconds(value)))
  .refine((seconds) => seconds === null || seconds > 0, takes("keep"));

const count = z.int(takes("count")).min(1, takes("count"));
const rate = z.number(takes("rate")).gt(0, takes("rate"));

const sensorColumn = mapping({
  column: text().describe("Name of the column as printed in the log's header."),
});

const sensors = mapping({
  "cpu-power": sensorColumn.optional().describe("CPU power, in W."),
  "gpu-power": sensorColumn.optional().describe("GPU power, in W."),
  "cpu-clock": sensorColumn.optional().describe("CPU clock, in MHz."),
  "cpu-load": sensorColumn.optional().describe("CPU load, in %."),
  "gpu-load": sensorColumn.optional().describe("GPU load, in %."),
  "cpu-temperature": sensorColumn.optional().describe("CPU temperature, in °C."),
  "gpu-temperature": sensorColumn.optional().describe("GPU temperature, in °C."),
  offset: offset
    .prefault("0s")
    .describe("Added to the sensor log's clock so that it agrees with the frames', e.g. 0.5s or -200ms."),
}).prefault({});

const reading = {
  "frame-time": mapping({
    column: text().describe("Name of the column as printed in the log's header."),
    unit: z
      .enum(["s", "ms", "us", "ns", "fps"])
      .optional()
      .describe("Unit of the column; fps means instantaneous frame rate. Left out: told by the log."),
  })
    .optional()
    .describe("The column that holds the frame times. Left out: found by the evidence in the log."),
  clock: mapping({
    column: text().describe("Name of the column as printed in the log's header."),
    unit: z
      .enum(["s", "ms", "us", "ns"])
      .optional()
      .describe("Unit of the column. Left out: told by the log."),
  })
    .optional()
    .describe("The column that holds the time of each frame. Left out: found by the evidence in the log."),
  stream: mapping({
    column: text().optional().describe("The column that names the streams. Left out: found by the evidence."),
    equals: text().describe("The stream to use, as it stands in that column."),
  })
    .optional()
    .describe(
      "Which of several interleaved streams (such as processes) to use. Left out: the only one there is.",
    ),
  segment: count
    .optional()
    .describe(
      "Which stretch of a restarted log to use, counted from 1; other logs are used whole. Left out: such a log is not counted.",
    ),
};

const log = mapping({
  ...reading,
  for: namedEntries(mapping(reading))
    .prefault({})
    .describe(
      'The same for some logs only: those of one game, of a game/config, or one pass as set-aside names it, e.g. { tide-runner: { stream: { equals: tide.exe } }, "tide-runner/quiet-35w/pass-2": { segment: 2 } }.',
    ),
}).prefault({});

const game = mapping({
  title: text().optional().describe("Name for readers. Left out: the name in the path."),
  tags: texts()
    .prefault([])
    .describe("Groups that the game belongs to; each gets a row of its own in the suite."),
  scene: text().optional().describe("What was played, for readers."),
  settings: text().optional().describe("Resolution and graphics settings, for readers."),
  "frame-cap": rate.optional().describe("Frame cap in FPS, where the game had one in every config."),
});

const config = mapping({
  title: text().optional().describe("Name for readers. Left out: the name in the path."),
  threads: count.optional().describe("Hardware threads that the processor offered."),
  changes: texts().prefault([]).describe("What differs from the baseline, e.g. [power limit]."),
  levels: namedEntries(text())
    .prefault({})
    .describe(
      'Level of each factor, e.g. { threads: "off", cores: parked }. Where four configs cross two factors of two levels, the judgement adds what each factor does.',
    ),
  "frame-cap": rate.optional().describe("Frame cap in FPS, where this config had one in every game."),
  "cap-of": text()
    .optional()
    .describe(
      "The config that this one is, but for its frame cap. Left out: the only config without a frame cap.",
    ),
});

const setAside = mapping({
  pass: z
    .string(takes("pass"))
    .regex(/^[^/]+\/[^/]+\/[^/]+(\/[^/]+)?$/, takes("pass"))
    .describe("game/config/pass, or game/config/boot/pass where boots hold passes of the same name."),
  why: text("reason")
    .pipe(z.string().regex(/\S/, "reason"))
    .describe("The reason; it is shown wherever the pass is."),
});

/** session.yaml. Every key may be left out; what then holds is its default. */
export const sessionSchema = mapping({
  title: text().optional().describe("Heading of every report. Left out: none."),
  baseline: text()
    .optional()
    .describe(
      "The config that the others are compared with. Left out: a config named stock, default, baseline or reference; without one the run stops and asks.",
    ),
  layout: text()
    .prefault("{game}/{config}/{pass}")
    .describe(
      'How the last parts of a log\'s path tell game, config and pass: text and the placeholders {game}, {config}, {pass} and, if wanted, {boot} and {cap} (a frame cap such as 120, or uncapped), e.g. "{game}_{config}_{pass}". The extension is no part of it.',
    ),
  lows: z
    .enum(["percentile", "tail-average", "time-weighted"])
    .default("percentile")
    .describe(
      "Definition of 1% low and 0.1% low. percentile: FPS at the 99th / 99.9th percentile frame time. tail-average: frames in the slowest 1% / 0.1% divided by the seconds they took. time-weighted: FPS at the frame time above which 1% / 0.1% of the time is spent.",
    ),
  matters: matters
    .prefault("3%")
    .describe("The smallest difference worth telling anyone about, above 0% and below 100%, as 3% or 3."),
  confidence: confidence
    .prefault("95%")
    .describe(
      "Confidence of every interval, 50% to below 100%, as 95% or 95; false alarms are held at the rest.",
    ),
  "false-alarm-control": z
    .enum(["columns", "strict"])
    .default("columns")
    .describe(
      "columns: Benjamini-Hochberg within each column (config and metric) after a first look at which columns show anything. strict: Holm over all comparisons.",
    ),
  trim: mapping({
    skip: duration.prefault("0s").describe("Left out at the start of every pass, e.g. 2s or 500ms."),
    keep: keep
      .prefault("all")
      .describe("Length of the window that is used of every pass, e.g. 60s; all: to its end."),
  })
    .prefault({})
    .describe("The same window of every pass."),
  log: log.describe("How to read the logs, only where the evidence in them is not enough."),
  sensors: sensors.describe(
    "Columns of sensors, in the log or in a second file beside it. Left out: found by the evidence in the header.",
  ),
  games: namedEntries(game).prefault({}).describe("Notes on games, by their names in the paths."),
  configs: namedEntries(config).prefault({}).describe("Notes on configs, by their names in the paths."),
  "set-aside": z
    .array(setAside, takes("list"))
    .prefault([])
    .describe("Passes to leave out of the verdicts, each with its reason; they are still shown."),
  system: namedEntries(text()).prefault({}).describe("Notes on the machine, e.g. cpu, memory, os, driver."),
});

/**
 * The JSON Schema (draft 2020-12) of session.yaml, from the schema that reads it, so that editors complete and
 * check the file as it is written.
 */
export function sessionJsonSchema(): object {
  const { $schema, ...schema } = z.toJSONSchema(sessionSchema, { io: "input" });
  return {
    $schema,
    $id: "urn:runjury:schema:session:1",
    title: "runjury session",
    description: "What a folder of frame-time logs does not say of itself. Every key may be left out.",
    ...schema,
  };
}
