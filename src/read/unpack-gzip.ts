import { constants, createGunzip, gunzipSync } from "node:zlib";
import { requireFewBytes } from "./log-limits.ts";

/**
 * Files up to this are unpacked at once: there the turns to another thread cost more than the unpacking. Of larger ones
 * the whole would only fill the memory.
 */
const mostPackedAtOnce = 1 << 20;
const mostUnpackedAtOnce = 1 << 21;

/** Checksum and length at the end of a file (RFC 1952). */
const trailerBytes = 8;
/** Of several files in one only the last tells its length. */
const leastChunk = 1 << 14;

/**
 * Unpacks gzip piece by piece. A file that stops too early or is damaged gives all that came before, the same at every
 * reading however slowly it is taken; the reason is noted in `damage`.
 * @param again the packed bytes once more, from the start
 * @throws LogTooLongError, and what the packed bytes throw
 */
export async function* unpackGzip(
  packed: AsyncIterable<Uint8Array>,
  again: () => AsyncIterable<Uint8Array>,
  damage: { packed: string | null },
): AsyncGenerator<Uint8Array> {
  let trailer = Buffer.alloc(0);
  // An end that comes too early would throw away what is unpacked already; so it is no error here.
  const unpacker = new Unpacker(constants.Z_SYNC_FLUSH);
  let length = 0;
  try {
    for await (const piece of packed) {
      const known = Buffer.concat([trailer, piece]);
      trailer = known.subarray(-trailerBytes);
      if (!unpacker.isOver) await unpacker.push(known.subarray(0, -trailerBytes));
      for (const plain of unpacker.take()) {
        length += plain.length;
        requireFewBytes(length);
        yield plain;
      }
      if (unpacker.error !== null) break;
    }
    // Unpacked before the checksum is looked at: where it is wrong, all that came since the last look would be lost.
    for (const finish of [() => unpacker.push(trailer), () => unpacker.end()]) {
      await finish();
      for (const plain of unpacker.take()) {
        length += plain.length;
        yield plain;
      }
    }
    // The last four bytes of a whole file are its length (RFC 1952, ISIZE); of several files in one, the last one's.
    const isWhole = trailer.length >= 4 && trailer.readUInt32LE(trailer.length - 4) === length % 2 ** 32;
    if (unpacker.error !== null) damage.packed = "it is damaged";
    else if (!isWhole && !(await canUnpack(again()))) damage.packed = "it stops early";
  } finally {
    unpacker.close();
  }
}

/**
 * Unpacks a small file as a whole.
 * @returns null where it is none, or not sound to its end: `unpackGzip` tells what can be had of it
 */
export async function unpackSmall(packed: AsyncIterable<Uint8Array>): Promise<Uint8Array | null> {
  const pieces: Uint8Array[] = [];
  let length = 0;
  for await (const piece of packed) {
    length += piece.length;
    if (length > mostPackedAtOnce) return null;
    pieces.push(piece);
  }
  const file = Buffer.concat(pieces);
  // The last four bytes tell the length, if they are to be believed (RFC 1952, ISIZE).
  const told = length < trailerBytes ? 0 : file.readUInt32LE(length - 4);
  if (told > mostUnpackedAtOnce) return null;
  try {
    // With room for all of it, nothing need be put together from pieces.
    return gunzipSync(file, {
      maxOutputLength: mostUnpackedAtOnce,
      chunkSize: Math.max(leastChunk, told + 1),
    });
  } catch {
    return null;
  }
}

/** Whether packed bytes can be unpacked to their end. */
async function canUnpack(packed: AsyncIterable<Uint8Array>): Promise<boolean> {
  const unpacker = new Unpacker(constants.Z_FINISH);
  try {
    for await (const piece of packed) {
      if (unpacker.error !== null || unpacker.isOver) break;
      await unpacker.push(piece);
      unpacker.take();
    }
    await unpacker.end();
    return unpacker.error === null;
  } finally {
    unpacker.close();
  }
}

/** One step after the other, so that nothing unpacked is lost when a later step fails. */
class Unpacker {
  /** What is wrong with the packed bytes; null so far. */
  error: Error | null = null;
  /** The packed data have ended; what follows them is none. */
  isOver = false;
  readonly #gunzip;
  #plain: Uint8Array[] = [];
  #stepDone: () => void = () => undefined;

  constructor(finishFlush: number) {
    this.#gunzip = createGunzip({ finishFlush });
    this.#gunzip.on("data", (plain: Uint8Array) => this.#plain.push(plain));
    this.#gunzip.on("error", (error) => {
      this.error = error;
      this.#stepDone();
    });
    this.#gunzip.on("end", () => {
      this.isOver = true;
      this.#stepDone();
    });
  }

  push(piece: Uint8Array): Promise<void> {
    return this.#step((done) => this.#gunzip.write(piece, done));
  }

  end(): Promise<void> {
    return this.#step(() => this.#gunzip.end());
  }

  /** What has been unpacked since the last time. */
  take(): Uint8Array[] {
    const plain = this.#plain;
    this.#plain = [];
    return plain;
  }

  close(): void {
    this.#gunzip.destroy();
  }

  #step(start: (done: () => void) => void): Promise<void> {
    if (this.error !== null || this.isOver) return Promise.resolve();
    return new Promise((resolve) => {
      this.#stepDone = resolve;
      start(resolve);
    });
  }
}
