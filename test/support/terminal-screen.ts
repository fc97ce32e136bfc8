const escapeCharacter = "\x1b";

/**
 * What a terminal shows of what is written to it, scrolled-off lines included: plain text, line feeds, carriage returns,
 * and of the control sequences of ECMA-48 those that a redrawn block needs (cursor up, erase the line). Colours and the
 * cursor's looks are passed over; any other sequence is refused, so that none goes unnoticed.
 */
export class TerminalScreen {
  readonly #columns: number;
  #lines: string[][] = [[]];
  #row = 0;
  #column = 0;
  #rest = "";
  bells = 0;
  hasCursor = true;
  hasColor = false;

  constructor(columns: number) {
    this.#columns = columns;
  }

  write(text: string): void {
    // A sequence may come in two pieces.
    const pieces = (this.#rest + text).split(escapeCharacter);
    this.#rest = "";
    for (const [i, piece] of pieces.entries()) {
      if (i === 0) {
        this.#putAll(piece);
        continue;
      }
      const sequence = /^\[([?\d;]*)([A-Za-z])/.exec(piece);
      if (sequence !== null) {
        this.#control(sequence[1] ?? "", sequence[2] ?? "");
        this.#putAll(piece.slice(sequence[0].length));
      } else if (i === pieces.length - 1 && /^(?:\[[?\d;]*)?$/.test(piece)) {
        this.#rest = escapeCharacter + piece;
      } else throw new Error(`unexpected control sequence: ${JSON.stringify(piece)}`);
    }
  }

  #putAll(text: string): void {
    for (const character of text) this.#put(character);
  }

  #control(parameters: string, final: string): void {
    if (final === "A") this.#row = Math.max(0, this.#row - Number(parameters || 1));
    else if (final === "K" && parameters === "2") {
      this.#lines[this.#row] = [];
    } else if (final === "m") this.hasColor = true;
    else if (parameters === "?25") this.hasCursor = final === "h";
    else {
      throw new Error(`unexpected control sequence: ${JSON.stringify(parameters + final)}`);
    }
  }

  #put(character: string): void {
    if (character === "\x07") this.bells++;
    else if (character === "\r") this.#column = 0;
    else if (character === "\n") this.#goTo(this.#row + 1);
    else {
      if (this.#column >= this.#columns) {
        this.#column = 0;
        this.#goTo(this.#row + 1);
      }
      const line = this.#lines[this.#row]!;
      while (line.length < this.#column) line.push(" ");
      line[this.#column++] = character;
    }
  }

  #goTo(row: number): void {
    this.#row = row;
    while (this.#lines.length <= row) this.#lines.push([]);
  }

  /** Without the empty ones at the end. */
  get lines(): string[] {
    const lines = this.#lines.map((line) => line.join("").trimEnd());
    return lines.slice(0, lines.findLastIndex((line) => line !== "") + 1);
  }
}
