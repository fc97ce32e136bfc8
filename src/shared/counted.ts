import { formatCount } from "./format-number.ts";

/** "1 game", "1,200 games": a number with its noun. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${formatCount(count)} ${count === 1 ? one : many}`;
}
