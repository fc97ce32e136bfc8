import type { Judgement } from "../../judge/judgement.ts";
import { visible } from "../escape.ts";

/** A game's name for readers, safe to show. */
export function gameTitle({ session }: Pick<Judgement, "session">, game: string): string {
  return visible(session.titles?.games.find(({ name }) => name === game)?.title ?? game);
}

/** A config's name for readers, safe to show. */
export function configTitle({ session }: Pick<Judgement, "session">, config: string): string {
  return visible(session.titles?.configs.find(({ name }) => name === config)?.title ?? config);
}
