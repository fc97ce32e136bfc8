import type { Argument, Command, Option } from "commander";

/** What may stand in a place: words to choose from, a path, or nothing that could be offered. */
export type Offer =
  | { readonly kind: "words"; readonly words: readonly string[] }
  | { readonly kind: "path" }
  | { readonly kind: "none" };

export interface OptionShape {
  /** Such as "-o" and "--output". */
  readonly flags: readonly string[];
  readonly description: string;
  /** null for an option without a value. */
  readonly value: Offer | null;
}

export interface CommandShape {
  readonly name: string;
  readonly description: string;
  readonly options: readonly OptionShape[];
  /** In their order; the last one repeats where it may. */
  readonly args: readonly Offer[];
  readonly isLastRepeated: boolean;
}

/** Names of values that are paths, as the commands call them. */
const pathNames = new Set(["file", "folder", "path", "log", "script", "source", "program"]);

/**
 * What there is to complete, from the commands themselves.
 * @param wordsOf words for arguments whose values are no fixed choices, by the argument's name
 */
export function commandShapes(
  program: Command,
  wordsOf: Readonly<Record<string, readonly string[]>>,
): CommandShape[] {
  const help = program.createHelp();
  return help
    .visibleCommands(program)
    .filter((command) => command.name() !== "help")
    .map((command) => ({
      name: command.name(),
      description: command.description(),
      options: help.visibleOptions(command).map((option) => ({
        flags: [option.short, option.long].filter((flag) => flag != null),
        description: option.description,
        value: optionOffer(option),
      })),
      args: command.registeredArguments.map((argument) => argumentOffer(argument, wordsOf)),
      isLastRepeated: command.registeredArguments.at(-1)?.variadic === true,
    }));
}

function optionOffer(option: Option): Offer | null {
  if (!option.required && !option.optional) return null;
  if (option.argChoices !== undefined) return { kind: "words", words: option.argChoices };
  const [, name = ""] = /[<[]([a-z]+)/.exec(option.flags) ?? [];
  return { kind: pathNames.has(name) ? "path" : "none" };
}

function argumentOffer(argument: Argument, wordsOf: Readonly<Record<string, readonly string[]>>): Offer {
  const words = argument.argChoices ?? wordsOf[argument.name()];
  if (words !== undefined) return { kind: "words", words };
  return { kind: pathNames.has(argument.name()) ? "path" : "none" };
}
