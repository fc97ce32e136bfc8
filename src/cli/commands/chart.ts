import { type Command, InvalidArgumentError, Option } from "commander";
import type { ChartOptions } from "../../pipeline/pictures.ts";
import { pictureKinds } from "../../report/chart/picture.ts";
import { type Metric, type MetricName, metricLabel, metricsByName } from "../../shared/metrics.ts";
import { badOption } from "../../shared/problem.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import {
  addFolderOptions,
  addJudgeOptions,
  type RawOptions,
  toFolderOptions,
  wholeFrom,
} from "../options.ts";
import { isShown } from "../output.ts";
import { runAndWrite } from "../run-and-write.ts";

interface RawChartOptions extends Omit<RawOptions, "format"> {
  readonly picture: ChartOptions["picture"];
  readonly metric?: Metric;
  readonly page?: number;
  readonly size: ChartOptions["size"];
  readonly dark?: boolean;
  readonly transparent?: boolean;
  readonly format?: "svg" | "png";
}

export function addChartCommand(program: Command): void {
  const command = program
    .command("chart")
    .argument("<folder>", "captures, as <game>/<config>/<pass>.csv")
    .description("one picture for a video or an article, as SVG or PNG")
    .addOption(
      new Option(
        "--picture <kind>",
        "verdicts: all games for one metric; passes, traces, tails: one game's passes as dots, frame by frame, slowest frames; power: against frame rate; tags: by kind of game",
      )
        .choices(pictureKinds)
        .default(pictureKinds[0]),
    )
    .addOption(
      new Option(
        "--metric <metric>",
        'for verdicts, passes and tags, such as "1% low" (default: average FPS)',
      ).argParser(readMetric),
    )
    .option("--page <number>", "which page, where a list is longer than a picture", wholeFrom(1))
    .addOption(
      new Option("--size <width x height>", "in pixels, such as 3840x2160 or 1080x1920")
        .argParser(readSize)
        .default({ width: 1920, height: 1080 }, "1920x1080"),
    )
    .option("--dark", "light text on dark")
    .option("--transparent", "no background")
    .addOption(
      new Option(
        "--format <format>",
        "form of the picture (default: as the output's name ends, or svg)",
      ).choices(["svg", "png"]),
    )
    .option("-o, --output <file>", "write the picture to a file instead of standard output")
    .option("--quiet", "no progress and no notes on standard error");
  addFolderOptions(addJudgeOptions(command)).action(async (folder: string, raw: RawChartOptions) => {
    const format = raw.format ?? (/\.png$/i.test(raw.output ?? "") ? "png" : "svg");
    if (raw.format === undefined) refuseOtherPicture(raw.output);
    if (isShown(raw.output)) {
      command.error("error: a terminal cannot show a picture: give --output average.png, or pipe it on");
    }
    const { drawChart } = await import("../../pipeline/pictures.ts");
    await runAndWrite({ ...raw, format }, async (hooks) => {
      const { picture, problems } = await drawChart(
        folder,
        withoutGaps({
          ...toFolderOptions(raw),
          picture: raw.picture,
          format,
          theme: raw.dark === true ? "dark" : "light",
          transparent: raw.transparent,
          size: raw.size,
          metric: raw.metric,
          page: raw.page,
        } as const),
        hooks,
      );
      return { problems, render: { [format]: () => picture } };
    });
  });
}

/** A metric by the name that people or programs use. */
function readMetric(text: string): Metric {
  if (!Object.hasOwn(metricsByName, text)) {
    throw new InvalidArgumentError(`Expected one of: ${Object.values(metricLabel).join(", ")}.`);
  }
  return metricsByName[text as MetricName];
}

const leastSide = 360;
const mostSide = 8192;

function readSize(text: string): { width: number; height: number } {
  const match = /^(\d{1,5})x(\d{1,5})$/.exec(text.trim());
  const [width, height] = [Number(match?.[1]), Number(match?.[2])];
  const [short, long] = [Math.min(width, height), Math.max(width, height)];
  if (!(short >= leastSide && long <= mostSide && long <= 4 * short)) {
    throw new InvalidArgumentError(
      `Expected a width and a height from ${leastSide} to ${mostSide}, neither over 4 times the other, such as 1920x1080.`,
    );
  }
  return { width, height };
}

/** An SVG under the name of another kind of picture would open nowhere. */
function refuseOtherPicture(output: string | undefined): void {
  if (output === undefined || !/\.(?:jpe?g|gif|webp|avif|bmp|tiff?|pdf|eps)$/i.test(output)) return;
  throw badOption(
    "--output",
    output,
    "a name that ends in .svg or .png, the two kinds of pictures there are",
  );
}
