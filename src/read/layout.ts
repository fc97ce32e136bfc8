import { nearestName } from "../shared/nearest.ts";
import type { Finding, LayoutFault } from "../shared/problem.ts";

const placeholders = ["game", "config", "pass", "boot", "cap"] as const;
type Placeholder = (typeof placeholders)[number];

type Token =
  | { readonly kind: "text"; readonly text: string }
  | { readonly kind: "placeholder"; readonly name: Placeholder };

/** How the path of a log tells where its pass belongs. */
export interface Layout {
  /** As written, e.g. "{game}/{config}/{pass}". */
  readonly pattern: string;
  /** Parts of a path that the pattern covers, counted from the log backwards. */
  readonly depth: number;
  readonly tokens: readonly Token[];
}

export interface LayoutReading {
  readonly layout: Layout | null;
  /** Empty exactly when there is a layout; in the order of the pattern. */
  readonly faults: readonly LayoutFault[];
}

/** Where a pass belongs, by its path. Untrusted text in Unicode's composed form (NFC). */
export interface PassPlace {
  readonly game: string;
  readonly config: string;
  readonly pass: string;
  readonly boot: string | null;
  /** The frame cap that the path tells; the config's name then holds it too, as passes under a cap are a config of their own. */
  readonly cap?: PathCap;
}

/** A frame cap by {cap} in the layout. */
export interface PathCap {
  readonly fps: number;
  /** The config that the cap was put on. */
  readonly of: string;
}

/** Names that the session describes; they decide where a path could be split in several ways. */
export interface KnownNames {
  readonly games: readonly string[];
  readonly configs: readonly string[];
}

type PlacementFinding = Extract<
  Finding,
  { readonly code: "layout-too-shallow" | "layout-no-match" | "layout-unclear" }
>;

export type Placement =
  | { readonly place: PassPlace; readonly finding: null }
  | { readonly place: null; readonly finding: PlacementFinding };

const logExtension = /\.(?:csv|tsv|txt|log)(?:\.gz)?$/i;

/** Readings named in a message; with more, the message says so. */
const readingsNamed = 4;

/** Whether a file's name has the extension of a log: .csv, .tsv, .txt or .log, each also with .gz. */
export function isLogName(fileName: string): boolean {
  return logExtension.test(fileName);
}

/** A log's name without its extension; a name that is nothing but an extension stays as it is. */
export function withoutLogExtension(fileName: string): string {
  const stem = fileName.replace(logExtension, "");
  return stem === "" ? fileName : stem;
}

function tokenise(pattern: string, faults: LayoutFault[]): Token[] {
  const tokens: Token[] = [];
  const seen = new Set<Placeholder>();
  let before = "";
  let beforeEnd = -1;
  for (const match of pattern.matchAll(/\{([^{}/]*)\}|[{}]|[^{}]+/g)) {
    const [written, name] = match;
    const offset = match.index;
    if (name === undefined) {
      if (written === "{" || written === "}") faults.push({ reason: "brace-alone", brace: written, offset });
      else tokens.push({ kind: "text", text: written.normalize("NFC") });
      continue;
    }
    if (beforeEnd === offset) faults.push({ reason: "placeholders-touch", names: [before, name], offset });
    before = name;
    beforeEnd = offset + written.length;
    const known = placeholders.find((placeholder) => placeholder === name);
    if (known === undefined) {
      const nearest = nearestName(name, placeholders);
      faults.push({ reason: "unknown-placeholder", name, nearest, offset });
    } else if (seen.has(known)) {
      faults.push({ reason: "placeholder-twice", name, offset });
    } else {
      seen.add(known);
      tokens.push({ kind: "placeholder", name: known });
    }
  }
  // A misspelt placeholder is one mistake, not two.
  if (faults.length === 0) {
    const missing = (["game", "config", "pass"] as const).filter((name) => !seen.has(name));
    if (missing.length > 0) faults.push({ reason: "placeholder-missing", names: missing, offset: 0 });
  }
  return tokens;
}

function checkParts(pattern: string, faults: LayoutFault[]): number {
  const backslash = pattern.indexOf("\\");
  if (backslash >= 0) faults.push({ reason: "backslash", offset: backslash });
  const extension = logExtension.exec(pattern);
  if (extension !== null) {
    faults.push({ reason: "extension", extension: extension[0], offset: extension.index });
  }
  const parts = pattern.split("/");
  let offset = 0;
  for (const part of parts) {
    if (part === "") faults.push({ reason: "part-empty", offset });
    if (part === "." || part === "..") faults.push({ reason: "part-dots", part, offset });
    offset += part.length + 1;
  }
  return parts.length;
}

/**
 * Reads a layout pattern: parts of a path divided by "/", each of plain text and the placeholders {game}, {config},
 * {pass} and, if wanted, {boot} and {cap}. A placeholder stands for at least one character and never for a "/"; the log's
 * extension is no part of the pattern. Two placeholders in one part need text between them.
 * @example parseLayout("{config}/{game}_{pass}").layout?.depth // 2
 */
export function parseLayout(pattern: string): LayoutReading {
  const faults: LayoutFault[] = [];
  const depth = checkParts(pattern, faults);
  const tokens = tokenise(pattern, faults);
  if (faults.length > 0) return { layout: null, faults: faults.sort((a, b) => a.offset - b.offset) };
  return { layout: { pattern, depth, tokens }, faults };
}

/** Without a pattern the last three parts of a log's path are game, config and pass. */
export const defaultLayout: Layout = {
  pattern: "{game}/{config}/{pass}",
  depth: 3,
  tokens: [
    { kind: "placeholder", name: "game" },
    { kind: "text", text: "/" },
    { kind: "placeholder", name: "config" },
    { kind: "text", text: "/" },
    { kind: "placeholder", name: "pass" },
  ],
};

type AllowedNames = { readonly [name in Placeholder]?: ReadonlySet<string> };

/** What stands for {cap} where there is none. */
const uncapped = /^(?:uncapped|no-?cap|none|off|0)$/i;

/** Frames per second of "120", "120fps" and the like; 0 of "uncapped" and the like; null where the text is no cap. */
function readCap(text: string): number | null {
  if (uncapped.test(text)) return 0;
  const digits = /^(\d{1,4}(?:\.\d{1,3})?)\s?-?(?:fps)?$/i.exec(text)?.[1];
  return digits !== undefined && Number(digits) > 0 ? Number(digits) : null;
}

function placeUnderCap(place: PassPlace, cap: string | undefined): PassPlace {
  const fps = cap === undefined ? null : readCap(cap);
  if (fps === null || fps === 0) return place;
  const { config } = place;
  return { ...place, config: `${config}-cap-${fps}`, cap: { fps, of: config } };
}

/**
 * Every way to lay the tokens over the text, shortest names first, until there are `most`. Places from which no
 * reading follows are remembered, so that a hostile name costs tokens x length squared at most.
 */
function findReadings(
  tokens: readonly Token[],
  text: string,
  allowed: AllowedNames,
  most: number,
): readonly PassPlace[] {
  const found: PassPlace[] = [];
  const names: { [name in Placeholder]?: string } = {};
  const deadEnds = new Set<number>();

  function leadsOn(index: number, start: number): boolean {
    const token = tokens[index];
    if (token === undefined) {
      if (start !== text.length) return false;
      const { game = "", config = "", pass = "", boot = null, cap } = names;
      found.push(placeUnderCap({ game, config, pass, boot }, cap));
      return true;
    }
    if (token.kind === "text") {
      return text.startsWith(token.text, start) && leadsOn(index + 1, start + token.text.length);
    }
    const state = index * (text.length + 1) + start;
    if (deadEnds.has(state)) return false;
    let any = false;
    // No name takes in a "/": the text has no more of them than the tokens.
    for (let end = start + 1; end <= text.length && found.length < most; end++) {
      const name = text.slice(start, end);
      if (allowed[token.name]?.has(name) === false) continue;
      // Looked at here, so that whether a place is a dead end never hangs on the names before it.
      if (token.name === "cap" && readCap(name) === null) continue;
      names[token.name] = name;
      if (leadsOn(index + 1, end)) any = true;
    }
    if (!any) deadEnds.add(state);
    return any;
  }

  leadsOn(0, 0);
  return found;
}

/**
 * Where a pass belongs by its log's path.
 *
 * The pattern is laid over the last parts of the path, without the log's extension. Where it can be laid in more
 * than one way ("a_b_c_d" under "{game}_{config}_{pass}"), nothing is guessed: readings in which both game and
 * config are known names come first, then those in which one of them is; if exactly one reading is left, it is
 * taken, else the finding lists the readings.
 * @param path parts of the log's absolute path, the log's name last
 * @param known names under `games` and `configs` of the session
 * @example placeLog(["captures", "tide-runner", "quiet-35w", "pass-1.csv"]).place?.config // "quiet-35w"
 */
export function placeLog(
  path: readonly string[],
  layout: Layout = defaultLayout,
  known: KnownNames = { games: [], configs: [] },
): Placement {
  const covered = path.slice(-layout.depth);
  const { pattern, tokens } = layout;
  if (covered.length < layout.depth && pattern === defaultLayout.pattern) {
    return { place: null, finding: { code: "layout-too-shallow" } };
  }
  const last = covered.pop() ?? "";
  const text = [...covered, withoutLogExtension(last)].join("/").normalize("NFC");

  const game = new Set(known.games);
  const config = new Set(known.configs);
  const most = readingsNamed + 1;
  const preferences: readonly (readonly AllowedNames[])[] = [
    [{ game, config }],
    [{ game }, { config }],
    [{}],
  ];
  for (const preference of preferences) {
    const readings = preference.flatMap((allowed) => findReadings(tokens, text, allowed, most));
    const [only] = readings;
    if (only === undefined) continue;
    if (readings.length === 1) return { place: only, finding: null };
    return {
      place: null,
      finding: {
        code: "layout-unclear",
        pattern,
        path: text,
        readings: readings.slice(0, readingsNamed),
        more: readings.length > readingsNamed,
      },
    };
  }
  return { place: null, finding: { code: "layout-no-match", pattern, path: text } };
}
