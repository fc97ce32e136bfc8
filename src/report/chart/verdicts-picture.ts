import { capital } from "../../shared/capital.ts";
import { metricLabel } from "../../shared/metrics.ts";
import { soleOf } from "../../shared/non-empty.ts";
import { refusal } from "../../shared/problem.ts";
import { intervalText, markText, verdictText } from "../judgement-words.ts";
import { rankRows } from "../rank-rows.ts";
import { paintConfigs } from "./config-paint.ts";
import { drawIntervals } from "./interval-chart.ts";
import type { IntervalRow } from "./interval-rows.ts";
import { gameTitle } from "./names.ts";
import { intervalNotes } from "./notes.ts";
import { pageOf } from "./page-of.ts";
import type { Look, Picture, PictureRequest, PictureSource } from "./picture.ts";

/**
 * All games for one metric: the change against the baseline with its interval, the surest first.
 * @param games another order, where several pictures shall agree; games without the metric are left out
 */
export function verdictsPicture(
  { judgement, shown }: PictureSource,
  request: PictureRequest,
  look: Look,
  games?: readonly string[],
): Picture {
  const metric = request.metric ?? "avgFps";
  const verdicts = shown.verdicts.filter((verdict) => verdict.metric === metric);
  if (verdicts.length === 0) throw refusal({ code: "picture-needs", picture: "verdicts", missing: metric });
  const paints = paintConfigs(judgement, look.theme);
  const compared = new Set(verdicts.map(({ game }) => game));
  // Metrics of power have no rank: they stay in the session's order.
  const ranked =
    games?.filter((game) => compared.has(game)) ??
    [...rankRows({ ...shown, verdicts }), ...verdicts].map(({ game }) => game);
  const rows = [...new Set(ranked)].map((game): IntervalRow & { readonly game: string } => ({
    game,
    title: gameTitle(judgement, game),
    lanes: verdicts
      .filter((verdict) => verdict.game === game)
      .flatMap((verdict) => {
        const paint = paints.get(verdict.config);
        return paint === undefined ? [] : [{ ...verdict, paint, mark: markText(verdict) }];
      }),
  }));
  const { page, pages, more } = pageOf(rows, request);
  const config = soleOf([...new Set(verdicts.map((verdict) => verdict.config))]);
  const baseline = paints.get(judgement.session.baseline)?.title ?? judgement.session.baseline;
  const single = config === null ? undefined : paints.get(config)?.title;
  return {
    title: `${capital(metricLabel[metric])}: what really changed`,
    subtitle: `${single ?? "Each config"} against ${baseline}${more}`,
    legend: [],
    pages,
    notes: intervalNotes(
      judgement,
      metric,
      page.flatMap(({ game }) => verdicts.filter((verdict) => verdict.game === game)),
    ),
    lines: page.reduce((sum, row) => sum + row.lanes.length, 0),
    description: page.flatMap((row) =>
      row.lanes.map(
        (lane) => `${row.title}, ${lane.paint.title}: ${verdictText(lane)} (${intervalText(lane)}).`,
      ),
    ),
    draw: (space) =>
      drawIntervals(
        page,
        {
          axisLabel: `change of ${metricLabel[metric]} against ${baseline}`,
          mattersPct: judgement.session.mattersPct,
          namesConfigs: single === undefined,
        },
        space,
        look,
      ),
  };
}
