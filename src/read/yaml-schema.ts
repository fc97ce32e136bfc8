import * as z from "zod";
import type { ValueKind } from "../shared/problem.ts";

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

/** Whether this is what lies beneath `text`. */
export function isText(schema: z.core.$ZodType | undefined): boolean {
  return schema !== undefined && textSchemas.has(schema);
}

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

export function withMark(key: string): string {
  return mark + key;
}

export function withoutMark(key: string): string {
  return key.startsWith(mark) ? key.slice(mark.length) : key;
}

/** The schema beneath defaults, optionals and transforms. */
export function unwrap(schema: z.core.$ZodType | undefined): z.core.$ZodType | undefined {
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

/** Whether a key is one that the schema names itself. */
export function isOwnKey(shape: z.core.$ZodType | undefined, key: string): shape is z.ZodObject {
  return shape instanceof z.ZodObject && Object.hasOwn(shape.shape, key);
}

/** The schema of what a mapping, by its key, or a list holds. */
export function schemaInside(
  shape: z.core.$ZodType | undefined,
  key: string | null,
): z.core.$ZodType | undefined {
  if (key === null) return shape instanceof z.ZodArray ? (shape.element as z.core.$ZodType) : undefined;
  if (isOwnKey(shape, key)) return shape.shape[key];
  return isRecord(shape) ? (shape.valueType as z.core.$ZodType) : undefined;
}

/** Whether this is what lies beneath `namedEntries`. */
export function isRecord(shape: z.core.$ZodType | undefined): shape is z.ZodRecord {
  return shape instanceof z.ZodRecord;
}

/** Whether two keys are the same but for capitals and what stands between their words. */
export function areSpeltAlike(a: string, b: string): boolean {
  const plain = (key: string): string => key.toLowerCase().replace(/[^a-z0-9]/g, "");
  return plain(a) === plain(b);
}

/** Stands for every name of an entry that the user may choose. */
const anyName = "<name>";
/** A key that so many places take is not known by its place. */
const mostPlaces = 3;

/** Where, from the top, the schema takes this very key: the places least deep; none where these are many. */
export function placesOfKey(schema: z.core.$ZodType, key: string): readonly (readonly string[])[] {
  const found: string[][] = [];
  const visit = (node: z.core.$ZodType | undefined, path: readonly string[]): void => {
    const here = unwrap(node);
    if (here instanceof z.ZodObject) {
      for (const [own, inner] of Object.entries(here.shape)) {
        if (own === key) found.push([...path, own]);
        visit(inner as z.core.$ZodType, [...path, own]);
      }
    } else if (here instanceof z.ZodRecord) visit(here.valueType as z.core.$ZodType, [...path, anyName]);
    else if (here instanceof z.ZodArray) visit(here.element as z.core.$ZodType, path);
  };
  visit(schema, []);
  const least = Math.min(...found.map(({ length }) => length));
  const nearest = found.filter(({ length }) => length === least);
  return nearest.length > mostPlaces ? [] : nearest;
}

/** The keys that a strict object at this path takes. */
export function keysAt(schema: z.core.$ZodType, path: readonly PropertyKey[]): readonly string[] {
  let here = unwrap(schema);
  for (const step of path)
    here = unwrap(schemaInside(here, here instanceof z.ZodArray ? null : String(step)));
  return here instanceof z.ZodObject ? Object.keys(here.shape) : [];
}
