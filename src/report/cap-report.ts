import type { CapChange, CapEffect, CapPlan, NotPlanned } from "../judge/plan-caps.ts";
import { isCalled } from "../judge/verdict.ts";
import { formatChange, formatFigure, formatGiven, formatPct } from "../shared/format-number.ts";
import { groupBy } from "../shared/group-by.ts";
import { metricLabel } from "../shared/metrics.ts";
import { markdownText, visible } from "./escape.ts";
import { intervalText } from "./judgement-words.ts";
import { lowsWords } from "./lows-words.ts";
import { markdownTable } from "./markdown-table.ts";
import { paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import { toCsv } from "./to-csv.ts";
import { breakText, textWidth, wrapText } from "./wrap-text.ts";

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
function changeText(change: CapChange): string {
  const { metric, verdict, changePct, lowPct, highPct } = change;
  const word = !isCalled(change)
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

/** Configs of a game of which the same can be said, in one line. */
function notPlannedSentences(cells: readonly NotPlanned[]): string[] {
  const reasons = cells.map(({ game, config, because, capFps }) => {
    const why = because === "told" ? "the session gives a cap of" : "frame times are held already to";
    const cap = because === "told" ? formatGiven(capFps) : formatFigure(capFps);
    return { game, config, why: `${why} ${cap} FPS` };
  });
  return [...groupBy(reasons, ({ game, why }) => JSON.stringify([game, why])).values()].map((group) => {
    const [{ game, why }] = group;
    return `${game} / ${group.map(({ config }) => config).join(", ")}: ${why}`;
  });
}

function unpairedSentence(config: string): string {
  return `${config}: name the config that it is without its cap (cap-of in session.yaml) to see what the cap did`;
}

/** The caps to try, then what tried ones did. */
export function capTable(plan: CapPlan, style: Style): string {
  const paint = paintOf(style);
  const list = (title: string, items: readonly string[]): string[] =>
    items.length === 0
      ? []
      : [
          [
            paint.heading(title),
            ...items.map((item) => wrapText(`- ${visible(item)}`, style.width, "  ")),
          ].join("\n"),
        ];
  const sections = [
    plan.caps.length === 0 ? "No uncapped passes: there is no cap to plan." : capColumns(plan, style),
    ...list("What the caps did", plan.effects.map(effectSentence)),
    ...list("Not planned", [...notPlannedSentences(plan.notPlanned), ...plan.unpaired.map(unpairedSentence)]),
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

const figureHeads = ["passes", "uncapped\nFPS", "cap\nto try", "for all\nconfigs"];
const figureWidths = [6, 8, 6, 7];
const mostName = 24;
const narrowestName = 8;
const gap = 2;

/** A row per game and config; on a narrow page games stand on lines of their own, above their configs. */
function capColumns(plan: CapPlan, style: Style): string {
  const { width } = style;
  const paint = paintOf(style);
  const heading = (head: string): string => head.split("\n").map(paint.heading).join("\n");
  const rows = capRows(plan).map(([game = "", config = "", ...figures]) => ({
    game: visible(game),
    config: visible(config),
    figures,
  }));
  const widest = (names: readonly string[]): number =>
    Math.min(mostName, Math.max(narrowestName, ...names.map(textWidth)));
  const gameWidth = widest(rows.map(({ game }) => game));
  const configWidth = widest(rows.map(({ config }) => config));
  const figuresWidth = figureWidths.reduce((sum, one) => sum + gap + one, 0);
  const align = figureWidths.map(() => "right" as const);
  if (gameWidth + gap + configWidth + figuresWidth <= width) {
    return textTable(
      [
        ["game", "config", ...figureHeads].map(heading),
        ...rows.map(({ game, config, figures }) => [
          breakText(game, gameWidth),
          breakText(config, configWidth),
          ...figures,
        ]),
      ],
      [gameWidth, configWidth, ...figureWidths],
      ["left", "left", ...align],
    );
  }
  if (narrowestName + figuresWidth > width) {
    const labels = figureHeads.map((head) => head.replace("\n", " "));
    return rows
      .map(({ game, config, figures }) => {
        const said = figures.map((figure, i) => `${labels[i]} ${figure}`).join(", ");
        return wrapText(`${game} / ${config}: ${said}`, width, "  ");
      })
      .join("\n");
  }
  const first = Math.min(configWidth + gap, width - figuresWidth);
  const table = (cells: readonly (readonly string[])[]): string =>
    textTable(cells, [first, ...figureWidths], ["left", ...align]);
  const games = [...new Set(rows.map(({ game }) => game))];
  return [
    table([["game", ...figureHeads].map(heading)]),
    ...games.flatMap((game) => [
      breakText(game, width, "  "),
      table(
        rows
          .filter((row) => row.game === game)
          .map(({ config, figures }) => [breakText(`  ${config}`, first, "  "), ...figures]),
      ),
    ]),
  ].join("\n");
}

/** The caps as Markdown: the same content and order as the table. */
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
      ...notPlannedSentences(plan.notPlanned),
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
