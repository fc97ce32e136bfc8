import { closeSync, mkdirSync, openSync, writeSync } from "node:fs";
import path from "node:path";
import { createRandom } from "../demo/random-source.js";

const configs = ["stock", "parked", "no-threads"];

/** A log of one shape: its header, and a row from what all shapes share. */
export const shapes = {
  narrow: {
    header: "frame,elapsed_s,frame_time_ms",
    row: (frame, elapsedMs, ms) => `${frame},${(elapsedMs / 1000).toFixed(6)},${ms.toFixed(5)}`,
  },
  /** Twenty columns, of which seven matter. */
  wide: {
    header:
      "frame,elapsed_s,frame_time_ms,cpu load [%],gpu load [%],cpu power [W],state,a,b,c,d,e,f,g,h,i,j,k,l,m",
    row: (frame, elapsedMs, ms) => {
      const slow = frame >> 8;
      return (
        `${frame},${(elapsedMs / 1000).toFixed(7)},${ms.toFixed(6)},${40 + (slow % 9)}.5,${85 + (slow % 7)}.1,` +
        `${(54 + (slow % 5) / 3).toFixed(2)},flyover,0,1,2,3.512345,65.234567,44.123456,33.000000,8.123456,9.123456,1234.5678,1500.000,22.500000,7.000000`
      );
    },
  },
  /** Ten columns, seven of them sensors that move in every row. */
  sensors: {
    header:
      "frame,elapsed_s,frame_time_ms,cpu load [%],gpu load [%],cpu power [W],gpu power [W],cpu clock [MHz],cpu temperature [C],gpu temperature [C]",
    row: (frame, elapsedMs, ms) => {
      const moved = (usual, step) => (usual * (0.9 + (0.2 * ((frame * step) % 997)) / 997)).toFixed(2);
      return (
        `${frame},${(elapsedMs / 1000).toFixed(6)},${ms.toFixed(5)},${moved(40, 31)},${moved(85, 37)},${moved(54, 41)},` +
        `${moved(150, 43)},${moved(4200, 47)},${moved(65, 53)},${moved(70, 59)}`
      );
    },
  },
  /** As wide, with the program's name before all else, so that every row must be counted through. */
  named: {
    header:
      "program,frame,elapsed_s,frame_time_ms,cpu load [%],gpu load [%],cpu power [W],a,b,c,d,e,f,g,h,i,j,k,l,m",
    row: (frame, elapsedMs, ms) =>
      `tide-runner,${shapes.wide.row(frame, elapsedMs, ms).replace("flyover,", "")}`,
  },
};

/** Writes games x 3 configs x passes of one shape. @returns the number of logs */
export function writeSession(folder, shape, { games = 16, passes = 5, frames = 20_000 } = {}) {
  for (let game = 0; game < games; game++) {
    for (const config of configs) {
      for (let pass = 1; pass <= passes; pass++) {
        writePass(path.join(folder, `game-${game + 1}`, config, `pass-${pass}.csv`), shape, frames, 4 + game);
      }
    }
  }
  return games * configs.length * passes;
}

/** Writes one log; the same file name gives the same log. */
export function writePass(file, shape, frames, meanMs) {
  mkdirSync(path.dirname(file), { recursive: true });
  const { header, row } = shapes[shape];
  const random = createRandom(1, file.split(path.sep).slice(-3).join("/"));
  const handle = openSync(file, "w");
  let rows = [header];
  let elapsedMs = 0;
  let drift = 0;
  for (let frame = 1; frame <= frames; frame++) {
    drift = 0.95 * drift + 0.02 * random.normal();
    const stutter = random.uniform() < 0.004 ? meanMs * random.uniform() * 3 : 0;
    const ms = meanMs * (1 + drift + 0.05 * Math.abs(random.normal())) + stutter;
    elapsedMs += ms;
    rows.push(row(frame, elapsedMs, ms));
    if (rows.length === 20_000 || frame === frames) {
      writeSync(handle, `${rows.join("\n")}\n`);
      rows = [];
    }
  }
  closeSync(handle);
}

/** Writes about so many bytes of one shape: one long log, its rows cheap to make. */
export function writeLongLog(file, shape, bytes) {
  const random = createRandom(1, shape);
  const { header, row } = shapes[shape];
  const handle = openSync(file, "w");
  let size = writeSync(handle, `${header}\n`);
  let elapsedMs = 0;
  for (let frame = 1; size < bytes; ) {
    const rows = [];
    for (let i = 0; i < 20_000; i++, frame++) {
      const ms = 5 + 2 * random.uniform();
      elapsedMs += ms;
      rows.push(row(frame, elapsedMs, ms));
    }
    size += writeSync(handle, `${rows.join("\n")}\n`);
  }
  closeSync(handle);
}
