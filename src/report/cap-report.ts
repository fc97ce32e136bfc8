import { metricLabel } from "../judge/label-metric.ts";
import type { CapChange, CapEffect, CapPlan, NotPlanned } from "../judge/plan-caps.ts";
import { formatChange, formatFigure, formatGiven, formatPct } from "../shared/format-number.ts";
import { markdownText, visible } from "./escape.ts";
import { intervalText } from "./judgement-words.ts";
import { lowsWords } from "./lows-words.ts";
import { markdownTable } from "./markdown-table.ts";
import { paintOf, type Style } from "./style.ts";
import { breakText, textTable, wrapText } from "./text-table.ts";
import { toCsv } from "./to-csv.ts";

const changeLabel: Readonly<Record<CapChange["metric"], string>> = {
  avgFps: metricLabel.avgFps,
  low1Fps: metricLabel.low1Fps,
  low01Fps: metricLabel.low01Fps,
  meanStepMs: "mean step between frames",
};

/** What the figures mean: said under them in every form. */
function methodSentences({ marginPct, lows, effects }: CapPlan): string[] {
  return [
    `Cap to try: the average of the uncapped passes less ${formatPct(marginPct)}, in whole FPS (common practice, no source). ` +
      "A run without a cap can wreck its own lows; whether a cap mends them is what the capped passes show.",
    "For a fair comparison of configs give all of them one cap: the slowest config's.",
    `1% and 0.1% low: ${lowsWords[lows]}.`,
    ...(effects.length === 0
      ? [
          "No capped passes yet: capture some as a config of their own with frame-cap and cap-of in session.yaml, or with {cap} in layout.",
        ]
      : [
          "better, worse, lower: beyond run-to-run noise; an average at a cap can only fall. A smaller step between frames is steadier.",
        ]),
  ];
}

function capRows({ caps, shared }: CapPlan): string[][] {
  return caps.map(({ game, config, passes, avgFps, capFps }) => [
    game,
    config,
    String(passes),
    formatFigure(avgFps),
    String(capFps),
    String(shared.find((row) => row.game === game)?.capFps ?? "-"),
  ]);
}

const capHead = ["game", "config", "passes", "uncapped FPS", "cap to try", "for all configs"];

/** Whether a called change is for the better: a smaller step between frames is. */
function changeText({ metric, verdict, changePct, lowPct, highPct }: CapChange): string {
  const isCalled = verdict === "higher" || verdict === "lower";
  const word = !isCalled
    ? verdict
    : (verdict === "higher") === (metric !== "meanStepMs")
      ? "better"
      : "worse";
  return `${word} ${formatChange(changePct)} (${intervalText({ lowPct, highPct })})`;
}

function effectSentence({ game, config, against, capFps, changes }: CapEffect): string {
  const parts = changes.map((change) => `${changeLabel[change.metric]} ${changeText(change)}`);
  return `${game}, ${config} (cap ${formatFigure(capFps)} FPS) against ${against}: ${parts.join(", ")}.`;
}

function notPlannedSentence({ game, config, because, capFps }: NotPlanned): string {
  const why = because === "told" ? "the session gives it a cap of" : "its frame times are held already to";
  const cap = because === "told" ? formatGiven(capFps) : formatFigure(capFps);
  return `${game} / ${config}: ${why} ${cap} FPS`;
}

function unpairedSentence(config: string): string {
  return `${config}: name the config that it is without its cap (cap-of in session.yaml) to see what the cap did`;
}

/** The caps to try, then what tried ones did. */
export function capTable(plan: CapPlan, style: Style): string {
  const paint = paintOf(style);
  const rows = capRows(plan).map(([game = "", config = "", ...figures]) => [
    visible(game),
    visible(config),
    ...figures,
  ]);
  const width = (index: number, most: number): number =>
    Math.min(most, Math.max(6, ...rows.map((row) => (row[index] ?? "").length)));
  const [gameWidth, configWidth] = [width(0, 24), width(1, 24)];
  const list = (title: string, items: readonly string[]): string[] =>
    items.length === 0
      ? []
      : [
          [
            paint.heading(title),
            ...items.map((item) => wrapText(`- ${visible(item)}`, style.width, "  ")),
          ].join("\n"),
        ];
  const table = textTable(
    [
      ["game", "config", "passes", "uncapped\nFPS", "cap\nto try", "for all\nconfigs"].map((head) =>
        head.split("\n").map(paint.heading).join("\n"),
      ),
      ...rows.map(([game = "", config = "", ...figures]) => [
        breakText(game, gameWidth),
        breakText(config, configWidth),
        ...figures,
      ]),
    ],
    [gameWidth, configWidth, 6, 8, 6, 7],
    ["left", "left", "right", "right", "right", "right"],
  );
  const sections = [
    rows.length === 0 ? "No uncapped passes: there is no cap to plan." : table,
    ...list("What the caps did", plan.effects.map(effectSentence)),
    ...list("Not planned", [
      ...plan.notPlanned.map(notPlannedSentence),
      ...plan.unpaired.map(unpairedSentence),
    ]),
    ...list(
      "Cautions",
      plan.cautions.map(({ text }) => text),
    ),
    methodSentences(plan)
      .map((sentence) => paint.quiet(wrapText(sentence, style.width, "  ")))
      .join("\n"),
  ];
  return `${sections.join("\n\n")}\n`;
}

export function capMarkdown(plan: CapPlan): string {
  const list = (items: readonly string[]): string =>
    items.map((item) => `- ${markdownText(item)}`).join("\n");
  const section = (title: string, items: readonly string[]): string[] =>
    items.length === 0 ? [] : [`## ${title}`, list(items)];
  const parts = [
    "# Frame caps",
    plan.caps.length === 0
      ? "No uncapped passes: there is no cap to plan."
      : markdownTable(capHead, capRows(plan)),
    ...section("What the caps did", plan.effects.map(effectSentence)),
    ...section("Not planned", [
      ...plan.notPlanned.map(notPlannedSentence),
      ...plan.unpaired.map(unpairedSentence),
    ]),
    ...section(
      "Cautions",
      plan.cautions.map(({ text }) => text),
    ),
    ...section("How to read it", methodSentences(plan)),
  ];
  return `${parts.join("\n\n")}\n`;
}

/** One row per cap to try, then one per change that a cap made; cells that do not apply are empty. */
export function capCsv({ caps, effects }: CapPlan): string {
  return toCsv(
    [
      "game",
      "config",
      "avgFps",
      "capFps",
      "against",
      "metric",
      "value",
      "againstValue",
      "changePct",
      "lowPct",
      "highPct",
      "verdict",
    ],
    [
      ...caps.map(({ game, config, avgFps, capFps }) => [
        ...[game, config, avgFps, capFps],
        ...new Array<null>(8).fill(null),
      ]),
      ...effects.flatMap(({ game, config, against, capFps, changes }) =>
        changes.map(({ metric, value, againstValue, changePct, lowPct, highPct, verdict }) => [
          ...[game, config, null, capFps, against, metric],
          ...[value, againstValue, changePct, lowPct, highPct, verdict],
        ]),
      ),
    ],
  );
}
