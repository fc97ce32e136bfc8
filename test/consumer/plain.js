// Plain JavaScript that uses the library as its users do; prints one line of JSON.
import { judgeFolder, judgementCsv, RunError } from "runjury";

const { judgement } = await judgeFolder(process.argv[2]);
const refused = await judgeFolder("no-such-folder").catch((error) => error);
console.log(
  JSON.stringify({
    games: judgement.session.games.length,
    verdicts: judgement.verdicts.length,
    rows: judgementCsv(judgement).trim().split("\r\n").length,
    refusedAs: refused instanceof RunError ? refused.problems[0].code : String(refused),
  }),
);
