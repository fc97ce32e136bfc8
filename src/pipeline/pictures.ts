import type { Judgement } from "../judge/judgement.ts";
import { fontFaces, missingLetters, rulerOfFont } from "../paint/fonts.ts";
import { makePicture } from "../report/chart/draw-picture.ts";
import type { PictureKind } from "../report/chart/picture.ts";
import { drawSheet, type SheetSize, sheetRows } from "../report/chart/sheet.ts";
import { themes } from "../report/chart/theme.ts";
import type { Metric } from "../shared/metrics.ts";
import type { Problem } from "../shared/problem.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { judgeMeasured } from "./judge-folder.ts";

export interface ChartOptions extends FolderOptions {
  readonly picture: PictureKind;
  /** Left out: average FPS, where the picture is of one metric. */
  readonly metric?: Metric;
  /** Counted from 1, where there are more rows than fit on one picture. */
  readonly page?: number;
  readonly size?: SheetSize;
  readonly theme?: keyof typeof themes;
  /** Leaves the background out. */
  readonly transparent?: boolean;
  readonly format?: "svg" | "png";
}

/** Pixel columns of the widest trace that is drawn at full HD; 4K shows the same line, finer. */
const traceBuckets = 900;

/**
 * Draws one picture of a folder of captures.
 * @returns an SVG file, or the bytes of a PNG file
 * @throws RunError as judgeFolder does, and where the session lacks what the picture shows
 */
export async function drawChart(
  folder: string,
  options: ChartOptions,
  hooks: Hooks = {},
): Promise<{ readonly picture: string | Uint8Array; readonly problems: readonly Problem[] }> {
  const { picture: kind, size = { width: 1920, height: 1080 }, only = [] } = options;
  const needsFrames = kind === "traces" || kind === "tails";
  const { judgement, show, frames, problems } = await judgeMeasured(
    folder,
    { ...options, ...(needsFrames && { traceBuckets }) },
    hooks,
  );
  const look = { theme: themes[options.theme ?? "light"], ruler: rulerOfFont };
  const request = { metric: options.metric ?? null, page: options.page ?? 1, rows: sheetRows(size) };
  const source = { judgement, shown: show(only), frames };
  const picture = makePicture(kind, source, request, look);
  const svg = drawSheet(picture, size, look, {
    transparent: options.transparent ?? false,
    fontFaces: options.format === "png" ? "" : fontFaces(namesIn(judgement)),
  });
  const { pages = 1 } = picture;
  const goesOn: Problem[] =
    pages === 1
      ? []
      : [{ code: "picture-goes-on", severity: "note", at: { file: "" }, page: request.page, pages }];
  const told = [...problems, ...goesOn];
  if (options.format !== "png") return { picture: svg, problems: told };
  const letters = missingLetters(svg);
  if (letters.length > 0)
    told.push({ code: "picture-letters-missing", severity: "note", at: { file: "" }, letters });
  const { renderPng } = await import("../paint/render-png.ts");
  return { picture: await renderPng(svg, size), problems: told };
}

/** What a picture or page may write beside words of ours. */
function namesIn({ session }: Judgement): string {
  const { title, games, configs, titles } = session;
  const shown = [...(titles?.games ?? []), ...(titles?.configs ?? [])].map((entry) => entry.title);
  return [title ?? "", ...games, ...configs, ...shown].join(" ");
}

/** Pixel columns of a trace on a page. */
const pageTraceBuckets = 330;

/**
 * Writes the report of a folder of captures: one HTML file that needs nothing else.
 * @throws RunError as judgeFolder does
 */
export async function writeReport(
  folder: string,
  options: FolderOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly page: string; readonly problems: readonly Problem[] }> {
  const [measured, { findingsOf }, { reportPage }] = await Promise.all([
    judgeMeasured(folder, { ...options, traceBuckets: pageTraceBuckets }, hooks),
    import("../judge/find-findings.ts"),
    import("../report/html/report-page.ts"),
  ]);
  const { judgement, session, frames, problems } = measured;
  const shown = measured.show(options.only ?? []);
  const source = { judgement, shown, frames, findings: findingsOf(shown), session };
  return {
    page: reportPage(source, { ruler: rulerOfFont, fontFaces: fontFaces(namesIn(judgement)) }),
    problems,
  };
}
