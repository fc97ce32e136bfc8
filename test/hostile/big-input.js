// Input without measure, written piece by piece: the test and the full-size script share it.
import { closeSync, openSync, truncateSync, writeSync } from "node:fs";
import { gzipSync } from "node:zlib";

const head = `frame_time_ms\n${"16.7\n".repeat(500)}`;
const MB = 1 << 20;

function writeRepeated(file, first, piece, times) {
  const handle = openSync(file, "w");
  try {
    writeSync(handle, first);
    for (let i = 0; i < times; i++) writeSync(handle, piece);
  } finally {
    closeSync(handle);
  }
}

/** Gzip files may hold several members one after the other: a small file that never seems to end. */
function writeBomb(file, first, unpacked, megabytes) {
  const times = Math.ceil((megabytes * MB) / unpacked.length);
  writeRepeated(file, gzipSync(first), gzipSync(unpacked, { level: 9 }), times);
}

/** Each writes about this many megabytes, unpacked. */
export const bigInputs = {
  "one line": (file, megabytes) => writeRepeated(file, head, Buffer.alloc(MB, "7"), megabytes),
  "one line from the start": (file, megabytes) => writeRepeated(file, "", Buffer.alloc(MB, "7"), megabytes),
  "one quoted cell": (file, megabytes) => writeRepeated(file, `${head}"`, Buffer.alloc(MB, "7\n"), megabytes),
  "one line of commas": (file, megabytes) => writeRepeated(file, "", Buffer.alloc(MB, "1,"), megabytes),
  "a hole in the file": (file, megabytes) => {
    writeRepeated(file, head, "", 0);
    truncateSync(file, megabytes * MB);
  },
  "packed zeros": (file, megabytes) => writeBomb(file, "", Buffer.alloc(16 * MB), megabytes),
  "packed blank lines": (file, megabytes) => writeBomb(file, head, Buffer.alloc(16 * MB, "\n"), megabytes),
  "packed comments": (file, megabytes) => writeBomb(file, head, Buffer.alloc(16 * MB, "#\n"), megabytes),
  "packed rows": (file, megabytes) => writeBomb(file, head, Buffer.from("16.7\n".repeat(3 * MB)), megabytes),
};

/** A header and rows of this many columns, one of which is a frame time. */
export function writeWideLog(file, columns, rows = 20) {
  const names = Array.from({ length: columns - 1 }, (_, i) => `c${i}`);
  const cells = Array.from({ length: columns - 1 }, (_, i) => i % 10);
  const row = (i) => `${16 + (i % 7) / 10},${cells.join(",")}`;
  const lines = [`frame_time_ms,${names.join(",")}`, ...Array.from({ length: rows }, (_, i) => row(i))];
  writeRepeated(file, "", `${lines.join("\n")}\n`, 1);
}
