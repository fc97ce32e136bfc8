// A strict TypeScript project that uses the library as its users do.
import {
  checkScript,
  fileSource,
  type Judgement,
  judgeFolder,
  judgementTable,
  type Metric,
  metrics,
  type PassSummary,
  type Problem,
  RunError,
  readLog,
  renderProblems,
  summarisePass,
  type Verdict,
} from "runjury";
import { drawChart } from "runjury/pictures";

const folder: string = process.argv[2] ?? ".";

/** Verdicts that are worth a sentence. */
function notable(judgement: Judgement): Verdict[] {
  return judgement.verdicts.filter(({ size }) => size === "notable");
}

try {
  const { judgement, problems } = await judgeFolder(folder, { mattersPct: 3 });
  const told: readonly Problem[] = problems;
  const first: Verdict | undefined = notable(judgement)[0];
  const changePct: number | undefined = first?.changePct;
  const metric: Metric = metrics[0];
  // @ts-expect-error: a verdict is one of four words.
  const wrong: "better" = judgement.verdicts[0]?.verdict;
  const log = await readLog(fileSource(judgement.passes[0]?.file ?? ""));
  if (log.log !== null) {
    const key = { game: "g", config: "c", pass: "p", boot: null };
    const summary: PassSummary = summarisePass(log.log, key, { lows: "percentile", trim: null });
    const avgFps: number | null = summary.avgFps;
    console.log(avgFps === null, metric, changePct, wrong);
  }
  console.log(judgementTable(judgement, { width: 80, color: false }), renderProblems(told, { color: false }));
  const { check } = await checkScript(
    { file: "x.md", bytes: new TextEncoder().encode("No numbers.") },
    folder,
  );
  const holds: boolean = check.holds;
  const { picture } = await drawChart(folder, { picture: "verdicts", format: "png" });
  const bytes: number = typeof picture === "string" ? 0 : picture.length;
  console.log(holds, bytes);
} catch (error) {
  if (!(error instanceof RunError)) throw error;
  const codes: string[] = error.problems.map(({ code }) => code);
  console.error(codes);
}
