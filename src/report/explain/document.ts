import { paintOf, type Style } from "../style.ts";
import { wrapText } from "../wrap-text.ts";

/** A page as parts; the words are our own, and what stands between backticks is code. */
export type Block =
  | { readonly kind: "title" | "heading" | "paragraph"; readonly text: string }
  | { readonly kind: "list"; readonly items: readonly string[] };

/** For a terminal. */
export function documentText(blocks: readonly Block[], style: Style): string {
  const parts = blocks.map((block, i) => {
    const before = blocks[i - 1];
    return `${before === undefined ? "" : gap(before)}${blockText(block, style)}`;
  });
  return `${parts.join("")}\n`;
}

function blockText(block: Block, { width, color }: Style): string {
  switch (block.kind) {
    case "title":
    case "heading":
      return paintOf({ color }).heading(wrapText(block.text, width));
    case "paragraph":
      return wrapText(block.text, width);
    case "list":
      return block.items.map((item) => wrapText(`- ${item}`, width, "  ")).join("\n");
  }
}

/** A heading stands right over what it heads. */
function gap(before: Block): string {
  return before.kind === "heading" || before.kind === "title" ? "\n" : "\n\n";
}

/** As GitHub-flavoured Markdown. */
export function documentMarkdown(blocks: readonly Block[]): string {
  return `${blocks.map(blockMarkdown).join("\n\n")}\n`;
}

function blockMarkdown(block: Block): string {
  switch (block.kind) {
    case "title":
      return `# ${inline(block.text)}`;
    case "heading":
      return `## ${inline(block.text)}`;
    case "paragraph":
      return inline(block.text);
    case "list":
      return block.items.map((item) => `- ${inline(item)}`).join("\n");
  }
}

/** Outside of code, signs that Markdown would take for markup are none of ours. */
function inline(text: string): string {
  return text
    .split("`")
    .map((part, i) =>
      i % 2 === 1 ? `\`${part}\`` : part.replace(/[*_[\]\\|~]/g, "\\$&").replace(/</g, "&lt;"),
    )
    .join("");
}
