import type { Check, CheckSettings } from "../judge/check-claims.ts";
import type { Evidence } from "../judge/compared.ts";
import type { Findings } from "../judge/find-findings.ts";
import type { Judgement } from "../judge/judgement.ts";
import type { ScriptSentence } from "../read/claim.ts";
import { collectBytes, kindOfPath, readBytes, readTextFile } from "../read/files.ts";
import { type Problem, RunError, refusal } from "../shared/problem.ts";
import { version } from "../version.ts";
import { findOrigin } from "./find-origin.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { judgeMeasured } from "./judge-folder.ts";

/** A script: its path, or its bytes with the name to show for them. */
export type ScriptSource =
  | string
  | { readonly file: string; readonly bytes: Uint8Array | AsyncIterable<Uint8Array> };

export interface CheckOptions extends Omit<FolderOptions, "only">, Partial<CheckSettings> {
  /** Left out: yaml where the script's name ends in .yaml or .yml, else markdown. */
  readonly scriptFormat?: "markdown" | "yaml";
}

/**
 * Holds every claim of a script against captures, or against a judgement saved as JSON.
 * @param source folder of captures, or path of the judgement
 * @throws RunError if it cannot be done: no script, none that can be read, no captures
 */
export async function checkScript(
  script: ScriptSource,
  source: string,
  options: CheckOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly check: Check; readonly problems: readonly Problem[] }> {
  const [sentences, { checkClaims }] = await Promise.all([
    readSentences(script, options.scriptFormat),
    import("../judge/check-claims.ts"),
  ]);
  const { evidence, stale, problems } = await findEvidence(source, options, hooks);
  const settings = { strict: options.strict ?? false, requireClaims: options.requireClaims ?? false };
  const check = checkClaims(sentences, evidence, settings, stale);
  const none: Problem[] =
    check.counts.found > 0
      ? []
      : [{ code: "script-without-claims", severity: "warning", at: { file: fileOf(script) } }];
  return {
    check,
    problems: [...problems, ...check.claims.flatMap((claim) => claim.problems), ...check.problems, ...none],
  };
}

/**
 * What the captures allow to be said, and what they do not.
 * @throws RunError as judgeFolder does
 */
export async function findFindings(
  folder: string,
  options: Omit<FolderOptions, "only"> = {},
  hooks: Hooks = {},
): Promise<{ readonly findings: Findings; readonly problems: readonly Problem[] }> {
  const [{ judgement, problems }, { findingsOf }] = await Promise.all([
    judgeMeasured(folder, options, hooks),
    import("../judge/find-findings.ts"),
  ]);
  return { findings: findingsOf(judgement), problems };
}

function fileOf(script: ScriptSource): string {
  return typeof script === "string" ? script : script.file;
}

async function bytesOf(script: ScriptSource): Promise<Uint8Array | null> {
  if (typeof script === "string") return readBytes(script, { mayBePipe: true });
  return script.bytes instanceof Uint8Array ? script.bytes : collectBytes(script.bytes, script.file);
}

async function readSentences(
  script: ScriptSource,
  format: CheckOptions["scriptFormat"],
): Promise<readonly ScriptSentence[]> {
  const file = fileOf(script);
  if (typeof script === "string" && (await kindOfPath(script)) === "folder")
    throw refusal({ code: "script-is-folder" }, file);
  const bytes = await bytesOf(script);
  if (bytes === null) throw refusal({ code: "script-missing" }, file);
  const { decodeScript } = await import("../read/decode-script.ts");
  const { text, problems } = decodeScript(bytes, file);
  if (text === null) throw new RunError(problems);
  if ((format ?? (/\.ya?ml$/i.test(file) ? "yaml" : "markdown")) === "markdown") {
    const { readScript } = await import("../read/read-script.ts");
    return readScript(text, file);
  }
  const { readClaimsFile } = await import("../read/read-claims-file.ts");
  const list = readClaimsFile(text, file);
  if (list.problems.length > 0) throw new RunError(list.problems);
  return list.sentences;
}

interface FoundEvidence {
  readonly evidence: Evidence;
  readonly stale: readonly Problem[];
  readonly problems: readonly Problem[];
}

/** Options that judge; a saved judgement has been judged. */
const judging = {
  sessionFile: "--session",
  baseline: "--baseline",
  lows: "--lows",
  mattersPct: "--matters",
  confidencePct: "--confidence",
  keepAll: "--keep-all",
} as const satisfies Partial<Record<keyof FolderOptions, string>>;

async function findEvidence(source: string, options: CheckOptions, hooks: Hooks): Promise<FoundEvidence> {
  const kind = await kindOfPath(source);
  if (kind === null) throw refusal({ code: "judgement-missing" }, source);
  if (kind === "folder") {
    const { judgement, judgeAgainst, problems } = await judgeMeasured(source, options, hooks);
    return { evidence: { own: judgement, judgeAgainst }, stale: [], problems };
  }
  const given = Object.entries(judging).filter(([key]) => options[key as keyof typeof judging] !== undefined);
  if (given.length > 0) {
    throw new RunError(
      given.map(([, option]) => ({
        code: "judgement-fixed",
        severity: "error",
        at: { file: source },
        option,
      })),
    );
  }
  const own = await readSaved(source);
  const { findStaleness } = await import("../judge/find-staleness.ts");
  const now = own.made === undefined ? null : await findOrigin(own.made.folder, own.made.session);
  const stale = findStaleness(source, own.made, now, version);
  return { evidence: { own, judgeAgainst: () => null }, stale, problems: [] };
}

async function readSaved(file: string): Promise<Judgement> {
  const { readSavedJudgement } = await import("../judge/saved-judgement.ts");
  return readSavedJudgement((await readTextFile(file, { mayBePipe: true })) ?? "", file);
}
