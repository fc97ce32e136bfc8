import { stripVTControlCharacters } from "node:util";

const hideCursor = "\x1b[?25l";
const showCursor = "\x1b[?25h";
const eraseLine = "\x1b[2K";
const lineUp = "\x1b[1A";

/**
 * Lines that scroll away as usual with a block below them that is drawn anew each time. No other screen is used, so what
 * was told stays in the terminal. Where the terminal was made narrower it has broken the block's lines: they are counted
 * as they stand now.
 */
export class LiveBlock {
  readonly #stream: NodeJS.WriteStream;
  #block: readonly string[] = [];

  constructor(stream: NodeJS.WriteStream) {
    this.#stream = stream;
    stream.write(hideCursor);
  }

  /** @param block lines no wider than the terminal */
  draw(lines: readonly string[], block: readonly string[]): void {
    const text = lines.map((line) => `${line}\n`).join("");
    this.#stream.write(`${this.#erase()}${text}${block.join("\n")}`);
    this.#block = block;
  }

  /** Leaves the terminal as it was, below what was drawn. */
  end(): void {
    this.#stream.write(`${this.#block.length > 0 ? "\n" : ""}${showCursor}`);
    this.#block = [];
  }

  #erase(): string {
    if (this.#block.length === 0) return "";
    const columns = this.#stream.columns || 80;
    const rows = this.#block.reduce(
      (sum, line) =>
        sum + Math.max(1, Math.ceil(Array.from(stripVTControlCharacters(line)).length / columns)),
      0,
    );
    // Line by line: some terminals keep for scrolling back what is erased from the top of the screen on.
    return `${Array.from({ length: rows }, () => eraseLine).join(lineUp)}\r`;
  }
}
