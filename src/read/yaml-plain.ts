import {
  type Alias,
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Scalar,
  type YAMLMap,
} from "yaml";
import * as z from "zod";
import type { Finding, KeyPath, Place, ValueSeen } from "../shared/problem.ts";
import { isOwnKey, isRecord, isText, schemaInside, unwrap, withMark } from "./yaml-schema.ts";

export const mostAliases = 100;

/** What stands where in a YAML file, by path. */
export interface YamlIndex {
  readonly values: Map<string, { readonly start: number; readonly seen: ValueSeen }>;
  /** Where the keys of values begin. */
  readonly keys: Map<string, number>;
  /** Where an alias stands for nothing: that is told once, and not as a missing value as well. */
  readonly unresolved: Set<string>;
}

/** A path as one text, to be looked up by. */
export function keyOf(path: KeyPath): string {
  return JSON.stringify(path);
}

type Schema = z.core.$ZodType | undefined;

/** Makes of a document what its schema is given, and notes what stands where. */
export class YamlPlain {
  readonly index: YamlIndex = { values: new Map(), keys: new Map(), unresolved: new Set() };
  readonly #document: Document.Parsed;
  readonly #placeAt: (offset: number) => Place;
  readonly #report: (start: number, finding: Finding) => void;
  #aliases = 0;

  constructor(
    document: Document.Parsed,
    placeAt: (offset: number) => Place,
    report: (start: number, finding: Finding) => void,
  ) {
    this.#document = document;
    this.#placeAt = placeAt;
    this.#report = report;
  }

  /** They could stand for more than fits into memory, and what has so many was not written by hand. */
  get hasTooManyAliases(): boolean {
    return this.#aliases > mostAliases;
  }

  /**
   * Null-prototype objects, arrays, text, numbers; undefined for nothing.
   * @param start offset of the node, or of what it belongs to where it has none
   */
  read(node: Node | null, expected: Schema, path: KeyPath, start: number): unknown {
    if (isAlias(node)) {
      const target = this.#resolve(node, path, start);
      return target === null ? undefined : this.read(target, expected, path, start);
    }
    const shape = unwrap(expected);
    const saw = (seen: ValueSeen) => this.index.values.set(keyOf(path), { start, seen });
    if (isMap(node)) {
      saw({ kind: "mapping" });
      return this.#readMap(node, shape, path, start);
    }
    if (isSeq(node)) {
      saw({ kind: "list" });
      const inner = schemaInside(shape, null);
      return node.items.map((item, index) => {
        const itemNode = item as Node | null;
        return this.read(itemNode, inner, [...path, index], itemNode?.range?.[0] ?? start);
      });
    }
    if (!isScalar(node) || node.value === null) {
      saw({ kind: "nothing" });
      return undefined;
    }
    const written = scalarText(node);
    saw({ kind: "scalar", text: written });
    return isText(shape) ? written : node.value;
  }

  /** What an alias stands for; null where that is nothing, or there are too many. */
  #resolve(alias: Alias, path: KeyPath, start: number): Node | null {
    this.#aliases++;
    if (this.hasTooManyAliases) {
      if (this.#aliases === mostAliases + 1) this.#report(start, { code: "yaml-aliases", most: mostAliases });
      return null;
    }
    const target = alias.resolve(this.#document);
    if (target !== undefined) return target;
    this.#report(start, { code: "yaml-alias-unknown", alias: alias.source });
    this.index.unresolved.add(keyOf(path));
    return null;
  }

  #readMap(node: YAMLMap, shape: Schema, path: KeyPath, start: number): Record<string, unknown> {
    const plain: Record<string, unknown> = Object.create(null);
    const starts = new Map<string, number>();
    for (const pair of node.items) {
      const keyNode = pair.key as Node | null;
      const keyStart = startOf(keyNode) ?? start;
      const name = this.#readKey(keyNode, keyStart, starts);
      if (name === null) continue;
      const innerPath = [...path, name];
      this.index.keys.set(keyOf(innerPath), keyStart);
      const inner = schemaInside(shape, name);
      const valueNode = pair.value as Node | null;
      let value = this.read(valueNode, inner, innerPath, startOf(valueNode) ?? keyStart);
      const isOwn = isOwnKey(shape, name);
      if (value === undefined) {
        // A name with nothing after it is an entry without notes; a key with nothing after it is not given.
        if (isRecord(shape) && unwrap(inner) instanceof z.ZodObject) value = Object.create(null);
        else if (isOwn || isRecord(shape)) continue;
      }
      plain[isOwn ? name : withMark(name)] = value;
    }
    return plain;
  }

  /**
   * The name of a key; null where it is none, or stood there before.
   * @param starts where the mapping's keys so far begin
   */
  #readKey(node: Node | null, start: number, starts: Map<string, number>): string | null {
    if (!isScalar(node)) {
      this.#report(start, { code: "key-not-text" });
      return null;
    }
    const name = scalarText(node).normalize("NFC");
    const firstStart = starts.get(name);
    if (firstStart !== undefined) {
      this.#report(start, { code: "key-twice", key: name, firstLine: this.#placeAt(firstStart).line ?? 1 });
      return null;
    }
    starts.set(name, start);
    return name;
  }
}

/** Offset of a node's first character; null for an empty value, whose own place would be where the next thing is. */
export function startOf(node: Node | null): number | null {
  if (node === null || (isScalar(node) && node.value === null)) return null;
  return node.range?.[0] ?? null;
}

/** As written for plain words, which YAML may have taken for a number; else without quotes and escapes. */
function scalarText(node: Scalar): string {
  return node.source ?? String(node.value);
}
