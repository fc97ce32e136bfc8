import { expect } from "vitest";
import type { ByteSource, LogReading, LogSettings } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";

/** A file that holds this, given in pieces as files are. */
export function fileOf(file: string, content: string | Uint8Array): ByteSource {
  const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
  return {
    file,
    async *open() {
      for (let from = 0; from < bytes.length; from += 4096) yield bytes.subarray(from, from + 4096);
    },
  };
}

/** A log as it is read, by the quick way as by the careful one. @param sensors what the sensor log beside it holds */
export async function readText(
  log: string | Uint8Array,
  settings: LogSettings = {},
  sensors: string | Uint8Array | null = null,
): Promise<LogReading> {
  const source = fileOf("pass-1.csv", log);
  const beside = sensors === null ? null : fileOf("pass-1.sensors.csv", sensors);
  const quick = await readLog(source, settings, beside, { headLines: 30 });
  const careful = await readLog(source, settings, beside, { headLines: 30, isCareful: true });
  expect(quick).toEqual(careful);
  return careful;
}

/** Rows of a table, each with its line end. */
export function rowsOf(count: number, row: (i: number) => string): string {
  return Array.from({ length: count }, (_, i) => `${row(i)}\n`).join("");
}
