import type { Standing, StandingCell, StandingComparison } from "../judge/session-standing.ts";
import { visible } from "./escape.ts";
import { comparisonText, figureText, leftText, nextText } from "./follow-lines.ts";
import { type Paint, paintOf, type Style } from "./style.ts";
import { textTable } from "./text-table.ts";
import { textWidth, wrapText } from "./wrap-text.ts";

export interface BoardStyle extends Style {
  /** Lines available; null for as many as there are to show. */
  readonly height: number | null;
}

const longestGame = 24;
const longestConfig = 16;
/** "10 of 10, 2 bad" fits. */
const narrowestCell = 15;

/**
 * Where the session stands, for a place that is drawn again and again: what to do next, the cells, and what can be
 * told. Each line stays within the width and is one line of the terminal.
 * @param growing logs that may not be whole yet
 */
export function followBoard(standing: Standing, growing: readonly string[], style: BoardStyle): string[] {
  const paint = paintOf(style);
  const head = [progressText(standing, paint), ...nextLines(standing), ...growingLines(growing)].flatMap(
    (line) => wrapText(line, style.width, "  ").split("\n"),
  );
  const room = style.height === null ? Number.POSITIVE_INFINITY : Math.max(0, style.height - head.length);
  const told = toldLines(standing, paint);
  const cells = fit(cellLines(standing, style, paint), Math.max(Math.ceil(room / 2), room - told.length));
  return [...head, ...cells, ...fit(told, room - cells.length)].map((line) => cutLine(line, style.width));
}

/** The first lines, and how many more there are where not all have room. */
function fit(lines: readonly string[], room: number): string[] {
  if (lines.length <= room) return [...lines];
  return room < 1 ? [] : [...lines.slice(0, room - 1), `  and ${lines.length - room + 1} more`];
}

function cutLine(line: string, width: number): string {
  return textTable([[line]], [width], [], 0);
}

function progressText({ cells, baseline, isEnough }: Standing, paint: Paint): string {
  if (isEnough) return paint.good("Enough: no comparison asks for more passes.");
  const complete = cells.filter(({ isComplete }) => isComplete).length;
  const progress = `${complete} of ${cells.length} ${cells.length === 1 ? "cell" : "cells"} complete`;
  return paint.heading(baseline === null ? `${progress}; no baseline yet (--baseline)` : progress);
}

function nextLines({ next, passesLeft, minutesLeft, noiseLevel }: Standing): string[] {
  if (next === null) return [];
  const boot = noiseLevel === "boot" ? ", from a new boot" : "";
  return [`Next: ${nextText(next)}${boot}`, `Left: ${leftText(passesLeft, minutesLeft)}`];
}

function growingLines(growing: readonly string[]): string[] {
  const [first] = growing;
  if (first === undefined) return [];
  const more = growing.length > 1 ? ` and ${growing.length - 1} more` : "";
  return [`Being written: ${visible(first)}${more}`];
}

function cellLines({ games, configs, cells }: Standing, style: Style, paint: Paint): string[] {
  if (cells.length === 0) return [];
  const byName = new Map(cells.map((cell) => [JSON.stringify([cell.game, cell.config]), cell]));
  const open = new Set(cells.filter(({ isComplete }) => !isComplete).map(({ game }) => game));
  const shown = [...games].sort((a, b) => Number(open.has(b)) - Number(open.has(a)));
  const width = (names: readonly string[], least: number, most: number): number =>
    Math.min(most, Math.max(least, ...names.map((name) => textWidth(visible(name)))));
  const widths = [
    width(games, 4, longestGame),
    ...configs.map((config) => width([config], narrowestCell, longestConfig)),
  ];
  if (widths.reduce((sum, own) => sum + own + 2, 0) > style.width) {
    return cells
      .filter(({ isComplete }) => !isComplete)
      .map((cell) => `${visible(cell.game)}/${visible(cell.config)}: ${cellText(cell, paint)}`);
  }
  const rows = shown.map((game) => [
    visible(game),
    ...configs.map((config) => {
      const cell = byName.get(JSON.stringify([game, config]));
      return cell === undefined ? "" : cellText(cell, paint);
    }),
  ]);
  const heads = ["game", ...configs.map(visible)].map((head) => paint.heading(head));
  return textTable([heads, ...rows], widths).split("\n");
}

function cellText({ counted, notCounted, needed, isComplete }: StandingCell, paint: Paint): string {
  const passes = isComplete ? paint.good(`${counted} done`) : `${counted} of ${needed}`;
  return notCounted === 0 ? passes : `${passes}, ${paint.bad(`${notCounted} bad`)}`;
}

/** What can be told: first what stands, then what cannot be, then what is only so far. */
function toldLines({ comparisons }: Standing, paint: Paint): string[] {
  const words = { higher: 0, lower: 0, same: 1, unclear: 2 };
  const rank = ({ isSettled, verdict }: StandingComparison): number => (isSettled ? 0 : 3) + words[verdict];
  return comparisons
    .filter(({ isSettled, verdict }) => isSettled || verdict !== "unclear")
    .sort((a, b) => rank(a) - rank(b))
    .map((comparison) => {
      const text = comparisonText(comparison);
      if (!comparison.isSettled) return paint.quiet(`so far: ${text}`);
      return comparison.verdict === "unclear"
        ? `cannot be told: ${figureText(comparison)}`
        : `settled: ${text}`;
    });
}
