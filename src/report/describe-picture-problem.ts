import { metricLabel } from "../shared/metrics.ts";
import type { PictureFinding } from "../shared/problem.ts";
import type { FindingWords } from "./finding-words.ts";

const mostLetters = 10;

/** What a picture lacks, in words. */
export function describePictureFinding(finding: PictureFinding): FindingWords {
  switch (finding.code) {
    case "picture-one-game":
      return {
        message: `this picture (${finding.picture}) shows one game, and there are ${finding.games.length}`,
        expected: `--only <game>, one of ${finding.games.join(", ")}`,
      };
    case "picture-goes-on":
      return {
        message: `not everything fits: this is picture ${finding.page} of ${finding.pages}`,
        todo: `give --page 1 to --page ${finding.pages}, or a taller --size`,
      };
    case "picture-letters-missing": {
      const more = finding.letters.length - mostLetters;
      const letters = `${finding.letters.slice(0, mostLetters).join(" ")}${more > 0 ? ` and ${more} more` : ""}`;
      return {
        message: `the font of PNG pictures lacks some letters, which show as boxes: ${letters}`,
        todo: "write an SVG, which takes them from the viewer's fonts, or give a `title` in other letters in session.yaml",
      };
    }
    case "picture-needs":
      return { message: `this picture (${finding.picture}) cannot be drawn: ${lacks(finding.missing)}` };
  }
}

function lacks(missing: string): string {
  switch (missing) {
    case "tags":
      return "no kind of games has two games or more; name the kinds as `tags` of the games in session.yaml";
    case "cpuPowerW":
      return "the logs hold no CPU power; log it as a column or as <pass>.sensors.csv beside each log";
    case "gpuPowerW":
      return "the logs hold no GPU power; log it as a column or as <pass>.sensors.csv beside each log";
    case "fpsPerWatt":
    case "joulesPerFrame":
      return "it needs CPU power, and the logs hold none; log it as a column or as <pass>.sensors.csv beside each log";
    case "low1Fps":
    case "low01Fps":
      return `no pass has enough frames for a ${metricLabel[missing]}; \`runjury passes\` says how many are needed`;
    case "frames":
      return "no pass of it counts";
    default:
      return `the session has no comparison of ${metricLabel[missing as keyof typeof metricLabel] ?? missing}`;
  }
}
