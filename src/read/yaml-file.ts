import { Lexer, Parser, parseDocument } from "yaml";
import type * as z from "zod";
import { nearestName } from "../shared/nearest.ts";
import type { Finding, KeyPath, Place, Problem, ValueKind, ValueSeen } from "../shared/problem.ts";
import { findPlaces } from "./find-places.ts";
import { keyOf, startOf, type YamlIndex, YamlPlain } from "./yaml-plain.ts";
import { areSpeltAlike, keysAt, placesOfKey, withoutMark } from "./yaml-schema.ts";

/** A YAML file as its schema sees it; `value` is null where `problems` is not empty. */
export interface YamlReading<T> extends YamlPlaces {
  readonly value: T | null;
  readonly problems: readonly Problem[];
}

/** Where things stand in a YAML file. */
interface YamlPlaces {
  /** Whether something stands there. */
  isGiven(path: KeyPath): boolean;
  /** Where a value stands, or its nearest parent that does. */
  placeOf(path: KeyPath): Place;
  /** Where the key of a value stands. */
  placeOfKey(path: KeyPath): Place;
  /** Where a character of a scalar stands, or the scalar itself where escapes hide it; `offset` counts from 0. */
  placeInside(path: KeyPath, offset: number): Place;
}

/** Far above any file written by hand; they bound time and memory on others. */
export const longestText = 200_000;
export const deepestNesting = 64;
const mostProblems = 50;

/**
 * Reads a YAML 1.2 file (core schema) against a zod schema built of strict objects, `text` and `namedEntries`.
 *
 * The schema's error messages are ids of `ValueKind`. An empty value (`games:` with nothing after it) counts as not
 * given, so that commenting out the last entry of a mapping does no harm. Every problem names its place.
 * @param source the file's text; a byte order mark is skipped
 */
export function readYaml<S extends z.ZodType>(
  source: string,
  file: string,
  schema: S,
): YamlReading<z.output<S>> {
  const body = source.startsWith("\uFEFF") ? source.slice(1) : source;
  const problems: Problem[] = [];
  const placeAt = findPlaces(body, file);
  const report = (at: Place | number, finding: Finding): void => {
    if (problems.length >= mostProblems) return;
    problems.push({ severity: "error", at: typeof at === "number" ? placeAt(at) : at, ...finding });
  };
  const unread = (): YamlReading<z.output<S>> => ({
    value: null,
    problems,
    ...placesIn(null, body, file, placeAt),
  });

  if (body.length > longestText) {
    report({ file }, { code: "yaml-too-long", characters: body.length, most: longestText });
    return unread();
  }
  const deepAt = findTooDeep(body);
  if (deepAt !== null) {
    report(deepAt, { code: "yaml-too-deep", most: deepestNesting });
    return unread();
  }
  const document = parseDocument(body, { schema: "core", uniqueKeys: false, prettyErrors: false });
  // One broken rule brings others in its train: the first is the one to mend. A tag nobody knows is an error too.
  const broken = document.errors[0] ?? document.warnings[0];
  if (broken !== undefined) {
    report(broken.pos[0], { code: "yaml-broken", rule: broken.code, why: broken.message });
    return unread();
  }

  const plain = new YamlPlain(document, placeAt, report);
  const given = plain.read(document.contents, schema, [], startOf(document.contents) ?? 0);
  const places = placesIn(plain.index, body, file, placeAt);
  if (plain.hasTooManyAliases) return { value: null, problems, ...places };
  const parsed = schema.safeParse(given ?? Object.create(null));
  for (const issue of (parsed.error?.issues ?? []).slice(0, mostProblems)) {
    for (const { at, finding } of findingsOf(issue, schema, plain.index, places)) report(at, finding);
  }
  problems.sort((a, b) => (a.at.line ?? 0) - (b.at.line ?? 0) || (a.at.column ?? 0) - (b.at.column ?? 0));
  return { value: parsed.success && problems.length === 0 ? parsed.data : null, problems, ...places };
}

/** Offset at which the nesting grows too deep, else null. The YAML library itself would run out of stack. */
function findTooDeep(source: string): number | null {
  const parser = new Parser();
  for (const lexeme of new Lexer().lex(source)) {
    // The parser works while its generator is drawn from; the finished pieces are of no use here.
    for (const _ of parser.next(lexeme));
    if (parser.stack.length > deepestNesting) return parser.offset;
  }
  return null;
}

/** @param index null where the file could not be read so far */
function placesIn(
  index: YamlIndex | null,
  body: string,
  file: string,
  placeAt: (offset: number) => Place,
): YamlPlaces {
  const valueAt = (path: KeyPath) => index?.values.get(keyOf(path));
  const placeOf = (path: KeyPath): Place => {
    for (let length = path.length; length >= 0; length--) {
      const known = valueAt(path.slice(0, length));
      if (known !== undefined) return placeAt(known.start);
    }
    return { file, line: 1, column: 1 };
  };
  return {
    isGiven: (path) => (valueAt(path)?.seen.kind ?? "nothing") !== "nothing",
    placeOf,
    placeOfKey: (path) => {
      const start = index?.keys.get(keyOf(path));
      return start === undefined ? placeOf(path) : placeAt(start);
    },
    placeInside: (path, offset) => {
      const known = valueAt(path);
      if (known?.seen.kind !== "scalar") return placeOf(path);
      const start = known.start + (/["']/.test(body.charAt(known.start)) ? 1 : 0);
      return placeAt(body.startsWith(known.seen.text, start) ? start + offset : known.start);
    },
  };
}

interface PlacedFinding {
  readonly at: Place;
  readonly finding: Finding;
}

/** What the schema has against a file, as findings with their places. */
function findingsOf(
  issue: z.core.$ZodIssue,
  schema: z.core.$ZodType,
  index: YamlIndex,
  places: YamlPlaces,
): PlacedFinding[] {
  const path = issue.path.map((step) => (typeof step === "string" ? withoutMark(step) : Number(step)));
  if (index.unresolved.has(keyOf(path))) return [];
  if (issue.code === "unrecognized_keys") {
    const keys = keysAt(schema, issue.path);
    return issue.keys.slice(0, mostProblems).map((marked): PlacedFinding => {
      const key = withoutMark(marked);
      // A key that stands in the wrong place is no misspelt one.
      const elsewhere = keys.some((other) => areSpeltAlike(other, key)) ? [] : placesOfKey(schema, key);
      const nearest = nearestName(key, keys);
      const finding = { code: "key-unknown", in: path, key, nearest, keys, elsewhere } as const;
      return { at: places.placeOfKey([...path, key]), finding };
    });
  }
  const last = path.at(-1);
  const seen: ValueSeen = index.values.get(keyOf(path))?.seen ?? { kind: "nothing" };
  if (seen.kind === "nothing" && typeof last === "string") {
    return [
      { at: places.placeOfKey(path), finding: { code: "key-missing", in: path.slice(0, -1), key: last } },
    ];
  }
  const expected = expectedBy(issue, seen);
  const readings = percentReadings(expected, seen);
  const finding: Finding =
    readings === null
      ? { code: "value-wrong", path, seen, expected }
      : { code: "percent-unclear", path, readings };
  return [{ at: places.placeOf(path), finding }];
}

type Expected = Extract<Finding, { code: "value-wrong" }>["expected"];

function expectedBy(issue: z.core.$ZodIssue, seen: ValueSeen): Expected {
  if (issue.code !== "invalid_value") return issue.message as ValueKind;
  const oneOf = issue.values.map(String);
  return { oneOf, nearest: seen.kind === "scalar" ? nearestName(seen.text, oneOf) : null };
}

/** A bare number below 1 where a percent belongs may be a fraction (0.03 for 3%) or a small percent. */
function percentReadings(expected: Expected, seen: ValueSeen): readonly [string, string] | null {
  const isPercent = expected === "percent" || expected === "confidence" || expected === "change";
  if (!isPercent || seen.kind !== "scalar") return null;
  const number = Number(seen.text);
  if (!(number > 0 && number < 1)) return null;
  const asPercent = (fraction: number) => `${Number((fraction * 100).toPrecision(12))}%`;
  return [asPercent(number), `${number}%`];
}
