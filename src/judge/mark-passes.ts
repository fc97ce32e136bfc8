import { mean } from "simple-statistics";
import type { PaceFacts } from "../measure/pace-facts.ts";
import type { PassKey, PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import { groupBy } from "../shared/group-by.ts";
import { groupByCell } from "./cells.ts";
import { describeFlag, type PassFlag } from "./describe-flag.ts";
import { flagLengths } from "./flag-length.ts";
import { flagPace } from "./flag-pace.ts";
import type { JudgedPass, JudgeSettings } from "./judgement.ts";
import { logOf, pctOfLog } from "./log-scale.ts";
import { type ScreenedMetric, screenedMetrics, screenPasses } from "./screen-passes.ts";

/** A pass with what was noticed about it, and whether it counts. */
export interface MarkedPass {
  readonly pass: PassSummary;
  readonly flags: readonly PassFlag[];
  readonly counted: boolean;
  readonly screenP: number | null;
}

/** Session order: by game, config, boot and pass name. */
export function sortPasses(passes: readonly PassSummary[]): PassSummary[] {
  return [...passes].sort(
    (a, b) =>
      compareNames(a.game, b.game) ||
      compareNames(a.config, b.config) ||
      compareNames(a.boot ?? "", b.boot ?? "") ||
      compareNames(a.pass, b.pass),
  );
}

/** A marked pass as the data contract shows it: facts in words, and why it does not count. */
export function judgedPass({ pass, flags, counted, screenP }: MarkedPass): JudgedPass {
  const { flags: _facts, fingerprint: _digest, writtenAtMs: _time, pace, ...figures } = pass;
  const described = flags.map(describeFlag);
  const bad = described.filter(({ severity }) => severity === "bad").map(({ text }) => text);
  const because = bad.length > 0 ? bad.join("; ") : "no frames were left to measure";
  return {
    ...figures,
    ...(pace !== undefined && { pace: shownFacts(pace) }),
    flags: described,
    counted,
    notCountedBecause: counted ? null : because,
    screenP,
  };
}

function shownFacts({ slowAt: _places, ...facts }: PaceFacts): Omit<PaceFacts, "slowAt"> {
  return facts;
}

/** How people read a pass: the same names that `set-aside` in a session file uses. */
export function passName({ game, config, boot, pass }: PassKey): string {
  return (boot === null ? [game, config, pass] : [game, config, boot, pass]).join("/");
}

/**
 * Decides which passes count. Not counted are passes that are no measurement (restarted logs, copies, too short),
 * then what the session lists, then what the screen finds, unless all are kept; all stay in the result with their
 * reason.
 * @param passes in session order
 * @param isScreened false leaves out the screen for slow passes and nothing else
 */
export function markPasses(
  passes: readonly PassSummary[],
  { keepAll, setAside }: Pick<JudgeSettings, "keepAll" | "setAside">,
  isScreened = true,
): MarkedPass[] {
  const listed = keepAll ? [] : setAside;
  const copies = findCopies(passes);
  const drafts = passes.map((pass): Draft => {
    const flags: PassFlag[] = [...pass.flags, ...(copies.get(pass) ?? [])];
    const why = listed.find((entry) => isMeant(entry, pass))?.why;
    if (why !== undefined) flags.push({ code: "set-aside", why });
    return { pass, flags, screenP: null };
  });
  const lengths = flagLengths(drafts.filter(isEligible).map(({ pass }) => pass));
  for (const { pass, flags } of drafts) {
    const length = lengths.get(pass);
    if (length !== undefined) flags.push(length);
  }
  // What set the pace of a pass that will not count may be the very reason for it.
  const pace = flagPace(drafts.filter(isEligible).map(({ pass }) => pass));
  const isCapped = ({ pass }: Draft): boolean => (pace.get(pass) ?? []).some(({ code }) => code === "capped");
  if (isScreened && !keepAll) screenDrafts(drafts.filter(isEligible), isCapped);
  for (const { pass, flags } of drafts) flags.push(...(pace.get(pass) ?? []));
  return drafts.map((draft) => ({ ...draft, counted: isEligible(draft) }));
}

/** The passes that count. */
export function countedPasses(marked: readonly MarkedPass[]): PassSummary[] {
  return marked.filter(({ counted }) => counted).map(({ pass }) => pass);
}

interface Draft {
  readonly pass: PassSummary;
  readonly flags: PassFlag[];
  screenP: number | null;
}

function isMeant(entry: JudgeSettings["setAside"][number], pass: PassKey): boolean {
  return (
    entry.game === pass.game &&
    entry.config === pass.config &&
    entry.pass === pass.pass &&
    (entry.boot === null || entry.boot === pass.boot)
  );
}

function isEligible({ pass, flags }: Draft): boolean {
  return pass.avgFps !== null && flags.every((flag) => describeFlag(flag).severity !== "bad");
}

function findCopies(passes: readonly PassSummary[]): Map<PassSummary, PassFlag[]> {
  const known = passes.filter(({ fingerprint }) => fingerprint !== "");
  const flags = new Map<PassSummary, PassFlag[]>();
  for (const [first, ...rest] of groupBy(known, ({ fingerprint }) => fingerprint).values()) {
    if (rest.length === 0) continue;
    flags.set(first, [{ code: "duplicate", of: rest.map(passName).join(", "), isFirst: true }]);
    for (const copy of rest) flags.set(copy, [{ code: "duplicate", of: passName(first), isFirst: false }]);
  }
  return flags;
}

function screenDrafts(drafts: readonly Draft[], isCapped: (draft: Draft) => boolean): void {
  const cells = groupByCell(drafts, ({ pass }) => pass);
  const logs = cells.map((cell) =>
    cell.map(({ pass }) => ({ avgFps: logOf(pass.avgFps), low1Fps: logOf(pass.low1Fps) })),
  );
  const found = screenPasses(
    logs,
    cells.map((cell) => cell.some(isCapped)),
  );
  cells.forEach((cell, i) => {
    const isKept = (j: number): boolean => !found.setAside[i]?.[j];
    cell.forEach((draft, j) => {
      const p = found.p[i]?.[j] ?? null;
      draft.screenP = p;
      if (!isKept(j)) {
        const belowPct = Object.fromEntries(
          screenedMetrics.map((metric) => {
            const own = logs[i]?.[j]?.[metric] ?? null;
            const others = (logs[i] ?? []).flatMap((pass, k) =>
              k !== j && isKept(k) && pass[metric] !== null ? [pass[metric]] : [],
            );
            const isKnown = own !== null && others.length > 0;
            return [metric, isKnown ? -pctOfLog(own - mean(others)) : null];
          }),
        ) as Record<ScreenedMetric, number | null>;
        draft.flags.push({ code: "unusually-slow", belowPct, p: p ?? 1 });
      }
      if (found.unusuallyFast[i]?.[j]) draft.flags.push({ code: "unusually-fast" });
      if (found.disagree[i]) draft.flags.push({ code: "passes-disagree", passes: cell.length });
    });
  });
}
