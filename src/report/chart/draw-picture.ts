import { passesPicture } from "./passes-picture.ts";
import type { Look, Picture, PictureKind, PictureRequest, PictureSource } from "./picture.ts";
import { powerPicture } from "./power-picture.ts";
import { tagsPicture } from "./tags-picture.ts";
import { tailsPicture } from "./tails-picture.ts";
import { tracesPicture } from "./traces-picture.ts";
import { verdictsPicture } from "./verdicts-picture.ts";

/**
 * A picture of a session.
 * @throws RunError that says what is missing where the session lacks what the picture shows
 */
export function makePicture(
  kind: PictureKind,
  source: PictureSource,
  request: PictureRequest,
  look: Look,
): Picture {
  switch (kind) {
    case "verdicts":
      return verdictsPicture(source, request, look);
    case "passes":
      return passesPicture(source, request, look);
    case "traces":
      return tracesPicture(source, look);
    case "tails":
      return tailsPicture(source, look);
    case "power":
      return powerPicture(source, look);
    case "tags":
      return tagsPicture(source, request, look);
  }
}
