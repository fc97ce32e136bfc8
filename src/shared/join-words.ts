/** "a, b and c", "a or b": what is listed in a sentence. */
export function joinWords(words: readonly string[], last: "and" | "or"): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${last} ${words.at(-1)}`;
}
