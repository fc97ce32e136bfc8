import { type ChildProcess, spawn } from "node:child_process";
import path from "node:path";
import { onTestFinished } from "vitest";
import { cacheHome } from "./run-cli.ts";
import { TerminalScreen } from "./terminal-screen.ts";

const columns = 200;

/** The built program following a folder on a terminal of its own (util-linux script). */
export class FollowTerminal {
  readonly screen = new TerminalScreen(columns);
  readonly #process: ChildProcess;
  readonly #exit: Promise<number | null>;
  #onChange: () => void = () => undefined;

  constructor(folder: string, options = "", environment = "NO_COLOR=1") {
    const program = path.resolve("bin/runjury.js");
    const command =
      `stty cols ${columns} rows 60; ${environment} exec "${process.execPath}" "${program}" follow "${folder}" ` +
      `--quiet --settle 0.5 --poll 0.5 ${options}`;
    this.#process = spawn("script", ["-qefc", command, "/dev/null"], {
      env: { PATH: process.env.PATH, TERM: "xterm", XDG_CACHE_HOME: cacheHome },
      stdio: ["pipe", "pipe", "inherit"],
    });
    this.#process.stdout?.setEncoding("utf8").on("data", (text: string) => {
      this.screen.write(text);
      this.#onChange();
    });
    this.#exit = new Promise((resolve) => this.#process.on("close", resolve));
    onTestFinished(() => void this.#process.kill("SIGKILL"));
  }

  /** Waits until a line of the screen holds the text. */
  async shows(text: string): Promise<void> {
    const isThere = (): boolean => this.screen.lines.some((line) => line.includes(text));
    await new Promise<void>((resolve, reject) => {
      const fail = (what: string): void =>
        reject(new Error(`${what} it showed "${text}":\n${this.screen.lines.join("\n")}`));
      const limit = setTimeout(() => fail("60 s went by before"), 60_000);
      const look = (): void => {
        if (!isThere()) return;
        clearTimeout(limit);
        resolve();
      };
      this.#onChange = look;
      void this.#exit.then(() => fail("ended before"));
      look();
    });
  }

  press(keys: string): void {
    this.#process.stdin?.write(keys);
  }

  /** The exit code. */
  async ended(): Promise<number | null> {
    return this.#exit;
  }

  /** Lines that were told, above the board. */
  get told(): string[] {
    const { lines } = this.screen;
    return lines.slice(0, lines.indexOf(""));
  }

  /** The board below them. */
  get board(): string[] {
    const { lines } = this.screen;
    return lines.slice(lines.indexOf("") + 1);
  }
}
