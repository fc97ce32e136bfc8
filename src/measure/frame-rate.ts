/**
 * Sum of frame times, in the unit given.
 * Compensated (Neumaier 1974), so that ten million frames add up to the last printed digit; what an addition loses is
 * taken without a branch (Knuth, The Art of Computer Programming 2, 4.2.2, theorem B), which is the same number.
 */
export function sumFrameTimes(frameTimes: ArrayLike<number>): number {
  let sum = 0;
  let lost = 0;
  for (let i = 0; i < frameTimes.length; i++) {
    const x = frameTimes[i] as number;
    const next = sum + x;
    const added = next - sum;
    lost += sum - (next - added) + (x - added);
    sum = next;
  }
  return sum + lost;
}

/**
 * Average FPS: frames divided by the seconds they took. This is the harmonic mean of the instantaneous rates;
 * their arithmetic mean is never smaller and answers no question a player has.
 * @param frameTimesMs milliseconds, above 0, in any order, n >= 1
 * @returns frames per second
 * @throws RangeError if there are no frames
 * @example averageFps([10, 10, 20]) // 75
 */
export function averageFps(frameTimesMs: ArrayLike<number>): number {
  if (frameTimesMs.length === 0) throw new RangeError("averageFps needs at least one frame");
  return (1000 * frameTimesMs.length) / sumFrameTimes(frameTimesMs);
}
