import type { CommandShape, Offer } from "./command-shapes.ts";

/**
 * Completion for bash from 3.2 on: plain data and a function that looks it up. Nothing that was typed is ever
 * evaluated, and the program itself is not started.
 * @param standard the command that is meant where none is named
 */
export function bashScript(program: string, commands: readonly CommandShape[], standard: string): string {
  const offer = (words: readonly string[]): string => `_${program}_offer ${words.map(quote).join(" ")}`;
  const act = (value: Offer): string => {
    if (value.kind === "words") return offer(value.words);
    return value.kind === "path" ? ":" : "compopt +o default 2>/dev/null";
  };
  // What is done alike stands in one line.
  const places = new Map<string, string[]>();
  for (const { name, options } of commands) {
    for (const { flags, value } of options) {
      if (value === null) continue;
      const own = flags.map((flag) => `"${name} ${flag}"`);
      places.set(act(value), [...(places.get(act(value)) ?? []), ...own]);
    }
  }
  const values = [...places].map(([action, own]) => `    ${own.join(" | ")}) ${action}; return ;;`);
  const flags = commands.map(
    ({ name, options }) => `      ${name}) ${offer(options.flatMap((option) => option.flags))} ;;`,
  );
  const words = commands.flatMap(({ name, args }) =>
    args[0]?.kind === "words" ? [`    ${name}) ${offer(args[0].words)} ;;`] : [],
  );
  const names = commands.map(({ name }) => name);
  return `# Completion of ${program} for bash. In ~/.bashrc:
#   eval "$(${program} completion bash)"

_${program}_offer() {
  local word
  for word in "$@"; do
    if [[ $word == "$current"* ]]; then COMPREPLY+=("$(printf %q "$word")"); fi
  done
}

_${program}() {
  local current=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD - 1]} command= i
  COMPREPLY=()
  # bash takes the parts of --name=value for three words.
  if [[ $current == "=" ]]; then current=
  elif [[ $before == "=" ]]; then before=\${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = 1; i < COMP_CWORD; i++)); do
    case \${COMP_WORDS[i]} in
      ${names.join(" | ")}) command=\${COMP_WORDS[i]}; break ;;
      -*) ;;
      *) command=${standard}; break ;;
    esac
  done
  if [[ -z $command && $current != -* ]]; then
    ${offer(names)}
    return
  fi
  case "\${command:-${standard}} $before" in
${values.join("\n")}
  esac
  if [[ $current == -* ]]; then
    case \${command:-${standard}} in
${flags.join("\n")}
    esac
    return
  fi
  case $command in
${words.join("\n")}
  esac
}

complete -o default -F _${program} ${program}
`;
}

function quote(word: string): string {
  return /^[\w.-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
}
