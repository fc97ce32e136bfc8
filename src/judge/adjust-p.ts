/**
 * Benjamini-Hochberg adjusted p-values, in the order given; they control the false discovery rate.
 * @see Benjamini & Hochberg 1995, JRSS B 57:289
 */
export function benjaminiHochberg(p: readonly number[]): number[] {
  const m = p.length;
  const falling = p.map((_, i) => i).sort((a, b) => (p[b] as number) - (p[a] as number));
  const adjusted: number[] = [];
  let smallest = 1;
  falling.forEach((index, i) => {
    smallest = Math.min(smallest, (m / (m - i)) * (p[index] as number));
    adjusted[index] = smallest;
  });
  return adjusted;
}

/**
 * Holm adjusted p-values, in the order given; they control the chance of any false alarm at all.
 * @see Holm 1979, Scandinavian Journal of Statistics 6:65
 */
export function holm(p: readonly number[]): number[] {
  const m = p.length;
  const rising = p.map((_, i) => i).sort((a, b) => (p[a] as number) - (p[b] as number));
  const adjusted: number[] = [];
  let largest = 0;
  rising.forEach((index, i) => {
    largest = Math.max(largest, Math.min(1, (m - i) * (p[index] as number)));
    adjusted[index] = largest;
  });
  return adjusted;
}
