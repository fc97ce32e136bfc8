import { isAlias, isMap, isScalar, isSeq, Lexer, type Node, Parser, parseDocument } from "yaml";
import * as z from "zod";
import { nearestName } from "../shared/nearest.ts";
import type { Finding, KeyPath, Place, Problem, ValueKind, ValueSeen } from "../shared/problem.ts";

/** A YAML file as its schema sees it; `value` is null where `problems` is not empty. */
export interface YamlReading<T> {
  readonly value: T | null;
  readonly problems: readonly Problem[];
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
export const mostAliases = 100;
const mostProblems = 50;

/**
 * Free text. Plain words that YAML would take for numbers or truth values ("driver: 1.20", a config named 35 or
 * true) are taken as they are written.
 */
export function text(kind: ValueKind = "text") {
  const schema = z.union([z.string(), z.number(), z.boolean()], { error: kind });
  textSchemas.add(schema);
  return schema.transform(String);
}

const textSchemas = new WeakSet<z.core.$ZodType>();

/**
 * A mapping whose keys are the user's own names, as a list of [name, value]: an object would lose names such as
 * "__proto__".
 */
export function namedEntries<V extends z.ZodType>(value: V) {
  return z
    .record(z.string(), value, { error: "mapping" satisfies ValueKind })
    .transform((record) =>
      Object.entries(record).map(([key, entry]) => [withoutMark(key), entry as z.output<V>] as const),
    );
}

/**
 * Keys that are not the schema's own carry a mark on their way through it, so that none of them means anything to
 * JavaScript objects or to the schema library.
 */
const mark = "/";

function withoutMark(key: string): string {
  return key.startsWith(mark) ? key.slice(mark.length) : key;
}

/** The schema beneath defaults, optionals and transforms. */
function unwrap(schema: z.core.$ZodType | undefined): z.core.$ZodType | undefined {
  let inner = schema;
  for (;;) {
    if (
      inner instanceof z.ZodOptional ||
      inner instanceof z.ZodNullable ||
      inner instanceof z.ZodDefault ||
      inner instanceof z.ZodPrefault
    ) {
      inner = inner.def.innerType;
    } else if (inner instanceof z.ZodPipe) {
      inner = inner.def.in;
    } else {
      return inner;
    }
  }
}

function keyOf(path: KeyPath): string {
  return JSON.stringify(path);
}

/** Offsets in UTF-16 units to lines and columns; a line ends as YAML says, with LF, CRLF or CR. */
export function findPlaces(source: string, file: string): (offset: number) => Place & { line: number } {
  const starts = [0];
  for (const match of source.matchAll(/\r\n|\n|\r/g)) starts.push(match.index + match[0].length);
  // Where the last question was about the same line, only what lies between is counted: offsets mostly rise.
  let last = { start: 0, offset: 0, column: 1 };
  return (offset) => {
    let low = 0;
    let high = starts.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if ((starts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    const start = starts[low] ?? 0;
    const known = last.start === start && last.offset <= offset ? last : { offset: start, column: 1 };
    const column = known.column + Array.from(source.slice(known.offset, offset)).length;
    last = { start, offset, column };
    return { file, line: low + 1, column };
  };
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
  const report = (at: Place | number, finding: Finding) => {
    if (problems.length >= mostProblems) return;
    problems.push({ severity: "error", at: typeof at === "number" ? placeAt(at) : at, ...finding });
  };
  const values = new Map<string, { readonly start: number; readonly seen: ValueSeen }>();
  const keys = new Map<string, number>();

  const nearestPlace = (path: KeyPath): Place => {
    for (let length = path.length; length >= 0; length--) {
      const known = values.get(keyOf(path.slice(0, length)));
      if (known !== undefined) return placeAt(known.start);
    }
    return { file, line: 1, column: 1 };
  };
  const placeOfKey = (path: KeyPath): Place | null => {
    const start = keys.get(keyOf(path));
    return start === undefined ? null : placeAt(start);
  };
  const reading = (value: z.output<S> | null): YamlReading<z.output<S>> => ({
    value,
    problems,
    isGiven(path) {
      const known = values.get(keyOf(path));
      return known !== undefined && known.seen.kind !== "nothing";
    },
    placeOf: nearestPlace,
    placeOfKey: (path) => placeOfKey(path) ?? nearestPlace(path),
    placeInside(path, offset) {
      const known = values.get(keyOf(path));
      if (known?.seen.kind !== "scalar") return nearestPlace(path);
      const start = known.start + (/["']/.test(body.charAt(known.start)) ? 1 : 0);
      return placeAt(body.startsWith(known.seen.text, start) ? start + offset : known.start);
    },
  });

  if (body.length > longestText) {
    report({ file }, { code: "yaml-too-long", characters: body.length, most: longestText });
    return reading(null);
  }
  const deepAt = findTooDeep(body);
  if (deepAt !== null) {
    report(deepAt, { code: "yaml-too-deep", most: deepestNesting });
    return reading(null);
  }

  const document = parseDocument(body, { schema: "core", uniqueKeys: false, prettyErrors: false });
  // One broken rule brings others in its train: the first is the one to mend. A tag nobody knows is an error too.
  const broken = document.errors[0] ?? document.warnings[0];
  if (broken !== undefined) {
    report(broken.pos[0], { code: "yaml-broken", rule: broken.code, why: broken.message });
    return reading(null);
  }

  let aliases = 0;
  /** Where an alias stands for nothing: that is told once, and not as a missing value as well. */
  const unresolved = new Set<string>();

  /** What the schema is given for a node: null-prototype objects, arrays, text, numbers; undefined for nothing. */
  function toPlain(
    node: Node | null,
    expected: z.core.$ZodType | undefined,
    path: KeyPath,
    start: number,
  ): unknown {
    const shape = unwrap(expected);
    const saw = (seen: ValueSeen) => values.set(keyOf(path), { start, seen });
    if (isAlias(node)) {
      aliases++;
      if (aliases > mostAliases) {
        if (aliases === mostAliases + 1) report(start, { code: "yaml-aliases", most: mostAliases });
        return undefined;
      }
      const target = node.resolve(document);
      if (target === undefined) {
        report(start, { code: "yaml-alias-unknown", alias: node.source });
        unresolved.add(keyOf(path));
        return undefined;
      }
      return toPlain(target, expected, path, start);
    }
    if (isMap(node)) {
      saw({ kind: "mapping" });
      const plain: Record<string, unknown> = Object.create(null);
      const starts = new Map<string, number>();
      for (const pair of node.items) {
        const keyNode = pair.key as Node | null;
        const keyStart = startOf(keyNode) ?? start;
        if (!isScalar(keyNode)) {
          report(keyStart, { code: "key-not-text" });
          continue;
        }
        const name = scalarText(keyNode).normalize("NFC");
        const firstStart = starts.get(name);
        if (firstStart !== undefined) {
          report(keyStart, { code: "key-twice", key: name, firstLine: placeAt(firstStart).line ?? 1 });
          continue;
        }
        starts.set(name, keyStart);
        const own = shape instanceof z.ZodObject && Object.hasOwn(shape.shape, name);
        let inner: z.core.$ZodType | undefined;
        if (own) inner = shape.shape[name];
        else if (shape instanceof z.ZodRecord) inner = shape.valueType as z.core.$ZodType;
        const innerPath = [...path, name];
        keys.set(keyOf(innerPath), keyStart);
        const valueNode = pair.value as Node | null;
        let value = toPlain(valueNode, inner, innerPath, startOf(valueNode) ?? keyStart);
        if (value === undefined) {
          // A name with nothing after it is an entry without notes; a key with nothing after it is not given.
          const isEntry = shape instanceof z.ZodRecord && unwrap(inner) instanceof z.ZodObject;
          if (isEntry) value = Object.create(null);
          else if (own || shape instanceof z.ZodRecord) continue;
        }
        plain[own ? name : mark + name] = value;
      }
      return plain;
    }
    if (isSeq(node)) {
      saw({ kind: "list" });
      const inner = shape instanceof z.ZodArray ? (shape.element as z.core.$ZodType) : undefined;
      return node.items.map((item, index) => {
        const itemNode = item as Node | null;
        return toPlain(itemNode, inner, [...path, index], itemNode?.range?.[0] ?? start);
      });
    }
    if (!isScalar(node) || node.value === null) {
      saw({ kind: "nothing" });
      return undefined;
    }
    const written = scalarText(node);
    saw({ kind: "scalar", text: written });
    return shape !== undefined && textSchemas.has(shape) ? written : node.value;
  }

  const plain = toPlain(document.contents, schema, [], startOf(document.contents) ?? 0);
  if (aliases > mostAliases) return reading(null);
  const parsed = schema.safeParse(plain ?? Object.create(null));
  if (!parsed.success) {
    for (const issue of parsed.error.issues.slice(0, mostProblems)) {
      const path = issue.path.map((step) => (typeof step === "string" ? withoutMark(step) : Number(step)));
      if (unresolved.has(keyOf(path))) continue;
      if (issue.code === "unrecognized_keys") {
        const allowed = keysAt(schema, issue.path);
        for (const marked of issue.keys.slice(0, mostProblems)) {
          const key = withoutMark(marked);
          const at = placeOfKey([...path, key]) ?? nearestPlace(path);
          report(at, {
            code: "key-unknown",
            in: path,
            key,
            nearest: nearestName(key, allowed),
            keys: allowed,
          });
        }
        continue;
      }
      const known = values.get(keyOf(path));
      const last = path.at(-1);
      if ((known === undefined || known.seen.kind === "nothing") && typeof last === "string") {
        const at = placeOfKey(path) ?? nearestPlace(path);
        report(at, { code: "key-missing", in: path.slice(0, -1), key: last });
        continue;
      }
      const seen = known?.seen ?? { kind: "nothing" };
      const at = known?.start ?? nearestPlace(path);
      const expected = expectedBy(issue, seen);
      const readings = percentReadings(expected, seen);
      if (readings === null) report(at, { code: "value-wrong", path, seen, expected });
      else report(at, { code: "percent-unclear", path, readings });
    }
  }
  problems.sort((a, b) => (a.at.line ?? 0) - (b.at.line ?? 0) || (a.at.column ?? 0) - (b.at.column ?? 0));
  return reading(parsed.success && problems.length === 0 ? parsed.data : null);
}

/** Offset of a node's first character; null for an empty value, whose own place would be where the next thing is. */
function startOf(node: Node | null): number | null {
  if (node === null || (isScalar(node) && node.value === null)) return null;
  return node.range?.[0] ?? null;
}

/** As written for plain words, which YAML may have taken for a number; else without quotes and escapes. */
function scalarText(node: { readonly value: unknown; readonly source?: string }): string {
  return node.source ?? String(node.value);
}

/** The keys that a strict object at this path takes. */
function keysAt(schema: z.core.$ZodType, path: readonly PropertyKey[]): readonly string[] {
  let here = unwrap(schema);
  for (const step of path) {
    if (here instanceof z.ZodObject) here = unwrap(here.shape[String(step)]);
    else if (here instanceof z.ZodRecord) here = unwrap(here.valueType as z.core.$ZodType);
    else if (here instanceof z.ZodArray) here = unwrap(here.element as z.core.$ZodType);
  }
  return here instanceof z.ZodObject ? Object.keys(here.shape) : [];
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
