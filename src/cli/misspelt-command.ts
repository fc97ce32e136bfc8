import { existsSync } from "node:fs";
import { nearestName } from "../shared/nearest.ts";

/**
 * What is wrong with a first word that is neither a command nor a file or folder, but nearly a command: it would be
 * taken for the folder to judge.
 * @returns null where nothing is
 */
export function misspeltCommand(argv: readonly string[], commands: readonly string[]): string | null {
  const [word] = argv;
  if (word === undefined || word.startsWith("-") || commands.includes(word) || existsSync(word)) return null;
  const nearest = nearestName(word, commands);
  return nearest === null
    ? null
    : `${JSON.stringify(word)} is no command and no folder; did you mean "${nearest}"?`;
}
