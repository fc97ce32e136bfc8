// Mutations of bytes and of JSON values, from a seeded source.

const pieces = [
  '"',
  ",",
  ";",
  "\t",
  "|",
  "\n",
  "\r",
  "\r\n",
  "NaN",
  "-",
  "1e9",
  "1e400",
  "-0",
  "0",
  "#",
  "\0",
  "\u001b[31m",
  "\u202e",
  "frame,elapsed_s,frame_time_ms\n",
  ",,,",
  "x",
  " ",
  "16.7",
  "2026-03-14T20:15:00Z",
  "1.234,56",
  "\ufeff",
  "ms",
  "fps",
  "__proto__",
  "constructor",
  "toString",
  ": ",
  "- ",
  "{",
  "}",
  "[",
  "]",
  "&a ",
  "*a",
  "!!js/function ",
  "? ",
  "|\n",
  ">-\n",
  "<!-- claim: { game: saltworks, is: lower } -->",
  "<!--",
  "-->",
  "`",
  "```\n",
  "# ",
  "<b>",
  "5%",
  "12 FPS",
  "---\n",
  "\u00e9",
  "\ud83d\ude00",
  "9007199254740993",
  "null",
  "true",
  "~",
  "\\",
].map((text) => new TextEncoder().encode(text));

/** Whole numbers below n from unsigned 32-bit ones. */
const below = (random, n) => (n <= 0 ? 0 : random() % n);

function splice(bytes, at, removed, added) {
  const result = new Uint8Array(bytes.length - Math.min(removed, bytes.length - at) + added.length);
  result.set(bytes.subarray(0, at));
  result.set(added, at);
  result.set(bytes.subarray(at + removed), at + added.length);
  return result;
}

/** One mutation: bytes changed, cut, doubled, moved, or taken from another input. */
function mutateOnce(bytes, random, other) {
  const at = below(random, bytes.length + 1);
  const length = below(random, 4) === 0 ? below(random, bytes.length - at + 1) : below(random, 40);
  switch (below(random, 9)) {
    case 0:
      return splice(bytes, at, 1, Uint8Array.of(random() & 0xff));
    case 1:
      return splice(bytes, at, length, new Uint8Array(0));
    case 2:
      return splice(bytes, at, 0, bytes.subarray(at, at + length));
    case 3:
    case 4:
      return splice(bytes, at, below(random, 3) === 0 ? length : 0, pieces[below(random, pieces.length)]);
    case 5: {
      const from = below(random, other.length + 1);
      return splice(bytes, at, length, other.subarray(from, from + below(random, 200)));
    }
    case 6:
      return swapLines(bytes, random);
    case 7:
      return changeDigit(bytes, random);
    default:
      return splice(bytes, at, 0, pieces[below(random, pieces.length)]);
  }
}

function swapLines(bytes, random) {
  const lines = [];
  let from = 0;
  for (let i = 0; i < bytes.length; i++) {
    if (bytes[i] === 10) {
      lines.push(bytes.subarray(from, i + 1));
      from = i + 1;
    }
  }
  lines.push(bytes.subarray(from));
  const a = below(random, lines.length);
  const b = below(random, lines.length);
  [lines[a], lines[b]] = [lines[b], lines[a]];
  return new Uint8Array(Buffer.concat(lines));
}

/** Keeps the form and changes a figure. */
function changeDigit(bytes, random) {
  const result = bytes.slice();
  const from = below(random, bytes.length);
  for (let step = 0; step < bytes.length; step++) {
    const i = (from + step) % bytes.length;
    if (result[i] >= 48 && result[i] <= 57) {
      result[i] = 48 + below(random, 10);
      break;
    }
  }
  return result;
}

const longest = 6_000;

/**
 * @param {Uint8Array} bytes
 * @param {() => number} random unsigned 32-bit numbers
 * @param {Uint8Array} other another input, to take pieces from
 */
export function mutateBytes(bytes, random, other) {
  let result = bytes;
  for (let left = 1 + below(random, 6); left > 0; left--) result = mutateOnce(result, random, other);
  return result.subarray(0, longest);
}

const values = [
  null,
  true,
  0,
  -1,
  1e308,
  "",
  "x",
  "__proto__",
  "\u001b[31m\n",
  [],
  {},
  [[]],
  "higher",
  "lower",
  "same",
  0.5,
  -0,
];

/** Changes, removes, doubles or renames one value somewhere in a JSON text; a text that is none stays. */
export function mutateJson(text, random) {
  let json;
  try {
    json = JSON.parse(text);
  } catch {
    return text;
  }
  for (let left = 1 + below(random, 4); left > 0; left--) changeSomewhere(json, random);
  return JSON.stringify(json);
}

function changeSomewhere(json, random) {
  let here = json;
  for (;;) {
    if (here === null || typeof here !== "object") return;
    const keys = Object.keys(here);
    if (keys.length === 0) return;
    const key = keys[below(random, keys.length)];
    const inner = here[key];
    if (inner !== null && typeof inner === "object" && below(random, 5) > 0) {
      here = inner;
      continue;
    }
    changeAt(here, key, random);
    return;
  }
}

function changeAt(here, key, random) {
  switch (below(random, 5)) {
    case 0:
      if (Array.isArray(here)) here.splice(Number(key), 1);
      else delete here[key];
      return;
    case 1:
      if (Array.isArray(here)) here.push(structuredClone(here[key]));
      else here[`${key}2`] = here[key];
      return;
    case 2:
      if (typeof here[key] === "number") here[key] = -here[key];
      else here[key] = structuredClone(values[below(random, values.length)]);
      return;
    default:
      here[key] = structuredClone(values[below(random, values.length)]);
  }
}
