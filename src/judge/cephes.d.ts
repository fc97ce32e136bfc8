// The package ships types, but its exports map hides them from strict resolution; these are the functions used.
declare module "cephes" {
  export const compiled: Promise<void>;
  /** Regularised incomplete beta function I_x(a, b). */
  export function incbet(a: number, b: number, x: number): number;
  /** The x with I_x(a, b) = y. */
  export function incbi(a: number, b: number, y: number): number;
  /** Upper regularised incomplete gamma function Q(a, x). */
  export function igamc(a: number, x: number): number;
  /** ln |Gamma(x)|. */
  export function lgam(x: number): number;
  export function ndtr(x: number): number;
  export function ndtri(p: number): number;
}
