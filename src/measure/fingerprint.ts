import { createHash } from "node:crypto";

/**
 * SHA-256 of a series of numbers, as hex: two passes with equal digests are the same capture filed twice.
 */
export function fingerprintSeries(values: Float64Array): string {
  return createHash("sha256")
    .update(new Uint8Array(values.buffer, values.byteOffset, values.byteLength))
    .digest("hex");
}
