/**
 * What the library offers: a function for each command, what it is made of for those who have no folder (readLog,
 * summarisePass, judgeSession), and the renderers of results. What cannot be done is a RunError, whatever the function.
 */

export type { Check, CheckedClaim, UnclaimedSentence } from "./judge/check-claims.ts";
export type { Finding, Findings } from "./judge/find-findings.ts";
export type { Happening } from "./judge/follow-session.ts";
export { judgeSession } from "./judge/judge-session.ts";
export type {
  Caution,
  FactorEffect,
  Flag,
  JudgedPass,
  Judgement,
  JudgeSettings,
  Origin,
  SuiteRow,
  TradeTable,
  UnreadLog,
  Verdict,
} from "./judge/judgement.ts";
export { listPasses } from "./judge/list-passes.ts";
export type { Plan } from "./judge/plan.ts";
export type { CapPlan } from "./judge/plan-caps.ts";
export { planJsonSchema } from "./judge/plan-schema.ts";
export type { Standing } from "./judge/session-standing.ts";
export type { VerdictWord } from "./judge/verdict.ts";
export type { Inspection, LogComparison } from "./measure/inspect-log.ts";
export type { PassKey, PassSummary } from "./measure/pass-summary.ts";
export { type SummariseSettings, summarisePass } from "./measure/summarise-pass.ts";
export { type CaptionOptions, captionLogs } from "./pipeline/caption-logs.ts";
export { describeFolder } from "./pipeline/describe-folder.ts";
export type { FolderOptions, Hooks, MeasureOptions, ReadingOptions } from "./pipeline/folder-options.ts";
export {
  type FollowHooks,
  type FollowOptions,
  type FollowUpdate,
  followFolder,
} from "./pipeline/follow-folder.ts";
export { type CheckOptions, checkScript, findFindings, type ScriptSource } from "./pipeline/gate.ts";
export { inspectFile, inspectFolder } from "./pipeline/inspect-logs.ts";
export { judgeFolder, listFolder } from "./pipeline/judge-folder.ts";
export { type MeasuredFolder, measureFolder } from "./pipeline/measure-folder.ts";
export { planFolder } from "./pipeline/plan-folder.ts";
export { planFolderCaps } from "./pipeline/plan-folder-caps.ts";
export type { PlanOptions } from "./pipeline/plan-options.ts";
export { claimsJsonSchema } from "./read/claims-schema.ts";
export { fileSource } from "./read/files.ts";
export type { ByteSource, ColumnReading, Log, LogReading, LogSettings, SensorSeries } from "./read/log.ts";
export { readLog } from "./read/read-log.ts";
export { readSession, type Session, type SessionReading } from "./read/session-file.ts";
export type { SessionFound } from "./read/session-found.ts";
export { sessionJsonSchema } from "./read/session-schema.ts";
export { capCsv, capMarkdown, capTable } from "./report/cap-report.ts";
export { type CaptionTrack, captionsCsv, captionsSrt, captionsVtt } from "./report/captions-report.ts";
export { checkCsv, checkJson, checkMarkdown, checkSummary, checkTable } from "./report/check-report.ts";
export { renderProblems } from "./report/describe-problem.ts";
export { findingsCsv, findingsJson, findingsMarkdown, findingsText } from "./report/findings-report.ts";
export { followBoard } from "./report/follow-board.ts";
export { followJsonLines } from "./report/follow-jsonl.ts";
export { followLines } from "./report/follow-lines.ts";
export { comparisonTable, inspectTable } from "./report/inspect-report.ts";
export { judgementCsv } from "./report/judgement-csv.ts";
export { judgementMarkdown } from "./report/judgement-markdown.ts";
export { judgementTable } from "./report/judgement-table.ts";
export { passesCsv, passesJson, passesMarkdown, passesTable } from "./report/passes-report.ts";
export { planCsv, planMarkdown, planTable } from "./report/plan-report.ts";
export { writeSessionFile } from "./report/session-file.ts";
export { sheetCsv, sheetMarkdown, sheetTable } from "./report/sheet-report.ts";
export type { Style } from "./report/style.ts";
export { toJson } from "./report/to-json.ts";
export { type LowsDefinition, lowsDefinitions } from "./shared/lows-definition.ts";
export { type Metric, metrics } from "./shared/metrics.ts";
export { type Problem, RunError, type Severity } from "./shared/problem.ts";
