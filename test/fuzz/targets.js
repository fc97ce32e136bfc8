// What is fuzzed: each target takes bytes, throws where a promise is broken, and returns a short text about what
// happened, by which inputs that do something new are told.
import { readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { judgeFolder } from "../../dist/index.js";
import { checkClaims } from "../../dist/judge/check-claims.js";
import { readSavedJudgement } from "../../dist/judge/saved-judgement.js";
import { inspectLog } from "../../dist/measure/inspect-log.js";
import { summarisePass } from "../../dist/measure/summarise-pass.js";
import { decodeScript } from "../../dist/read/decode-script.js";
import { readClaimsFile } from "../../dist/read/read-claims-file.js";
import { readLog } from "../../dist/read/read-log.js";
import { readScript } from "../../dist/read/read-script.js";
import { readSession } from "../../dist/read/session-file.js";
import {
  checkCsv,
  checkJson,
  checkMarkdown,
  checkSummary,
  checkTable,
} from "../../dist/report/check-report.js";
import { renderProblems } from "../../dist/report/describe-problem.js";
import { inspectTable } from "../../dist/report/inspect-report.js";
import { toJson } from "../../dist/report/to-json.js";
import { RunError } from "../../dist/shared/problem.js";
import { mutateBytes, mutateJson } from "./mutate.js";

const root = fileURLToPath(new URL("../..", import.meta.url));
const style = { width: 80, color: false };

function require(isTrue, what) {
  if (!isTrue) throw new Error(`broken promise: ${what}`);
}

/** Text that reaches a terminal: no control or format characters but line ends, and no trace of a missing value. */
function requireShowable(text) {
  const strange = /[^\P{Cc}\n\r]|[\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u.exec(text);
  require(strange === null, `no control characters: ${JSON.stringify(strange?.[0])}`);
  const trace = /undefined|\[object |\bNaN\b/.exec(text)?.[0];
  require(trace === undefined || seen.includes(trace.trim()), `no trace of a missing value: ${trace}`);
}

/** The input of this run as text: what it says itself may be shown again. */
let seen = "";

function showProblems(problems) {
  for (const { code, severity } of problems) {
    require(/^[a-z0-9-]+$/.test(code) && /^(note|warning|error)$/.test(severity), "problems have codes");
  }
  requireShowable(renderProblems(problems, style));
  return problems.map(({ code, why, reason }) =>
    [code, typeof why === "string" && why.length < 30 ? why : "", reason ?? ""].join("/"),
  );
}

const sourceOf = (bytes, pieceLength) => ({
  file: "pass-1.csv",
  bytes: bytes.length,
  async *open() {
    for (let at = 0; at < bytes.length; at += pieceLength) yield bytes.subarray(at, at + pieceLength);
  },
  *blocks() {
    for (let at = 0; at < bytes.length; at += pieceLength) yield bytes.subarray(at, at + pieceLength);
  },
});

function requireAccounted(log) {
  const { read, frames, notUsed } = log.rows;
  const lost = Object.values(notUsed).reduce((sum, count) => sum + count, 0);
  require(read === frames + lost, `rows read ${read} = frames ${frames} + not used ${lost}`);
  require(frames === log.frameTimesMs.length && frames > 0, "frames are counted");
  require(log.frameTimesMs.every((ms) => Number.isFinite(ms) && ms > 0), "frame times are above 0");
  const ends = log.frameEndsS;
  require(ends === null ||
    (ends.length === frames && ends.every((end, i) => end >= (ends[i - 1] ?? 0))), "frames end in order");
  for (const { atS, values } of log.sensors) {
    // NaN marks a stretch in which a sensor was silent.
    require(atS.length === values.length &&
      values.every((value) => Number.isFinite(value) || Number.isNaN(value)), "sensor readings are numbers");
    require(atS.every((at, i) => i === 0 || at >= atS[i - 1]), "sensor readings are in order");
  }
}

/** Every number is finite or null. */
function requireFinite(value, where) {
  if (typeof value === "number") require(Number.isFinite(value), `${where} is finite`);
  else if (value !== null && typeof value === "object" && !ArrayBuffer.isView(value)) {
    for (const [key, inner] of Object.entries(value)) requireFinite(inner, `${where}.${key}`);
  }
}

const settingsOf = [
  {},
  { frameTime: { column: "frame_time_ms" } },
  { frameTime: { column: "1", unit: "ms" } },
  { segment: 1 },
  { stream: { equals: "tide-runner" } },
];

async function fuzzLog(bytes) {
  // The last byte chooses what is asked of the log; a log rarely ends in anything that matters.
  const choice = bytes.at(-1) ?? 0;
  const settings = settingsOf[choice % 16] ?? {};
  const pieceLength = [65_536, 4096, 1000, 1000, 7][choice % 5];
  const sensors = choice % 4 === 0 ? sourceOf(bytes.subarray(bytes.length >> 1), 65_536) : null;
  const headLines = 12;
  const reading = await readLog(sourceOf(bytes, pieceLength), settings, sensors, { headLines });
  const careful = await readLog(sourceOf(bytes, pieceLength), settings, sensors, {
    headLines,
    isCareful: true,
  });
  const { log, problems, columns } = reading;
  require(JSON.stringify(plain(reading)) ===
    JSON.stringify(plain(careful)), "the fast and the careful reader agree");
  const told = showProblems(problems);
  const how = { lows: "percentile", trim: choice % 7 === 0 ? { skipS: 0.1, keepS: 0.5 } : null };
  requireShowable(inspectTable(inspectLog("pass-1.csv", reading, how), style));
  if (log === null) {
    require(problems.some(({ severity }) => severity === "error"), "a log that is left out has an error");
    return told.join();
  }
  requireAccounted(log);
  requireFinite(summarisePass(log, { game: "g", config: "c", pass: "p", boot: null }, how), "summary");
  return [
    ...told,
    ...Object.keys(log.rows.notUsed),
    ...log.flags.map(({ code }) => code),
    ...columns.map(({ role, unit }) => `${role}:${unit}`),
  ].join();
}

function plain({ log, problems }) {
  if (log === null) return { problems };
  return {
    problems,
    rows: log.rows,
    flags: log.flags,
    frames: Array.from(log.frameTimesMs),
    ends: log.frameEndsS && Array.from(log.frameEndsS),
    startedAt: log.startedAt,
    sensors: log.sensors.map(({ role, atS, values }) => [role, Array.from(atS), Array.from(values)]),
  };
}

const textOf = (bytes) => new TextDecoder().decode(bytes);

function fuzzSession(bytes) {
  const { session, problems } = readSession(textOf(bytes), "session.yaml");
  require((session === null) ===
    problems.some(({ severity }) => severity === "error"), "no session exactly where there is an error");
  requireFinite(session, "session");
  return showProblems(problems).join();
}

/** Two games of the demo's judgement, as the program saves it. */
async function judgeDemo() {
  demo ??= (await judgeFolder(path.join(root, "demo-data"), { only: ["tide-runner", "saltworks"] }))
    .judgement;
  return demo;
}
let demo = null;

const evidence = async () => ({ own: await judgeDemo(), judgeAgainst: () => null });

function holdSentences(sentences, against) {
  const check = checkClaims(sentences, against, { strict: false, requireClaims: true });
  const { found, hold, fail, error } = check.counts;
  require(found === hold + fail + error && found === check.claims.length, "claims are counted");
  require(!check.holds || (fail === 0 && error === 0), "a check that holds has no claim that fails");
  JSON.parse(checkJson(check));
  for (const text of [checkTable(check, style), checkMarkdown(check), checkCsv(check), checkSummary(check)])
    requireShowable(text);
  const problems = [...check.problems, ...check.claims.flatMap((claim) => claim.problems)];
  return [
    ...showProblems(problems),
    ...check.claims.map(({ outcome, doubt }) => `${outcome}${doubt}`),
    check.unclaimed.length > 0,
  ].join();
}

async function fuzzScript(bytes) {
  const { text, problems } = decodeScript(bytes, "script.md");
  if (text === null) return showProblems(problems).join();
  return holdSentences(readScript(text, "script.md"), await evidence());
}

async function fuzzClaims(bytes) {
  const { text } = decodeScript(bytes, "claims.yaml");
  if (text === null) return "not text";
  const { sentences, problems } = readClaimsFile(text, "claims.yaml");
  const told = showProblems(problems);
  return problems.length > 0 ? told.join() : holdSentences(sentences, await evidence());
}

const script = readScript(
  readFileSync(path.join(root, "fixtures/scripts/demo-script.md"), "utf8"),
  "script.md",
);

function fuzzJudgement(bytes) {
  let own;
  try {
    own = readSavedJudgement(textOf(bytes), "judgement.json");
  } catch (error) {
    if (!(error instanceof RunError)) throw error;
    return (
      showProblems(error.problems).join() +
      JSON.stringify(error.problems[0].path?.filter((step) => typeof step === "string"))
    );
  }
  return holdSentences(script, { own, judgeAgainst: () => null });
}

function filesBelow(folder, pattern) {
  return readdirSync(path.join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && pattern.test(entry.name))
    .map((entry) => path.join(entry.parentPath ?? entry.path, entry.name))
    .sort();
}

/** Short logs are fuzzed as well as long ones, and many more of them. */
function shortened(file) {
  const bytes = readFileSync(file);
  if (file.endsWith(".gz") || bytes.length < 1500) return bytes;
  let lines = 0;
  const end = bytes.findIndex((byte) => byte === 10 && ++lines === 24);
  return end < 0 ? bytes.subarray(0, 1500) : bytes.subarray(0, end + 1);
}

export const targets = {
  log: {
    run: fuzzLog,
    corpus: () => filesBelow("fixtures/logs", /^pass-1.*\.(csv|gz)$/).map(shortened),
    mutate: mutateBytes,
    share: 5,
  },
  session: {
    run: fuzzSession,
    corpus: () => filesBelow("fixtures/sessions", /\.ya?ml$/).map((file) => readFileSync(file)),
    mutate: mutateBytes,
    share: 2,
  },
  script: {
    prepare: judgeDemo,
    run: fuzzScript,
    corpus: () => filesBelow("fixtures/scripts", /\.md$/).map((file) => readFileSync(file)),
    mutate: mutateBytes,
    share: 1,
  },
  claims: {
    prepare: judgeDemo,
    run: fuzzClaims,
    corpus: () => filesBelow("fixtures/scripts", /\.yaml$/).map((file) => readFileSync(file)),
    mutate: mutateBytes,
    share: 1,
  },
  judgement: {
    prepare: judgeDemo,
    run: fuzzJudgement,
    corpus: async () => [Buffer.from(toJson(await judgeDemo()))],
    mutate: (bytes, random, other) =>
      random() % 8 === 0 ? mutateBytes(bytes, random, other) : Buffer.from(mutateJson(textOf(bytes), random)),
    share: 1,
  },
};

/** Runs one input; what it says itself is allowed to be shown again. */
export function runTarget(name, bytes) {
  seen = textOf(bytes);
  return targets[name].run(bytes);
}
