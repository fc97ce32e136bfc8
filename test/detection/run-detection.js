/** Prints what the flags on the pace of passes find, and what they flag for nothing: `npm run detection [sessions]`. */
import { listPasses, summarisePass } from "../../dist/index.js";
import { measureDetection, scenarios } from "./detection-rates.js";

const sessions = Number(process.argv[2] ?? 1000);
const seed = 7;
let clean = 0;
let flagged = 0;
console.log(`${sessions} sessions each, two games, two configs, three passes; seed ${seed}`);
console.log("found %  falsely flagged %: sessions  passes   scenario");
for (const scenario of scenarios) {
  const rate = measureDetection({ listPasses, summarisePass }, scenario, sessions, seed);
  const found = scenario.code === null ? "-" : ((100 * rate.found) / rate.cells).toFixed(1);
  const wrong = ((100 * rate.falseSessions) / sessions).toFixed(1);
  const wrongPasses = ((100 * rate.falsePasses) / rate.passes).toFixed(2);
  console.log(`${found.padStart(7)}  ${wrong.padStart(27)}  ${wrongPasses.padStart(6)}   ${scenario.name}`);
  if (scenario.code === null) {
    clean += sessions;
    flagged += rate.falseSessions;
  }
}
console.log(`clean sessions with any false flag: ${((100 * flagged) / clean).toFixed(2)}%`);
