import path from "node:path";
import { type Command, InvalidArgumentError, Option } from "commander";
import { badOption } from "../../shared/problem.ts";
import { withoutGaps } from "../../shared/without-gaps.ts";
import { addReadOptions, type RawOptions } from "../options.ts";
import { refuseCapture, writeAll, writeResult } from "../output.ts";
import { progressLine } from "../progress.ts";
import { tellProblems } from "../tell-problems.ts";

const forms = ["vtt", "srt", "csv"] as const;
type Form = (typeof forms)[number];

interface RawCaptionOptions extends Pick<RawOptions, "session" | "lows" | "output" | "quiet"> {
  readonly every: number;
  readonly skip?: number;
  readonly keep?: number;
  readonly names?: boolean;
  readonly format?: Form;
}

export function addCaptionsCommand(program: Command): void {
  const command = program
    .command("captions")
    .argument("<log...>", "captures; several give tracks that start and end together")
    .description("running average and lows of captures as caption tracks, for side-by-side footage")
    .option("--every <seconds>", "time from one caption to the next", seconds(0.02, 60), 0.5)
    .option("--skip <seconds>", "leave out the start of every capture (default: the session's)", seconds(0))
    .option("--keep <seconds>", "keep this much after that (default: the session's)", seconds(0.02))
    .option("--names", "put the config's title over the figures")
    .addOption(
      new Option(
        "--format <format>",
        "vtt: WebVTT; srt: SubRip; csv: the same figures unrounded, for motion graphics (default: as the output's name ends, or vtt)",
      ).choices(forms),
    )
    .option("-o, --output <path>", "a file; for several tracks a folder, one file each")
    .option("--quiet", "no progress and no notes on standard error");
  addReadOptions(command).action(writeCaptions);
}

async function writeCaptions(files: readonly string[], raw: RawCaptionOptions): Promise<void> {
  const format = raw.format ?? forms.find((form) => raw.output?.toLowerCase().endsWith(`.${form}`)) ?? "vtt";
  const needsFolder = files.length > 1 && format !== "csv";
  if (needsFolder && (raw.output === undefined || /\.(vtt|srt|csv)$/i.test(raw.output))) {
    throw badOption(
      "--output",
      raw.output ?? "standard output",
      `a folder: ${files.length} captures give as many tracks`,
    );
  }
  refuseCapture(files, raw.output);
  const [{ captionLogs }, report] = await Promise.all([
    import("../../pipeline/caption-logs.ts"),
    import("../../report/captions-report.ts"),
  ]);
  const progress = await progressLine(process.stderr, raw.quiet === true);
  const { tracks, problems } = await captionLogs(
    files,
    withoutGaps({
      everyS: raw.every,
      sessionFile: raw.session,
      lows: raw.lows,
      skipS: raw.skip,
      keepS: raw.keep,
      names: raw.names,
    }),
    progress.hooks,
  ).finally(progress.stop);
  await tellProblems(problems, raw.quiet === true);
  const [first] = tracks;
  if (format === "csv" || first === undefined) {
    await writeResult(report.captionsCsv(tracks), raw.output);
    return;
  }
  const render = format === "vtt" ? report.captionsVtt : report.captionsSrt;
  if (!needsFolder) {
    await writeResult(render(first), raw.output);
    return;
  }
  const folder = raw.output ?? ".";
  await writeAll(
    folder,
    tracks.map((track) => ({ name: `${track.name}.${format}`, text: render(track) })),
  );
  if (raw.quiet !== true) {
    const length = first.lengthS.toFixed(1);
    process.stderr.write(`${tracks.length} tracks of ${length} s each in ${path.join(folder, path.sep)}\n`);
  }
}

function seconds(least: number, most = 86_400): (text: string) => number {
  return (text) => {
    const match = /^(\d+(?:\.\d+)?)\s*s?$/.exec(text.trim());
    const value = match === null ? Number.NaN : Number(match[1]);
    if (!(value >= least && value <= most)) {
      throw new InvalidArgumentError(`Expected seconds from ${least} to ${most}, such as 0.5s.`);
    }
    return value;
  };
}
