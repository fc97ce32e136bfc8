import { capital } from "../../shared/capital.ts";
import { formatPct } from "../../shared/format-number.ts";
import { metricLabel } from "../../shared/metrics.ts";
import { type RunError, refusal } from "../../shared/problem.ts";
import { visible } from "../escape.ts";
import { intervalText, verdictText } from "../judgement-words.ts";
import { paintConfigs } from "./config-paint.ts";
import { drawIntervals } from "./interval-chart.ts";
import type { IntervalRow } from "./interval-rows.ts";
import { lowsNote, shapeNote } from "./notes.ts";
import { pageOf } from "./page-of.ts";
import type { Look, Picture, PictureRequest, PictureSource } from "./picture.ts";

/** The suite and each kind of games, for one metric. */
export function tagsPicture(
  { judgement, shown }: PictureSource,
  request: PictureRequest,
  look: Look,
): Picture {
  const metric = request.metric ?? "avgFps";
  const needs = (missing: string): RunError => refusal({ code: "picture-needs", picture: "tags", missing });
  const suite = shown.suite.filter((row) => row.metric === metric);
  if (suite.length === 0 && shown.suite.length > 0) throw needs(metric);
  if (!suite.some(({ tag }) => tag !== null)) throw needs("tags");
  const { rows, sentences } = suiteRows({ judgement, shown }, metric, look, true);
  const { page, pages, more } = pageOf(rows, request);
  const baseline = paintConfigs(judgement, look.theme).get(judgement.session.baseline)?.title ?? "";
  return {
    title: `${capital(metricLabel[metric])} by kind of game`,
    subtitle: `Geometric mean over games, against ${baseline}${more}`,
    legend: [],
    pages,
    notes: suiteNotes(judgement, metric),
    lines: page.reduce((sum, row) => sum + row.lanes.length, 0),
    description: sentences,
    draw: (space) =>
      drawIntervals(
        page,
        {
          axisLabel: `change of ${metricLabel[metric]} against ${baseline}`,
          mattersPct: judgement.session.mattersPct,
          namesConfigs: true,
        },
        space,
        look,
      ),
  };
}

/** Rows over all games and, where wanted, over each kind of games. */
export function suiteRows(
  { judgement, shown }: Pick<PictureSource, "judgement" | "shown">,
  metric: keyof typeof metricLabel,
  look: Look,
  withTags: boolean,
): { readonly rows: IntervalRow[]; readonly sentences: string[] } {
  const paints = paintConfigs(judgement, look.theme);
  const suite = shown.suite.filter((row) => row.metric === metric && (withTags || row.tag === null));
  const tags = [...new Set(suite.map(({ tag }) => tag))];
  const rows = tags.map((tag): IntervalRow => {
    const ofTag = suite.filter((row) => row.tag === tag);
    const games = Math.max(...ofTag.map((row) => row.games));
    return {
      title: tag === null ? `all ${games} games` : `${visible(tag)} (${games})`,
      lanes: ofTag.flatMap((row) => {
        const paint = paints.get(row.config);
        return paint === undefined ? [] : [{ ...row, paint, mark: "" }];
      }),
    };
  });
  const sentences = rows.flatMap(({ title, lanes }) =>
    lanes.map((lane) => `${title}, ${lane.paint.title}: ${verdictText(lane)} (${intervalText(lane)}).`),
  );
  return { rows, sentences };
}

export function suiteNotes(
  { session }: PictureSource["judgement"],
  metric: keyof typeof metricLabel,
): string[] {
  return [
    `Lines: ${formatPct(session.confidencePct)} intervals for the average over games like these; over two games, for exactly these. Band: within ${formatPct(session.mattersPct)}, too little to matter.`,
    shapeNote,
    ...lowsNote(session, metric),
  ];
}
