import type { NamedSheet, Plan } from "../judge/plan.ts";
import { powerCaution } from "../shared/power-caution.ts";
import { markdownText, visible } from "./escape.ts";
import { planSentence } from "./plan-words.ts";
import { paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import { type CsvCell, toCsv } from "./to-csv.ts";
import { breakText, textWidth, wrapText } from "./wrap-text.ts";

/** A plan that has its run sheet. */
type WithSheet = Plan & { readonly sheet: NamedSheet };
type Step = NamedSheet["steps"][number];

/** A block of a sheet: what is done before its captures, and these. */
interface Block {
  /** The number of the change that it begins with. */
  readonly step: number | null;
  readonly title: string;
  readonly captures: readonly Extract<Step, { kind: "capture" }>[];
}

const longestName = 24;
const gap = 2;

/** The order of the evening for a terminal, block by block. */
export function sheetTable(plan: WithSheet, style: Style): string {
  const paint = paintOf(style);
  const line = (text: string): string => wrapText(text, style.width, "  ");
  const all = plan.sheet.steps;
  const width = (texts: readonly string[]): number =>
    Math.min(longestName, Math.max(1, ...texts.map((text) => textWidth(visible(text)))));
  const { isRestricted } = plan.sheet;
  const numberWidth = String(all.length).length;
  const fileWidth = Math.max(...all.flatMap(({ file }) => (file === null ? [] : [textWidth(visible(file))])));
  const names = (capture: Block["captures"][number]): string[] =>
    (isRestricted ? [capture.game] : [capture.game, capture.config]).map(visible);
  const nameWidths = [width(plan.session.games), ...(isRestricted ? [] : [width(plan.session.configs)])];
  const wide = [numberWidth, ...nameWidths, fileWidth];
  const isNarrow = wide.reduce((sum, one) => sum + gap + one, -gap) > style.width;
  // A file's name says game and config as well: where both do not fit, it stands alone.
  const alone = [numberWidth, Math.max(1, Math.min(fileWidth, style.width - numberWidth - gap))] as const;
  const row = (capture: Block["captures"][number]): string[] => {
    const file = visible(capture.file ?? "");
    return [String(capture.step), ...(isNarrow ? [breakText(file, alone[1])] : [...names(capture), file])];
  };
  const blocks = blocksOf(plan.sheet).map(({ step: change, title, captures }) =>
    [
      line(paint.heading(visible(change === null ? title : `${change}. ${title}`))),
      ...(captures.length === 0 ? [] : [textTable(captures.map(row), isNarrow ? alone : wide, ["right"])]),
    ].join("\n"),
  );
  return `${[
    [...introduction(plan).map((text) => line(visible(text))), line(`caution: ${powerCaution}`)].join("\n"),
    ...blocks,
  ].join("\n\n")}\n`;
}

/** A checklist to tick off. */
export function sheetMarkdown(plan: WithSheet): string {
  const blocks = blocksOf(plan.sheet).flatMap(({ title, captures }) => [
    `## ${markdownText(title)}`,
    captures
      .map(({ game, config, file }) => {
        const what = plan.sheet.isRestricted ? game : `${game}, ${config}`;
        return `- [ ] ${markdownText(what)}: ${markdownText(file ?? "")}`;
      })
      .join("\n"),
  ]);
  return `${[
    "# Run sheet",
    ...introduction(plan).map(markdownText),
    `> ${markdownText(powerCaution)}`,
    ...blocks,
  ].join("\n\n")}\n`;
}

const csvColumns = ["step", "kind", "round", "config", "game", "boot", "pass", "file"] as const;

/** One row per step; a change of config has no game, pass and file. */
export function sheetCsv({ sheet }: WithSheet): string {
  return toCsv(
    csvColumns,
    sheet.steps.map((step): CsvCell[] =>
      step.kind === "switch"
        ? [step.step, step.kind, null, step.config, null, step.boot, null, null]
        : [step.step, step.kind, step.round, step.config, step.game, step.boot, step.pass, step.file],
    ),
  );
}

function introduction(plan: WithSheet): string[] {
  const { sheet } = plan;
  const how = sheet.isRestricted
    ? "Configs stay together, in an order drawn by chance; within each, games are drawn anew in every round."
    : "Every round has each game under each config, in an order drawn by chance.";
  return [
    planSentence(plan),
    `${how} The same command with --seed ${sheet.seed} gives this order again.`,
    ...(plan.comparisons.some(({ noiseFrom }) => noiseFrom === "pilot")
      ? ["Capture into a new folder: names start at pass-1 again, as those of the pilot may."]
      : []),
    ...(sheet.isLayoutNew
      ? [`The names hold the boot: write layout: "${sheet.layout}" into session.yaml beside the captures.`]
      : []),
  ];
}

function blocksOf({ steps, isRestricted }: NamedSheet): Block[] {
  const blocks: { step: number | null; title: string; captures: Extract<Step, { kind: "capture" }>[] }[] = [];
  for (const step of steps) {
    if (step.kind === "switch") {
      const boot = step.isRepeat ? "once more, to show drift" : step.boot.replace("-", " ");
      blocks.push({ step: step.step, title: `Change to ${step.config} (${boot})`, captures: [] });
      continue;
    }
    const round = `Round ${step.round}`;
    if (!isRestricted && blocks.at(-1)?.title !== round)
      blocks.push({ step: null, title: round, captures: [] });
    blocks.at(-1)?.captures.push(step);
  }
  return blocks;
}
