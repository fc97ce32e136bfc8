import type { JudgedPass, Judgement } from "../../judge/judgement.ts";
import { refusal } from "../../shared/problem.ts";
import { type ConfigPaint, paintConfigs } from "./config-paint.ts";
import type { Look, PictureKind, PictureSource } from "./picture.ts";

/**
 * The game that a picture of one game shows.
 * @throws RunError where several are left
 */
export function oneGame({ shown }: PictureSource, picture: PictureKind): string {
  const { games } = shown.session;
  const [game] = games;
  if (game === undefined || games.length > 1) throw refusal({ code: "picture-one-game", picture, games });
  return game;
}

/** One config of the game with its passes. */
export interface GameCell {
  readonly paint: ConfigPaint;
  readonly passes: readonly JudgedPass[];
  readonly counted: readonly JudgedPass[];
}

/** The game's configs that have passes, the baseline first. */
export function cellsOf({ judgement, shown }: PictureSource, game: string, { theme }: Look): GameCell[] {
  const paints = paintConfigs(judgement, theme);
  return baselineFirst(shown.session).flatMap((config) => {
    const passes = shown.passes.filter((pass) => pass.game === game && pass.config === config);
    const paint = paints.get(config);
    return passes.length === 0 || paint === undefined
      ? []
      : [{ paint, passes, counted: passes.filter(({ counted }) => counted) }];
  });
}

function baselineFirst({ configs, baseline }: Judgement["session"]): string[] {
  return [baseline, ...configs.filter((config) => config !== baseline)];
}

/** The pass whose average FPS is the middle one of those that count; null where none does. */
export function typicalPass({ counted }: GameCell): JudgedPass | null {
  const sorted = counted
    .filter(({ avgFps }) => avgFps !== null)
    .sort((a, b) => (a.avgFps as number) - (b.avgFps as number));
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? null;
}
