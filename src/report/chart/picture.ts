import type { Judgement } from "../../judge/judgement.ts";
import type { PictureFrames } from "../../measure/picture-frames.ts";
import type { Metric } from "../../shared/metrics.ts";
import type { ConfigPaint } from "./config-paint.ts";
import type { TextRuler } from "./fit-text.ts";
import type { Theme } from "./theme.ts";

export const pictureKinds = ["verdicts", "passes", "traces", "tails", "power", "tags"] as const;
export type PictureKind = (typeof pictureKinds)[number];

/** What a picture is drawn from. */
export interface PictureSource {
  /** Of the whole session: what is shown never changes figures or colours. */
  readonly judgement: Judgement;
  /** What is left of the judgement after `--only`. */
  readonly shown: Judgement;
  /** By the file of each pass; empty where no picture of frames is asked for. */
  readonly frames: ReadonlyMap<string, PictureFrames>;
}

export interface Look {
  readonly theme: Theme;
  readonly ruler: TextRuler;
}

/** Room for a chart; `textPx` is the size of its ordinary text. */
export interface Space {
  readonly width: number;
  readonly height: number;
  readonly textPx: number;
}

/** A chart with the words around it; whoever shows it decides where they stand. */
export interface Picture {
  readonly title: string;
  readonly subtitle: string;
  /** Configs whose look needs telling; empty where they are named in the chart. */
  readonly legend: readonly ConfigPaint[];
  /** What the picture rests on, one short sentence each. */
  readonly notes: readonly string[];
  /** How many pictures it takes to show everything; 1 where nothing is said. */
  readonly pages?: number;
  /** Lines of text that the chart stacks, about: the fewer, the larger they may be. */
  readonly lines: number;
  /** The figures in words, for those who cannot see the picture. */
  readonly description: readonly string[];
  /** SVG elements for this room, its corner at 0, 0. */
  draw(space: Space): string;
}

export interface PictureRequest {
  readonly metric: Metric | null;
  /** Counted from 1, where there are more rows than fit. */
  readonly page: number;
  /** Most rows that fit. */
  readonly rows: number;
}
