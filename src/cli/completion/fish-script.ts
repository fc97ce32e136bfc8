import type { CommandShape, Offer } from "./command-shapes.ts";

/**
 * Completion for fish, by its own complete; the program itself is not started.
 * @param standard the command that is meant where none is named
 */
export function fishScript(program: string, commands: readonly CommandShape[], standard: string): string {
  const others = commands.filter(({ name }) => name !== standard).map(({ name }) => name);
  const condition = (name: string): string =>
    name === standard
      ? `not __fish_seen_subcommand_from ${others.join(" ")}`
      : `__fish_seen_subcommand_from ${name}`;
  const add = (name: string, rest: string): string =>
    `complete -c ${program} -n ${quote(condition(name))} ${rest}`;
  const lines = commands.flatMap(({ name, options, args }) => [
    ...options.map(({ flags, description, value }) => {
      const names = flags.map((flag) =>
        flag.startsWith("--") ? `-l ${flag.slice(2)}` : `-s ${flag.slice(1)}`,
      );
      return add(name, [...names, "-d", quote(description), ...valueParts(value)].join(" "));
    }),
    ...argumentParts(args[0]).map((part) => add(name, part)),
  ]);
  const named = commands.map(
    ({ name, description }) =>
      `complete -c ${program} -n __fish_use_subcommand -a ${name} -d ${quote(description)}`,
  );
  return `# Completion of ${program} for fish. Once:
#   ${program} completion fish > ~/.config/fish/completions/${program}.fish
complete -c ${program} -f
${named.join("\n")}
${lines.join("\n")}
`;
}

function valueParts(value: Offer | null): string[] {
  if (value === null) return [];
  if (value.kind === "words") return ["-x", "-a", wordList(value.words)];
  return value.kind === "path" ? ["-r", "-F"] : ["-x"];
}

function argumentParts(first: Offer | undefined): string[] {
  if (first === undefined || first.kind === "none") return [];
  return first.kind === "words" ? [`-a ${wordList(first.words)}`] : ["-F"];
}

/** One text that fish parts at spaces. */
function wordList(words: readonly string[]): string {
  return quote(words.map((word) => word.replace(/[^\w.%-]/g, "\\$&")).join(" "));
}

function quote(text: string): string {
  return `'${text.replace(/['\\]/g, "\\$&")}'`;
}
