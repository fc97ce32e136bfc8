import type { PassSummary } from "../measure/pass-summary.ts";
import type { Problem } from "../shared/problem.ts";
import { verdictKey } from "./judge-columns.ts";
import type { JudgedPass } from "./judgement.ts";
import { judgedPass, type MarkedPass, passName } from "./mark-passes.ts";
import type { NextPass } from "./next-pass.ts";
import {
  findStanding,
  type Standing,
  type StandingComparison,
  type StandingSettings,
} from "./session-standing.ts";

/** A capture as it was read; without a summary it could not be used, and a problem says why. */
export interface ReadCapture {
  readonly file: string;
  readonly summary: PassSummary | null;
  readonly problems: readonly Problem[];
}

/** Why a capture is read once more. */
export type ReadAgain = "rewritten" | "sensors";

/** What happens to a session while it is captured. */
export type FollowEvent =
  | { readonly kind: "read"; readonly capture: ReadCapture; readonly again: ReadAgain | null }
  | { readonly kind: "gone"; readonly file: string }
  /** The folder cannot be looked at any more, or can again; its captures stay what they were. */
  | { readonly kind: "folder"; readonly isThere: boolean }
  | {
      readonly kind: "session";
      readonly settings: StandingSettings;
      /** Every capture, where what the session says of logs has changed; null where the captures stand. */
      readonly captures: readonly ReadCapture[] | null;
    }
  /** The session file cannot be used as it is now; the session stays what it was. */
  | { readonly kind: "session-unusable"; readonly problems: readonly Problem[] };

/** What a follower is told. */
export type Happening =
  | { readonly event: "start"; readonly captures: number; readonly leftOut: readonly LeftOut[] }
  | {
      readonly event: "pass";
      readonly pass: JudgedPass;
      /** `repeat`: it does not count, for the reason in the pass. */
      readonly answer: "good" | "repeat";
      readonly again: ReadAgain | null;
    }
  /** A pass that was told earlier and now counts, or no longer does, because of what came later. */
  | { readonly event: "recounted"; readonly pass: JudgedPass; readonly answer: "good" | "repeat" }
  | ({ readonly event: "left-out" } & LeftOut)
  | { readonly event: "gone"; readonly file: string; readonly name: string }
  | { readonly event: "folder"; readonly isThere: boolean }
  | { readonly event: "settled"; readonly comparison: StandingComparison }
  | { readonly event: "reopened"; readonly comparison: StandingComparison }
  | {
      readonly event: "next";
      readonly next: NextPass;
      readonly passesLeft: number;
      readonly minutesLeft: number | null;
    }
  | { readonly event: "enough" }
  | {
      readonly event: "session";
      readonly isUsed: boolean;
      readonly problems: readonly Problem[];
      readonly readAgain: number;
    }
  | {
      readonly event: "end";
      readonly captures: number;
      /** Logs that were not whole yet. */
      readonly growing: readonly string[];
      readonly standing: Omit<Standing, "passes">;
    };

/** A capture without a summary, or filed twice, and why. */
export interface LeftOut {
  readonly file: string;
  readonly problems: readonly Problem[];
}

export interface FollowState {
  readonly settings: StandingSettings;
  /** By file. */
  readonly captures: ReadonlyMap<string, ReadCapture>;
  /** The config that was captured last. */
  readonly lastConfig: string | null;
  readonly standing: Standing;
}

export interface FollowStep {
  readonly state: FollowState;
  readonly happenings: readonly Happening[];
}

/** The session as it lies in the folder when following starts. */
export function startFollowing(captures: readonly ReadCapture[], settings: StandingSettings): FollowStep {
  let last: PassSummary | null = null;
  for (const { summary } of captures) {
    if (summary !== null && (summary.writtenAtMs ?? 0) >= (last?.writtenAtMs ?? 0)) last = summary;
  }
  const state = stateOf(
    new Map(captures.map((capture) => [capture.file, capture])),
    settings,
    last?.config ?? null,
  );
  return {
    state,
    happenings: [
      { event: "start", captures: captures.length, leftOut: leftOut(state.captures) },
      ...plans(null, state.standing),
    ],
  };
}

/**
 * One step of following: events in, the new state and what to tell out. A pure function; the standing is found once
 * for all events of a step, since that is what costs.
 */
export function follow(state: FollowState, events: readonly FollowEvent[]): FollowStep {
  const captures = new Map(state.captures);
  let { settings, lastConfig } = state;
  for (const event of events) {
    if (event.kind === "read") {
      captures.set(event.capture.file, event.capture);
      lastConfig = event.capture.summary?.config ?? lastConfig;
    } else if (event.kind === "gone") {
      captures.delete(event.file);
    } else if (event.kind === "session") {
      settings = event.settings;
      for (const capture of event.captures ?? []) captures.set(capture.file, capture);
    }
  }
  const next = stateOf(captures, settings, lastConfig);
  const before = byFile(state.standing);
  const now = byFile(next.standing);
  const told = events.flatMap((event): Happening[] => tellEvent(event, before, now, captures));
  const isTold = new Set(events.flatMap(toldFiles));
  const recounted = next.standing.passes.flatMap((mark): Happening[] => {
    const { file } = mark.pass;
    if (isTold.has(file) || before.get(file)?.counted === mark.counted) return [];
    return [{ event: "recounted", pass: judgedPass(mark), answer: answerOf(mark) }];
  });
  const dropped = [...before.keys()].some((file) => !now.has(file) && !isTold.has(file))
    ? leftOut(captures).filter(({ file }) => before.has(file) && !isTold.has(file))
    : [];
  return {
    state: next,
    happenings: [
      ...told,
      ...recounted,
      ...dropped.map((out): Happening => ({ event: "left-out", ...out })),
      ...tellSettled(state.standing, next.standing),
      ...plans(state.standing, next.standing),
    ],
  };
}

/** Files that an event tells of by itself. */
function toldFiles(event: FollowEvent): string[] {
  if (event.kind === "read") return [event.capture.file];
  return event.kind === "gone" ? [event.file] : [];
}

/** The last thing to tell. */
export function endFollowing({ captures, standing }: FollowState, growing: readonly string[]): Happening {
  const { passes: _told, ...rest } = standing;
  return { event: "end", captures: captures.size, growing, standing: rest };
}

function stateOf(
  captures: ReadonlyMap<string, ReadCapture>,
  settings: StandingSettings,
  lastConfig: string | null,
): FollowState {
  const first = firstOfEach(captures);
  const passes = [...first.values()].flatMap(({ summary }) => (summary === null ? [] : [summary]));
  return { settings, captures, lastConfig, standing: findStanding(passes, settings, lastConfig) };
}

/** By name of the pass, the first file in the order of their names: the one that a judgement of the folder would take. */
function firstOfEach(captures: ReadonlyMap<string, ReadCapture>): Map<string, ReadCapture> {
  const first = new Map<string, ReadCapture>();
  for (const capture of captures.values()) {
    if (capture.summary === null) continue;
    const key = keyOf(capture.summary);
    const other = first.get(key);
    if (other === undefined || capture.file < other.file) first.set(key, capture);
  }
  return first;
}

function keyOf({ game, config, boot, pass }: PassSummary): string {
  return `${game.length} ${config.length} ${boot?.length ?? -1} ${game}${config}${boot ?? ""}${pass}`;
}

function leftOut(captures: ReadonlyMap<string, ReadCapture>): LeftOut[] {
  const first = firstOfEach(captures);
  return [...captures.values()].flatMap((capture) => {
    const { file, summary, problems } = capture;
    if (summary === null) return [{ file, problems }];
    const other = first.get(keyOf(summary)) as ReadCapture;
    return other === capture ? [] : [filedTwice(file, other.file)];
  });
}

function filedTwice(file: string, other: string): LeftOut {
  return { file, problems: [{ code: "pass-filed-twice", severity: "error", at: { file }, other }] };
}

function byFile({ passes }: Standing): Map<string, MarkedPass> {
  return new Map(passes.map((mark) => [mark.pass.file, mark]));
}

function answerOf({ counted }: MarkedPass): "good" | "repeat" {
  return counted ? "good" : "repeat";
}

function tellEvent(
  event: FollowEvent,
  before: ReadonlyMap<string, MarkedPass>,
  now: ReadonlyMap<string, MarkedPass>,
  captures: ReadonlyMap<string, ReadCapture>,
): Happening[] {
  switch (event.kind) {
    case "read": {
      const { file } = event.capture;
      const mark = now.get(file);
      if (mark !== undefined) {
        return [{ event: "pass", pass: judgedPass(mark), answer: answerOf(mark), again: event.again }];
      }
      const out = leftOut(captures).find((capture) => capture.file === file);
      return out === undefined ? [] : [{ event: "left-out", ...out }];
    }
    case "gone": {
      const pass = before.get(event.file);
      return [
        { event: "gone", file: event.file, name: pass === undefined ? event.file : passName(pass.pass) },
      ];
    }
    case "folder":
      return [{ event: "folder", isThere: event.isThere }];
    case "session":
      return [{ event: "session", isUsed: true, problems: [], readAgain: event.captures?.length ?? 0 }];
    case "session-unusable":
      return [{ event: "session", isUsed: false, problems: event.problems, readAgain: 0 }];
  }
}

function tellSettled(before: Standing, now: Standing): Happening[] {
  const keyed = new Map(before.comparisons.map((comparison) => [verdictKey(comparison), comparison]));
  return now.comparisons.flatMap((comparison): Happening[] => {
    const old = keyed.get(verdictKey(comparison));
    const was = old?.isSettled === true ? old.verdict : null;
    const is = comparison.isSettled ? comparison.verdict : null;
    if (was === is) return [];
    return [{ event: is === null ? "reopened" : "settled", comparison }];
  });
}

/** What to do now, where that has changed. */
function plans(before: Standing | null, { next, passesLeft, minutesLeft, isEnough }: Standing): Happening[] {
  if (isEnough) return before?.isEnough === true ? [] : [{ event: "enough" }];
  if (next === null) return [];
  const isAsBefore =
    before?.next?.game === next.game &&
    before.next.config === next.config &&
    before.next.number === next.number &&
    before.passesLeft === passesLeft;
  return isAsBefore ? [] : [{ event: "next", next, passesLeft, minutesLeft }];
}
