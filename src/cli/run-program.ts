import { spawn } from "node:child_process";
import { errorCode } from "../shared/error-code.ts";

/**
 * Starts a program and does not wait for it. No shell sees anything of it: the facts go into its environment, so that
 * no name of a file can become a command.
 * @param facts by name; a text with a NUL is cut there, as the system would
 */
export function runProgram(
  program: string,
  facts: Readonly<Record<string, string>>,
  onFail: (why: string) => void,
): void {
  const cut = Object.entries(facts).map(([name, text]) => [name, text.split("\0")[0] ?? ""]);
  try {
    const child = spawn(program, [], {
      shell: false,
      stdio: "ignore",
      env: { ...process.env, ...Object.fromEntries(cut) },
    });
    child.on("error", (error) => onFail(errorCode(error)));
    child.unref();
  } catch (error) {
    onFail(errorCode(error));
  }
}
