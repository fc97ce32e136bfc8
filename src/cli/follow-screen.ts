import type { FollowUpdate } from "../index.ts";
import { LiveBlock } from "./live-block.ts";
import { styleOf } from "./output.ts";

/** Where updates are shown. */
export interface Screen {
  show(update: FollowUpdate): void;
  /** A line about the program itself. */
  note(text: string): void;
  close(): void;
}

/** How updates become text; loaded when following starts. */
interface Words {
  readonly library: Pick<typeof import("../index.ts"), "followBoard" | "followJsonLines" | "followLines">;
  readonly wrapText: typeof import("../report/wrap-text.ts").wrapText;
}

export async function openScreen(kind: "board" | "lines" | "jsonl"): Promise<Screen> {
  const [library, { wrapText }] = await Promise.all([
    import("../index.ts"),
    import("../report/wrap-text.ts"),
  ]);
  const words = { library, wrapText };
  if (kind === "jsonl") return jsonScreen(words);
  return kind === "lines" ? lineScreen(words) : boardScreen(words);
}

const isEnd = ({ happenings }: FollowUpdate): boolean => happenings.at(-1)?.event === "end";

const noteOnError = (text: string): void => void process.stderr.write(`${text}\n`);

function writeLines(lines: readonly string[]): void {
  process.stdout.write(lines.map((line) => `${line}\n`).join(""));
}

function jsonScreen({ library }: Words): Screen {
  return {
    show: ({ happenings }) => writeLines(library.followJsonLines(happenings, new Date().toISOString())),
    note: noteOnError,
    close: () => undefined,
  };
}

function lineScreen(words: Words): Screen {
  return {
    show: (update) => {
      const lines = words.library.followLines(update.happenings, styleOf(process.stdout));
      writeLines([...lines, ...(isEnd(update) ? wholeBoard(update, words) : [])]);
    },
    note: noteOnError,
    close: () => undefined,
  };
}

/** All of the board, for the end. */
function wholeBoard({ standing, growing }: FollowUpdate, { library }: Words): string[] {
  return ["", ...library.followBoard(standing, growing, { ...styleOf(process.stdout), height: null })];
}

/** The board as it stays below the lines, as high as the terminal allows. */
function liveBoard({ standing, growing }: FollowUpdate, { library }: Words): string[] {
  const style = styleOf(process.stdout);
  // One column stays free: a terminal may move on to the next line once a line is full.
  const width = Math.max(10, style.width - 1);
  const height = Math.max(3, (process.stdout.rows || 24) - 3);
  return ["", ...library.followBoard(standing, growing, { ...style, width, height }), "q ends"];
}

function boardScreen(words: Words): Screen {
  const { stdout } = process;
  const block = new LiveBlock(stdout);
  let last: FollowUpdate | null = null;
  let drawn = "";
  const draw = (lines: readonly string[]): void => {
    if (last === null) return;
    const now = liveBoard(last, words);
    if (lines.length === 0 && now.join("\n") === drawn) return;
    drawn = now.join("\n");
    block.draw(lines, now);
  };
  const redraw = (): void => {
    drawn = "";
    draw([]);
  };
  stdout.on("resize", redraw);
  return {
    show: (update) => {
      // The plan has its place in the board.
      const news = update.happenings.filter(({ event }) => event !== "next" && event !== "enough");
      const style = styleOf(stdout);
      const lines = words.library
        .followLines(news, style)
        .flatMap((line) => words.wrapText(line, style.width - 1, "  ").split("\n"));
      last = isEnd(update) ? null : update;
      if (last === null) block.draw([...lines, ...wholeBoard(update, words)], []);
      else draw(lines);
    },
    note: (text) => draw([text]),
    close: () => {
      stdout.off("resize", redraw);
      block.end();
    },
  };
}
