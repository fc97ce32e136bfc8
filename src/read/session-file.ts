import type * as z from "zod";
import type { KeyPath, Place, Problem } from "../shared/problem.ts";
import { withoutGaps } from "../shared/without-gaps.ts";
import { type Layout, parseLayout } from "./layout.ts";
import type { LogSettings } from "./log.ts";
import { sessionSchema } from "./session-schema.ts";
import { readYaml } from "./yaml-file.ts";

/** What the session says of one game. */
export interface GameNotes {
  /** As in the paths. */
  readonly name: string;
  /** The name itself where the session gives none. */
  readonly title: string;
  readonly tags: readonly string[];
  readonly scene: string | null;
  readonly settings: string | null;
  readonly frameCapFps: number | null;
  readonly at: Place;
}

/** What the session says of one config. */
export interface ConfigNotes {
  /** As in the paths. */
  readonly name: string;
  /** The name itself where the session gives none. */
  readonly title: string;
  readonly threads: number | null;
  readonly changes: readonly string[];
  /** Level of each factor that the config is made of. */
  readonly levels: Readonly<Record<string, string>>;
  readonly frameCapFps: number | null;
  /** The config that this one is, but for its frame cap. */
  readonly capOf: string | null;
  readonly at: Place;
}

/** A pass that the session leaves out of the verdicts. */
export interface SetAside {
  readonly game: string;
  readonly config: string;
  /** Null: the pass of this name, in whatever boot. */
  readonly boot: string | null;
  readonly pass: string;
  readonly why: string;
  readonly at: Place;
}

/** How to read some of the logs, where that differs from the others. */
export interface LogException {
  /** "game", "game/config", "game/config/pass" or "game/config/boot/pass". */
  readonly name: string;
  readonly settings: LogSettings;
  readonly at: Place;
}

/**
 * session.yaml with every default filled in. Texts are untrusted; names are in Unicode's composed form (NFC), as
 * read/layout.ts gives them. `null` means that the session does not say.
 */
export interface Session {
  readonly title: string | null;
  readonly baseline: { readonly name: string; readonly at: Place } | null;
  readonly layout: Layout;
  /** Whether the file says so itself; null where it is the default. */
  readonly layoutIs: "said" | null;
  readonly lows: "percentile" | "tail-average" | "time-weighted";
  /** Above 0, below 100. */
  readonly mattersPct: number;
  /** 50 to below 100. */
  readonly confidencePct: number;
  readonly falseAlarmControl: "columns" | "strict";
  /** `keepS` null: to the end of the pass. */
  readonly trim: { readonly skipS: number; readonly keepS: number | null };
  readonly log: LogSettings;
  /** What holds for some logs only; the narrower name wins. */
  readonly logFor: readonly LogException[];
  /** In the file's order, each name once. */
  readonly games: readonly GameNotes[];
  readonly configs: readonly ConfigNotes[];
  readonly setAside: readonly SetAside[];
  /** In the file's order. */
  readonly system: readonly { readonly name: string; readonly value: string }[];
}

/** `session` is null exactly where `problems` holds an error. */
export interface SessionReading {
  readonly session: Session | null;
  readonly problems: readonly Problem[];
}

type Written = z.output<typeof sessionSchema>;

/**
 * Reads session.yaml; an empty text is the session without a file.
 * @param file path as the user would type it, for the places of problems
 * @example readSession("matters: 2%", "session.yaml").session?.mattersPct // 2
 */
export function readSession(text: string, file: string): SessionReading {
  const yaml = readYaml(text, file, sessionSchema);
  if (yaml.value === null) return { session: null, problems: yaml.problems };
  const written = yaml.value;
  const { layout, faults } = parseLayout(written.layout);
  if (layout === null) {
    const problems = faults.map((fault): Problem => {
      const at = yaml.placeInside(["layout"], fault.offset);
      return { severity: "error", at, code: "layout-wrong", pattern: written.layout, fault };
    });
    return { session: null, problems };
  }
  const session: Session = {
    title: written.title ?? null,
    baseline:
      written.baseline === undefined
        ? null
        : { name: written.baseline.normalize("NFC"), at: yaml.placeOf(["baseline"]) },
    layout,
    layoutIs: yaml.isGiven(["layout"]) ? "said" : null,
    lows: written.lows,
    mattersPct: written.matters,
    confidencePct: written.confidence,
    falseAlarmControl: written["false-alarm-control"],
    trim: { skipS: written.trim.skip, keepS: written.trim.keep },
    log: logSettings(written),
    logFor: written.log.for.map(([name, settings]) => ({
      name,
      settings: readingSettings(settings),
      at: yaml.placeOfKey(["log", "for", name]),
    })),
    games: written.games.map(([name, notes]) => ({
      name,
      title: notes.title ?? name,
      tags: notes.tags,
      scene: notes.scene ?? null,
      settings: notes.settings ?? null,
      frameCapFps: notes["frame-cap"] ?? null,
      at: yaml.placeOfKey(["games", name]),
    })),
    configs: written.configs.map(([name, notes]) => ({
      name,
      title: notes.title ?? name,
      threads: notes.threads ?? null,
      changes: notes.changes,
      levels: Object.fromEntries(notes.levels),
      frameCapFps: notes["frame-cap"] ?? null,
      capOf: notes["cap-of"]?.normalize("NFC") ?? null,
      at: yaml.placeOfKey(["configs", name]),
    })),
    setAside: written["set-aside"].map((entry, index) => {
      const path: KeyPath = ["set-aside", index, "pass"];
      return { ...splitPass(entry.pass), why: entry.why, at: yaml.placeOf(path) };
    }),
    system: written.system.map(([name, value]) => ({ name, value })),
  };
  return { session, problems: [] };
}

function splitPass(written: string): Pick<SetAside, "game" | "config" | "boot" | "pass"> {
  const [game = "", config = "", third = "", fourth] = written.normalize("NFC").split("/");
  if (fourth === undefined) return { game, config, boot: null, pass: third };
  return { game, config, boot: third, pass: fourth };
}

/** Only what the session says: an ordinary log needs none of it. */
function logSettings({ log, sensors }: Written): LogSettings {
  const { offset, ...columns } = sensors;
  return {
    ...readingSettings(log),
    ...(Object.keys(columns).length > 0 && { sensors: withoutGaps(columns) }),
    ...(offset !== 0 && { sensorOffsetS: offset }),
  };
}

function readingSettings({
  "frame-time": frameTime,
  clock,
  stream,
  segment,
}: Written["log"]["for"][number][1]): LogSettings {
  return {
    ...(frameTime && { frameTime: withoutGaps(frameTime) }),
    ...(clock && { clock: withoutGaps(clock) }),
    ...(stream && { stream: withoutGaps(stream) }),
    ...(segment !== undefined && { segment }),
  };
}
