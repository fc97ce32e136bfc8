import type { CommandShape, Offer, OptionShape } from "./command-shapes.ts";

/**
 * Completion for zsh, by its own _arguments; the program itself is not started.
 * @param standard the command that is meant where none is named
 */
export function zshScript(program: string, commands: readonly CommandShape[], standard: string): string {
  const specs = ({ options, args, isLastRepeated }: CommandShape): string =>
    [
      ...options.flatMap(optionSpecs),
      ...args.map((offer, i) =>
        isLastRepeated && i === args.length - 1
          ? quote(`*:value:${action(offer)}`)
          : quote(`${i + 1}:value:${action(offer)}`),
      ),
    ].join(" \\\n        ");
  const described = commands.map(({ name, description }) => quote(`${name}:${description}`));
  const cases = commands.map(
    (command) =>
      `    ${command.name}${command.name === standard ? " | *" : ""})\n      _arguments \\\n        ${specs(command)}\n      ;;`,
  );
  // The one for everything else must come last.
  const ordered = [...cases].sort((a, b) => Number(a.includes(" | *)")) - Number(b.includes(" | *)")));
  return `#compdef ${program}
# Completion of ${program} for zsh. In ~/.zshrc, after compinit:
#   source <(${program} completion zsh)

_${program}() {
  local -a commands
  commands=(
    ${described.join("\n    ")}
  )
  if ((CURRENT == 2)) && [[ $words[2] != -* ]]; then
    _describe command commands
    _files
    return
  fi
  local command=$words[2]
  if (($+commands[(r)$command:*])); then
    shift words
    ((CURRENT--))
  fi
  case $command in
${ordered.join("\n")}
  esac
}

if [[ $funcstack[1] == _${program} ]]; then
  _${program} "$@"
else
  compdef _${program} ${program}
fi
`;
}

function optionSpecs({ flags, description, value }: OptionShape): string[] {
  const text = `[${description.replace(/[[\]\\]/g, "\\$&").replaceAll(":", "\\:")}]`;
  return flags.map((flag) => {
    if (value === null) return quote(`${flag}${text}`);
    // A long name takes its value after a space or an equals sign, a short one after a space.
    return quote(`*${flag}${flag.startsWith("--") ? "=" : ""}${text}:value:${action(value)}`);
  });
}

function action(offer: Offer): string {
  switch (offer.kind) {
    case "words":
      return `(${offer.words.map((word) => word.replace(/[^\w.%-]/g, "\\$&")).join(" ")})`;
    case "path":
      return "_files";
    case "none":
      return " ";
  }
}

function quote(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}
