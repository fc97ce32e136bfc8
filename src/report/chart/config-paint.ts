import type { Judgement } from "../../judge/judgement.ts";
import { configTitle } from "./names.ts";
import type { Theme } from "./theme.ts";

/** Shapes that stay apart in grey and small; the baseline has a circle of its own. */
const symbols = ["diamond", "square", "triangle", "star", "hexagon", "cross", "wye"] as const;
export type ConfigSymbol = "circle" | (typeof symbols)[number];

/** How a config looks in every picture of a session. */
export interface ConfigPaint {
  readonly config: string;
  readonly title: string;
  readonly color: string;
  readonly symbol: ConfigSymbol;
}

/**
 * One colour and one shape for each config of a session, the same in all of its pictures: by the config's place in the
 * session, whatever a picture shows of it. The baseline is grey and round. Colours repeat after six configs and shapes
 * after seven, so that 42 configs stay apart.
 */
export function paintConfigs(judgement: Judgement, theme: Theme): ReadonlyMap<string, ConfigPaint> {
  const { session } = judgement;
  const others = session.configs.filter((config) => config !== session.baseline);
  return new Map(
    session.configs.map((config) => {
      const place = others.indexOf(config);
      const look =
        place < 0
          ? { color: theme.baseline, symbol: "circle" as const }
          : {
              color: theme.configs[place % theme.configs.length] as string,
              symbol: symbols[place % symbols.length] as ConfigSymbol,
            };
      return [config, { config, title: configTitle(judgement, config), ...look }];
    }),
  );
}
