// The least that must be done to a long log of the shape "wide" on one thread: reading, the look for what is no text, and
// the scanner's inner loop over the seven columns that matter; nothing is made of the numbers.
// node scan-rows.js <log>
import { isUtf8 } from "node:buffer";
import { closeSync, openSync, readSync } from "node:fs";
import { RowKernel } from "../../../dist/read/row-kernel.js";

const blockBytes = 1 << 20;
const rows = 1024;
const plan = {
  delimiter: ",",
  decimalSign: ".",
  width: 20,
  isCounted: false,
  mayEndShort: false,
  needed: [2, 1, 3, 4, 5],
  digits: [0],
  clock: 1,
  encoding: "utf-8",
};
const kernel = RowKernel.take(plan, rows);
const room = Buffer.from(kernel.room(2 * blockBytes).buffer, kernel.room(2 * blockBytes).byteOffset);
const handle = openSync(process.argv[2], "r");
let held = 0;
let isFirst = true;
for (;;) {
  const length = readSync(handle, room, held, blockBytes, null);
  if (length === 0) break;
  const end = room.subarray(0, held + length).lastIndexOf(0x0a) + 1;
  const lines = room.subarray(0, end);
  const isPure = isUtf8(lines) && !lines.includes(0x22) && !lines.includes(0x00);
  let at = isFirst ? lines.indexOf(0x0a) + 1 : 0;
  isFirst = false;
  while (at < end) {
    const read = kernel.scan(at, end, rows, isPure, { base: 0n });
    if (read === 0) throw new Error("a row is not plain");
    at = kernel.startOf(read);
  }
  room.copyWithin(0, end, held + length);
  held += length - end;
}
closeSync(handle);
