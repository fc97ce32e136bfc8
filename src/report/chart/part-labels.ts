/** A label that stands beside its dot: where it begins and ends across, and the height of its middle, in pixels. */
export interface LabelPlace {
  readonly left: number;
  readonly right: number;
  readonly middle: number;
}

/**
 * Heights at which labels do not cover each other: from the top down, each moves below those that it would touch; where
 * that leaves the picture, they move up again from its bottom.
 * @param linePx least distance between the middles of two labels that share some width
 * @param bottom the lowest middle that is allowed, in pixels
 * @returns the middles, in the order given
 */
export function partLabels(
  labels: readonly LabelPlace[],
  linePx: number,
  bottom = Number.POSITIVE_INFINITY,
): number[] {
  const moved = pushDown(
    labels,
    labels.map(({ middle }) => middle),
    linePx,
  );
  if (moved.every((middle) => middle <= bottom)) return moved;
  // Upside down, what moves down moves up.
  const turned = moved.map((middle) => -Math.min(middle, bottom));
  return pushDown(labels, turned, linePx).map((middle) => -middle);
}

function pushDown(labels: readonly LabelPlace[], from: readonly number[], linePx: number): number[] {
  const middles = [...from];
  const order = labels.map((_, i) => i).sort((a, b) => (middles[a] as number) - (middles[b] as number));
  const placed: number[] = [];
  for (const i of order) {
    const own = labels[i] as LabelPlace;
    for (const j of placed.sort((a, b) => (middles[a] as number) - (middles[b] as number))) {
      const other = labels[j] as LabelPlace;
      const isBeside = own.right <= other.left || own.left >= other.right;
      const distance = (middles[i] as number) - (middles[j] as number);
      if (!isBeside && Math.abs(distance) < linePx) middles[i] = (middles[j] as number) + linePx;
    }
    placed.push(i);
  }
  return middles;
}
