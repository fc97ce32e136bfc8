import { parser, Table } from "@lezer/markdown";
import { nearestName } from "../shared/nearest.ts";
import type { ReadClaim, ScriptSentence } from "./claim.ts";
import { findPlaces } from "./find-places.ts";
import { brokenClaim, type ClaimReading, readClaim } from "./read-claim.ts";
import { type Stretch, splitSentences } from "./split-sentences.ts";

type SyntaxTree = ReturnType<typeof parser.parse>;

const markdown = parser.configure([Table]);

/** Blocks whose text is read as sentences. */
const textBlocks: ReadonlySet<string> = new Set([
  "Paragraph",
  ...[1, 2, 3, 4, 5, 6].map((level) => `ATXHeading${level}`),
  "SetextHeading1",
  "SetextHeading2",
  "TableHeader",
  "TableRow",
]);
const rows: ReadonlySet<string> = new Set(["TableHeader", "TableRow"]);
const htmlBlocks: ReadonlySet<string> = new Set(["HTMLBlock", "CommentBlock", "ProcessingInstructionBlock"]);

/** Markup that is no text; a link's address is none either. */
const markup: ReadonlySet<string> = new Set([
  "EmphasisMark",
  "HeaderMark",
  "LinkMark",
  "CodeMark",
  "LinkTitle",
  "LinkLabel",
  "HTMLTag",
  "ProcessingInstruction",
  "QuoteMark",
  "HardBreak",
]);

/** The line of times over each cue of a caption track (WebVTT, SubRip): no part of what is said. */
const cueTimes = /^[ \t]*(?:\d+:)?\d\d:\d\d[.,]\d{3} +--> +(?:\d+:)?\d\d:\d\d[.,]\d{3}(?: .*)?$/gm;

const entities: Readonly<Record<string, string>> = {
  "&amp;": "&",
  "&lt;": "<",
  "&gt;": ">",
  "&nbsp;": " ",
  "&minus;": "\u2212",
  "&percnt;": "%",
  "&ndash;": "\u2013",
  "&#47;": "/",
  "&#64;": "@",
};

/**
 * Reads a Markdown script (CommonMark, with the tables of GitHub-flavoured Markdown) into its sentences, each with the
 * claims that stand after it in HTML comments. Comments inside code are text like any other. A comment that can only be
 * meant as a claim and is none (misspelt, or never closed) is a claim with a problem: none is passed over. Captions
 * (WebVTT, SubRip) read as well: their lines of times are passed over.
 * @param text any text at all
 */
export function readScript(text: string, file: string): ScriptSentence[] {
  const source = text
    .replace(/^\uFEFF/, "")
    .replace(/\r\n?/g, "\n")
    .replace(cueTimes, (line) => " ".repeat(line.length));
  const tree = markdown.parse(source);
  const placeAt = findPlaces(source, file);
  const script = new SentenceList(file, placeAt);
  const clean = withoutQuoteMarks(source, tree);
  const seen: { from: number; to: number }[] = [];

  let block: BlockText | null = null;
  let from = 0;
  const take = (to: number): void => {
    if (to > from) block?.add(clean.slice(from, to), from);
    from = Math.max(from, to);
  };
  tree.iterate({
    enter({ name, from: start, to: end, node }) {
      if (block === null) {
        if (textBlocks.has(name)) {
          block = new BlockText(rows.has(name));
          from = start;
          return true;
        }
        if (name === "FencedCode" || name === "CodeBlock") {
          seen.push({ from: start, to: end });
          return false;
        }
        if (!htmlBlocks.has(name)) return true;
        const html = new BlockText(false);
        seen.push(...addHtml(html, clean.slice(start, end), start));
        script.add(html);
        return false;
      }
      if (name === "Comment") {
        take(start);
        block.comments.push({ at: block.text.length, content: clean.slice(start, end), offset: start });
        seen.push({ from: start, to: end });
      } else if (name === "Escape") {
        take(start);
        block.add(source.slice(start + 1, end), start + 1);
        seen.push({ from: start, to: end });
      } else if (name === "Entity") {
        take(start);
        const entity = source.slice(start, end);
        block.add(entities[entity] ?? entity, start);
      } else if (name === "TableDelimiter") {
        take(start);
        block.add(" | ", start);
      } else if (markup.has(name) || (name === "URL" && node.parent?.name !== "Autolink")) {
        take(start);
        if (name === "HardBreak") block.add(" ", start);
      } else {
        if (name === "InlineCode") seen.push({ from: start, to: end });
        return true;
      }
      from = end;
      return false;
    },
    leave({ name, to }) {
      if (block === null || !textBlocks.has(name)) return;
      take(to);
      script.add(block);
      block = null;
    },
  });
  addUnclosed(source, seen, script);
  return script.sentences;
}

interface FoundComment {
  /** Offset in the block's text. */
  readonly at: number;
  readonly content: string;
  /** Offset in the source. */
  readonly offset: number;
}

/** Text of a block without markup, and where in the source its pieces come from. */
class BlockText {
  text = "";
  readonly isRow: boolean;
  readonly comments: FoundComment[] = [];
  private readonly pieces: { at: number; offset: number }[] = [];

  constructor(isRow: boolean) {
    this.isRow = isRow;
  }

  add(text: string, offset: number): void {
    this.pieces.push({ at: this.text.length, offset });
    this.text += text;
  }

  sourceOffset(at: number): number {
    let low = 0;
    let high = this.pieces.length - 1;
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if ((this.pieces[middle]?.at ?? 0) <= at) low = middle;
      else high = middle - 1;
    }
    const piece = this.pieces[low];
    return piece === undefined ? 0 : piece.offset + at - piece.at;
  }
}

/** Comments and text of a piece of HTML; tags are dropped. What begins with a comment that never ends is no text. */
function addHtml(block: BlockText, html: string, start: number): { from: number; to: number }[] {
  const seen: { from: number; to: number }[] = [];
  let from = 0;
  for (;;) {
    const open = html.indexOf("<!--", from);
    const close = open < 0 ? -1 : html.indexOf("-->", open + 4);
    addText(block, html.slice(from, open < 0 ? undefined : open), start + from);
    if (close < 0) return seen;
    const end = close + 3;
    block.comments.push({ at: block.text.length, content: html.slice(open, end), offset: start + open });
    seen.push({ from: start + open, to: start + end });
    from = end;
  }
}

function addText(block: BlockText, html: string, start: number): void {
  let from = 0;
  for (const { 0: tag, index } of html.matchAll(/<\/?[a-z][^<>]*>/gi)) {
    block.add(html.slice(from, index), start + from);
    block.add(" ", start + index);
    from = index + tag.length;
  }
  block.add(html.slice(from), start + from);
}

/** Collects sentences and ties claims to them. */
class SentenceList {
  readonly sentences: (ScriptSentence & { claims: ReadClaim[]; exempt: string | null })[] = [];
  readonly file: string;
  readonly placeAt: (offset: number) => ReadClaim["at"];

  constructor(file: string, placeAt: (offset: number) => ReadClaim["at"]) {
    this.file = file;
    this.placeAt = placeAt;
  }

  add(block: BlockText): void {
    const stretches = block.isRow ? rowOf(block.text) : splitSentences(block.text);
    const first = this.sentences.length;
    for (const { start, end } of stretches) {
      this.sentences.push({
        file: this.file,
        line: this.placeAt(block.sourceOffset(start)).line,
        text: block.text.slice(start, end).replace(/\s+/g, " "),
        claims: [],
        exempt: null,
      });
    }
    let next = 0;
    for (const comment of block.comments) {
      // The last sentence that begins before the comment, else the last one of what came before.
      while (next < stretches.length && (stretches[next] as Stretch).start < comment.at) next++;
      this.tie(comment, first + next - 1);
    }
  }

  private tie({ content, offset }: FoundComment, index: number): void {
    const reading = this.readComment(content, offset);
    if (reading === null) return;
    const sentence = this.sentences[index];
    if (sentence !== undefined) {
      if (reading.exempt === null || reading.problems.length > 0) sentence.claims.push(reading);
      else sentence.exempt = reading.exempt;
      return;
    }
    const orphan = { code: "claim-without-sentence", severity: "error", at: reading.at } as const;
    this.sentences.push({
      file: this.file,
      line: reading.at.line,
      text: "",
      claims: [{ ...reading, claim: null, problems: [...reading.problems, orphan] }],
      exempt: null,
    });
  }

  /** null for a comment that is about something else. */
  private readComment(comment: string, offset: number): ClaimReading | null {
    const inside = comment.slice("<!--".length, comment.endsWith("-->") ? -"-->".length : undefined);
    const [lead = "", word = "", mark = ""] = /^\s*([\p{L}-]{0,20})\s*([:={]?)/u.exec(inside) ?? [];
    if (word.toLowerCase() === "claim" && mark === ":") {
      return readClaim(inside.slice(lead.length), this.placeAt(offset + 4 + lead.length), false);
    }
    const isMeant = word !== "" && mark !== "" && nearestName(word, ["claim"]) !== null;
    const at = this.placeAt(offset + 4 + lead.search(/\S|$/));
    return isMeant ? brokenClaim(comment, at, { code: "claim-misspelt", word }) : null;
  }

  addUnclosed(offset: number): void {
    const at = this.placeAt(offset);
    const broken = brokenClaim("<!-- claim", at, { code: "claim-unclosed" });
    // Markdown takes what was never closed for text; it is no sentence.
    const index = this.sentences.findLastIndex(({ line }) => line <= at.line);
    if (this.sentences[index]?.text.startsWith("<!--")) this.sentences.splice(index, 1);
    const sentence = this.sentences.findLast(({ line }) => line <= at.line);
    if (sentence !== undefined) sentence.claims.push(broken);
    else this.sentences.push({ file: this.file, line: at.line, text: "", claims: [broken], exempt: null });
  }
}

/** A table row is one sentence: its figures and its claim may stand in different cells. */
function rowOf(text: string): Stretch[] {
  const start = text.search(/[^\s|]/);
  return start < 0 ? [] : [{ start, end: text.replace(/[\s|]+$/, "").length }];
}

/** Marks of block quotes as spaces, so that a comment over several lines reads as it is meant. */
function withoutQuoteMarks(source: string, tree: SyntaxTree): string {
  const parts: string[] = [];
  let from = 0;
  tree.iterate({
    enter({ name, from: start, to: end }) {
      if (name !== "QuoteMark") return;
      parts.push(source.slice(from, start), " ".repeat(end - start));
      from = end;
    },
  });
  parts.push(source.slice(from));
  return parts.join("");
}

/** Beginnings of claims that nothing above took for a comment, for code, or for an escaped text. */
function addUnclosed(
  source: string,
  seen: readonly { from: number; to: number }[],
  script: SentenceList,
): void {
  const sorted = [...seen].sort((a, b) => a.from - b.from);
  let next = 0;
  let reach = 0;
  for (const { index } of source.matchAll(/<!--\s*claim\s*[:={]/gi)) {
    while (next < sorted.length && (sorted[next] as { from: number }).from <= index) {
      reach = Math.max(reach, (sorted[next] as { to: number }).to);
      next++;
    }
    if (index >= reach) script.addUnclosed(index);
  }
}
