import type { Dialect } from "./dialect.ts";
import type { FrameCollector, Reading } from "./frame-collector.ts";
import type { SensorCollector } from "./join-sensors.ts";
import type { Head } from "./read-head.ts";
import type { ScanTarget } from "./scan-body.ts";
import type { LineBatch } from "./split-lines.ts";
import { type Row, RowSplitter } from "./split-rows.ts";
import type { StreamCounter } from "./stream-counter.ts";
import type { RowGate } from "./take-row.ts";
import type { Stream } from "./tell-streams.ts";

/** Where the rows of a log go, one after the other. */
export interface Body {
  readonly gate: RowGate;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
  readonly streams: StreamCounter;
  readonly stream: Stream | null;
}

/** A file's lines: the head's, and what comes after them. */
interface LinesOfTable {
  readonly batches: AsyncIterator<LineBatch>;
  readonly head: Head;
}

/** Reads every row once, the head's again. */
export async function readBody({ batches, head }: LinesOfTable, dialect: Dialect, body: Body): Promise<void> {
  const splitter = new RowSplitter(dialect.delimiter, dialect.firstLine);
  const take = (rows: readonly Row[], isLastOpen: boolean): void => {
    for (const [i, row] of rows.entries()) takeRow(row, isLastOpen && i === rows.length - 1, body);
  };
  // The very last row may be cut off; it is known only when nothing follows it.
  let pending: LineBatch = { lines: head.lines.slice(dialect.firstLine - 1), open: head.rest.open };
  if (head.rest.lines.length > 0) {
    take(splitter.push(pending.lines), false);
    pending = head.rest;
  }
  while (!head.ended) {
    const next = await batches.next();
    if (next.done) break;
    take(splitter.push(pending.lines), false);
    pending = next.value;
  }
  const last = [...splitter.push(pending.lines), ...splitter.end()];
  take(last, pending.open);
}

/** The same for rows that are read as bytes. */
export function scanTarget(how: Reading, body: Body): ScanTarget {
  return { how, ...body, takeRow: (row, isLastOpen) => takeRow(row, isLastOpen, body) };
}

function takeRow(row: Row, isLastOpen: boolean, { gate, frames, sensors, streams, stream }: Body): void {
  const cells = gate.admit(row, isLastOpen, frames);
  if (cells === null) return;
  if (gate.isReading(cells)) {
    frames.skipRow("readings between frames", row.line);
    sensors.addRow(cells, frames.frameTimesMs.length);
    return;
  }
  if (stream !== null) {
    const name = cells[stream.index] ?? "";
    if (!streams.isOwn(name, cells, row.line)) {
      frames.skipRow("other stream", row.line);
      return;
    }
  }
  const frame = frames.frameTimesMs.length;
  if (frames.addRow(cells, row.line)) sensors.addRow(cells, frame);
}
