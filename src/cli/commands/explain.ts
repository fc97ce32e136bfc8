import { type Command, Option } from "commander";
import { RunError } from "../../shared/problem.ts";
import { styleOf, writeResult } from "../output.ts";

const formats = ["text", "markdown", "json"] as const;

interface ExplainOptions {
  readonly format: (typeof formats)[number];
  readonly output?: string;
}

export function addExplainCommand(program: Command): void {
  program
    .command("explain")
    .argument("[code...]", "codes of flags, cautions or problems; or method; none lists them all")
    .description("what a flag, caution or problem means and what to do; `method`: how a judgement is made")
    .addOption(new Option("--format <format>", "form of the page").choices(formats).default(formats[0]))
    .option("-o, --output <file>", "write to this file instead of standard output")
    .action(explain);
}

async function explain(codes: readonly string[], { format, output }: ExplainOptions): Promise<void> {
  const report = await import("../../report/explain/explain-report.ts");
  const { allPages, findPages } = await import("../../report/explain/find-pages.ts");
  const style = output === undefined ? styleOf(process.stdout) : { width: 80, color: false };
  const isMethod = codes.length === 1 && codes[0]?.toLowerCase() === "method";
  if (isMethod && format !== "json") {
    await writeResult(format === "text" ? report.methodText(style) : report.methodMarkdown(), output);
    return;
  }
  if (codes.length === 0 && format !== "json") {
    await writeResult(format === "text" ? report.pageListText(style) : report.pageListMarkdown(), output);
    return;
  }
  const found = codes.map((code) => ({ code, ...findPages(code) }));
  const unknown = found.filter(({ pages }) => pages.length === 0);
  if (unknown.length > 0) {
    throw new RunError(
      unknown.map(({ code, nearest }) => ({
        code: "code-unknown",
        severity: "error",
        at: { file: "" },
        wanted: code,
        nearest,
      })),
    );
  }
  const pages = codes.length === 0 ? allPages : found.flatMap((one) => one.pages);
  const render = {
    text: () => report.pagesText(pages, style),
    markdown: () => report.pagesMarkdown(pages),
    json: () => report.pagesJson(pages),
  };
  await writeResult(render[format](), output);
}
