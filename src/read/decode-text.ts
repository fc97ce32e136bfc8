import { decodeLatin1 } from "./decode-latin-1.ts";
import type { ByteSource, TextReading } from "./log.ts";
import { unpackGzip, unpackSmall } from "./unpack-gzip.ts";

type Encoding = TextReading["encoding"];

/** How the bytes of a file become text. */
export interface DecodedText {
  readonly encoding: Encoding;
  readonly byteOrderMark: boolean;
  readonly gzip: boolean;
  /** All bytes of a small packed file, unpacked; null of any other. */
  readonly unpacked: Uint8Array | null;
  /** The file's first bytes, unpacked, hold none at all. */
  readonly empty: boolean;
  readonly chunks: AsyncIterable<string>;
  /** The commonest line end of what `chunks` gave first; LF before. */
  readonly lineEnd: () => TextReading["lineEnd"];
  /** Set once `chunks` has ended early, because the compressed data stop or do not make sense. */
  readonly damage: { packed: string | null };
}

/** Thrown by `chunks` when a byte is not UTF-8 after all; decode again as Latin-1. */
export class NotUtf8Error extends Error {}

/** The bytes could not be had: a folder, no permission, a vanished file. */
export class SourceError extends Error {
  readonly why: string;
  constructor(cause: unknown) {
    const code = (cause as { code?: unknown } | null)?.code;
    const why = typeof code === "string" ? code : cause instanceof Error ? cause.message : String(cause);
    super(why);
    this.why = why;
  }
}

/** Bytes looked at to tell the encoding. */
const sniffBytes = 4096;
/** Of unpacked bytes: the head of a log is in the first or second piece, so that the rest need not become text. */
const pieceBytes = 1 << 15;
/** Small enough to stay in a processor's cache. */
const blockBytes = 1 << 20;

/**
 * Opens a file as text: unpacks gzip by its magic bytes, then UTF-8 or UTF-16 by byte order mark, UTF-16 without
 * one by the zero bytes that Latin letters leave, and UTF-8 otherwise.
 *
 * @param force decode as this whatever the bytes say; for the second attempt after NotUtf8Error
 * @throws SourceError when the bytes cannot be had
 */
export async function decodeText(source: ByteSource, force?: Encoding): Promise<DecodedText> {
  const packed = await peek(bytesOf(source), 2);
  const gzip = packed.head[0] === 0x1f && packed.head[1] === 0x8b;
  const damage: { packed: string | null } = { packed: null };
  const unpacked = gzip ? await unpackSmall(packed.bytes) : null;
  const unpack = (): AsyncGenerator<Uint8Array> => {
    if (unpacked !== null) return inPieces(unpacked, pieceBytes);
    return unpackGzip(bytesOf(source), () => bytesOf(source), damage);
  };
  const plain = await peek(gzip ? unpack() : packed.bytes, sniffBytes);
  const { encoding, markLength } = sniffEncoding(plain.head);
  let found: TextReading["lineEnd"] | null = null;
  async function* watched(): AsyncGenerator<string> {
    for await (const text of toText(plain.bytes, force ?? encoding, markLength)) {
      found ??= lineEndOf(text);
      yield text;
    }
  }
  return {
    encoding: force ?? encoding,
    byteOrderMark: markLength > 0,
    gzip,
    unpacked,
    empty: plain.head.length === 0,
    chunks: watched(),
    lineEnd: () => found ?? "LF",
    damage,
  };
}

/** The bytes of a file, unpacked. */
export interface PlainBytes {
  /** Each piece is good until the next one. */
  readonly bytes: AsyncIterable<Uint8Array>;
  /** As in DecodedText. */
  readonly damage: { packed: string | null };
}

/**
 * Opens a file as bytes, gzip unpacked.
 * @param unpacked as in DecodedText
 * @throws SourceError when the bytes cannot be had
 */
export async function plainBytes(source: ByteSource, unpacked: Uint8Array | null): Promise<PlainBytes> {
  const damage: { packed: string | null } = { packed: null };
  if (unpacked !== null) return { bytes: inPieces(unpacked, blockBytes), damage };
  const packed = await peek(blocksOf(source), 2);
  if (packed.head[0] === 0x1f && packed.head[1] === 0x8b) {
    await packed.bytes.return(undefined);
    return { bytes: unpackGzip(bytesOf(source), () => bytesOf(source), damage), damage };
  }
  return { bytes: packed.bytes, damage };
}

async function* inPieces(bytes: Uint8Array, length: number): AsyncGenerator<Uint8Array> {
  for (let from = 0; from < bytes.length; from += length) yield bytes.subarray(from, from + length);
}

async function* blocksOf(source: ByteSource): AsyncGenerator<Uint8Array> {
  try {
    yield* source.blocks?.() ?? source.open();
  } catch (cause) {
    throw cause instanceof SourceError ? cause : new SourceError(cause);
  }
}

async function* bytesOf(source: ByteSource): AsyncGenerator<Uint8Array> {
  try {
    yield* source.open();
  } catch (cause) {
    throw cause instanceof SourceError ? cause : new SourceError(cause);
  }
}

/** Reads until `length` bytes are there (or the end) and gives the whole stream back. */
async function peek(
  bytes: AsyncGenerator<Uint8Array>,
  length: number,
): Promise<{ head: Uint8Array; bytes: AsyncGenerator<Uint8Array> }> {
  const first: Uint8Array[] = [];
  let seen = 0;
  while (seen < length) {
    const next = await bytes.next();
    if (next.done) break;
    seen += next.value.length;
    // A block is good until the next one only.
    first.push(seen < length ? next.value.slice() : next.value);
  }
  const head = first.length === 1 ? (first[0] as Uint8Array) : Buffer.concat(first);
  async function* again(): AsyncGenerator<Uint8Array> {
    try {
      yield head;
      yield* bytes;
    } finally {
      await bytes.return(undefined);
    }
  }
  return { head, bytes: again() };
}

function sniffEncoding(head: Uint8Array): { encoding: Encoding; markLength: number } {
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) return { encoding: "utf-8", markLength: 3 };
  if (head[0] === 0xff && head[1] === 0xfe) return { encoding: "utf-16le", markLength: 2 };
  if (head[0] === 0xfe && head[1] === 0xff) return { encoding: "utf-16be", markLength: 2 };
  let evenZeros = 0;
  let oddZeros = 0;
  const pairs = Math.min(head.length, sniffBytes) >> 1;
  for (let i = 0; i < pairs; i++) {
    if (head[2 * i] === 0) evenZeros++;
    if (head[2 * i + 1] === 0) oddZeros++;
  }
  // Digits, commas and line ends are all below U+0100, so nearly every second byte is zero, the other ones never.
  if (pairs >= 4 && oddZeros > 0.9 * pairs && evenZeros === 0) return { encoding: "utf-16le", markLength: 0 };
  if (pairs >= 4 && evenZeros > 0.9 * pairs && oddZeros === 0) return { encoding: "utf-16be", markLength: 0 };
  return { encoding: "utf-8", markLength: 0 };
}

async function* toText(
  bytes: AsyncGenerator<Uint8Array>,
  encoding: Encoding,
  markLength: number,
): AsyncGenerator<string> {
  const decode = encoding === "latin-1" ? decodeLatin1 : decoderOf(encoding);
  let skip = markLength;
  for await (const chunk of bytes) {
    const part = chunk.subarray(skip);
    skip = 0;
    const text = decode(part, true);
    if (text !== "") yield text;
  }
  const rest = decode(new Uint8Array(0), false);
  if (rest !== "") yield rest;
}

/** null where the text has no line end yet. */
function lineEndOf(text: string): TextReading["lineEnd"] | null {
  const count = (pattern: RegExp): number => text.match(pattern)?.length ?? 0;
  const pairs = count(/\r\n/g);
  const feeds = count(/\n/g) - pairs;
  const returns = count(/\r/g) - pairs;
  if (pairs + feeds + returns === 0) return null;
  if (pairs >= feeds && pairs >= returns) return "CRLF";
  return feeds >= returns ? "LF" : "CR";
}

function decoderOf(encoding: Exclude<Encoding, "latin-1">): (bytes: Uint8Array, stream: boolean) => string {
  const decoder = new TextDecoder(encoding, { fatal: encoding === "utf-8", ignoreBOM: true });
  return (bytes, stream) => {
    try {
      return decoder.decode(bytes, { stream });
    } catch {
      throw new NotUtf8Error();
    }
  };
}
