import type { Style } from "../style.ts";
import { toJson } from "../to-json.ts";
import { type Block, documentMarkdown, documentText } from "./document.ts";
import { allPages, type CodePage, type PageKind } from "./find-pages.ts";
import { methodPage } from "./method-page.ts";

const kindWords: Readonly<Record<PageKind, string>> = {
  flag: "flag of a pass",
  caution: "caution of a judgement",
  problem: "problem with the input or with what was asked",
};
const kindHeadings: Readonly<Record<PageKind, string>> = {
  flag: "Flags of a pass",
  caution: "Cautions of a judgement",
  problem: "Problems with the input or with what was asked",
};

/** Pages as text, Markdown and data. */
export function pagesText(pages: readonly CodePage[], style: Style): string {
  return documentText(pages.flatMap(blocksOf), style);
}
export function pagesMarkdown(pages: readonly CodePage[]): string {
  return documentMarkdown(pages.flatMap(blocksOf));
}
export function pagesJson(pages: readonly CodePage[]): string {
  return toJson({ format: "runjury.pages/1", pages });
}

function blocksOf({ code, kind, means, found, todo, source }: CodePage): Block[] {
  return [
    { kind: "heading", text: `\`${code}\`: ${kindWords[kind]}` },
    { kind: "paragraph", text: means },
    { kind: "list", items: [`How it is found: ${found}`, `What to do: ${todo}`, `Source: ${source}`] },
  ];
}

/** All codes, a line each. */
export function pageListText(style: Style): string {
  return documentText(listBlocks(), style);
}
export function pageListMarkdown(): string {
  return documentMarkdown(listBlocks());
}

function listBlocks(): Block[] {
  const kinds = Object.keys(kindHeadings) as PageKind[];
  return [
    ...kinds.flatMap((kind): Block[] => [
      { kind: "heading", text: kindHeadings[kind] },
      {
        kind: "list",
        items: allPages
          .filter((page) => page.kind === kind)
          .map(({ code, means }) => `\`${code}\`: ${means}`),
      },
    ]),
    {
      kind: "paragraph",
      text: "`runjury explain <code>` says how each is found, what to do, and where the rule comes from; `runjury explain method` says how a judgement is made.",
    },
  ];
}

/** The method page. */
export function methodText(style: Style): string {
  return documentText(methodPage(), style);
}
export function methodMarkdown(): string {
  return documentMarkdown(methodPage());
}
