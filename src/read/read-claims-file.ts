import { isSeq, type Node, parseDocument } from "yaml";
import type { Problem } from "../shared/problem.ts";
import type { ScriptSentence } from "./claim.ts";
import { findPlaces } from "./find-places.ts";
import { readClaim } from "./read-claim.ts";

/**
 * Reads claims.yaml: a list of claims, each with its sentence as `say`. Every entry is read by itself, so that one with
 * a mistake hides no other.
 * @param text any text at all
 * @returns `problems` says what keeps the list as a whole from being read
 */
export function readClaimsFile(
  text: string,
  file: string,
): { readonly sentences: readonly ScriptSentence[]; readonly problems: readonly Problem[] } {
  const source = text.replace(/^\uFEFF/, "").replace(/\r\n?/g, "\n");
  const placeAt = findPlaces(source, file);
  const fail = (problem: Problem) => ({ sentences: [], problems: [problem] });
  const deepAt = findTooDeep(source);
  if (deepAt !== null) {
    return fail({ code: "yaml-too-deep", severity: "error", at: placeAt(deepAt), most: deepestBrackets });
  }
  const document = parseDocument(source, { schema: "core", uniqueKeys: false, prettyErrors: false });
  const broken = document.errors[0];
  if (broken !== undefined) {
    const { code: rule, message: why, pos } = broken;
    return fail({ code: "yaml-broken", severity: "error", at: placeAt(pos[0]), rule, why });
  }
  const list = document.contents;
  if (!isSeq(list)) {
    const seen = { kind: list === null ? "nothing" : "mapping" } as const;
    return fail({
      code: "value-wrong",
      severity: "error",
      at: { file, line: 1 },
      path: [],
      seen,
      expected: "list",
    });
  }
  const sentences = list.items.map((item): ScriptSentence => {
    const [start = 0, end = start] = (item as Node | null)?.range ?? [];
    const at = placeAt(start);
    // An entry in block style loses the indentation of its first line with the hyphen: it is put back.
    const indent = " ".repeat(start - (source.lastIndexOf("\n", start - 1) + 1));
    const reading = readClaim(indent + source.slice(start, end), { ...at, column: 1 }, true);
    const isExempt = reading.exempt !== null && reading.problems.length === 0;
    return {
      file,
      line: at.line,
      text: (reading.say ?? "").replace(/\s+/g, " ").trim(),
      claims: isExempt ? [] : [reading],
      exempt: isExempt ? reading.exempt : null,
    };
  });
  return { sentences, problems: [] };
}

const deepestBrackets = 64;

/** Where brackets are nested too deep for the YAML library's stack; in a list of claims they have no business. */
function findTooDeep(source: string): number | null {
  let depth = 0;
  for (const { 0: bracket, index } of source.matchAll(/[[\]{}]|^(?: *-)+ /gm)) {
    if (bracket === "[" || bracket === "{") depth++;
    else if (bracket === "]" || bracket === "}") depth = Math.max(0, depth - 1);
    else if (bracket.length > 2 * deepestBrackets) return index;
    if (depth > deepestBrackets) return index;
  }
  return null;
}
