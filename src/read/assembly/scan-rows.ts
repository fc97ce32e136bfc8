// The inner loop of scan-rows.ts in AssemblyScript, a TypeScript of machine numbers that becomes WebAssembly
// (`npm run build:kernel`): bytes are looked at 64 at a time, a cell of up to 16 characters becomes a number at once.
// Finding structure by masks of bits follows Langdale & Lemire 2019, Parsing gigabytes of JSON per second.

/** Powers that are doubles exactly, 1 to 1e22. */
const powersOfTen = memory.data<f64>([
  1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
  1e21, 1e22,
]);
/** Sixteen bytes from the n-th on are ones in the last n. */
const lastBytes = memory.data<u8>([
  0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255,
  255, 255,
]);
/** For each place of a decimal sign among sixteen bytes: what to move where, so that it is gone. */
const closings = memory.data<u8>([
  128, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 7, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 9, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 15,
  128, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14,
]);

/** What to do with the cells of each column up to the last one that matters, as two bytes. */
let tasks: usize = 0;
/** Tasks from 0 on are places among the values; any other but these passes over the cell. */
const passDigits: i32 = -2;
const compareFixed: i32 = -3;
const readMinute: i32 = -4;

const lineFeed: u8 = 0x0a;
const carriageReturn: u8 = 0x0d;
const hash: u8 = 0x23;
const zero: u8 = 0x30;
/** Any integer below this is a double exactly. */
const exactBelow: u64 = 1 << 53;

let delimiter: u8 = 0;
let decimalSign: u8 = 0;
let lastColumn: i32 = 0;
/** Cells that a row must have; 0 for any number. */
let width: i32 = 0;
/** A row that ends with the last column that matters lacks its end. */
let goesOn: bool = false;
let longestLine: usize = 0;
/** Place of the clock among the values, or -1. */
let clockSlot: i32 = -1;
/** For each place one byte: whether its cells may be blank. */
let mayBeBlank: usize = 0;
/** For each place the characters and the value of its last usual cell, as sixteen bytes and a double, 32 apart. */
let printedAt: usize = 0;
let fixedAt: usize = 0;
let fixedLength: i32 = 0;
/** Most rows of one scan, and where their values are written: one stretch of doubles per place. */
let capacity: i32 = 0;
let valuesAt: usize = 0;
/** Where each row begins, as four bytes. */
let startsAt: usize = 0;
/** Cells whose number the caller must read: place, row, and where the cell begins and ends, each as four bytes. */
let unreadAt: usize = 0;

export function setTable(
  delimiterByte: u8,
  decimalByte: u8,
  last: i32,
  rowWidth: i32,
  goesOnBehind: bool,
  longest: i32,
  clock: i32,
): void {
  delimiter = delimiterByte;
  decimalSign = decimalByte;
  lastColumn = last;
  width = rowWidth;
  goesOn = goesOnBehind;
  longestLine = longest;
  clockSlot = clock;
}

/** Where the caller's memory begins. */
export function firstFree(): usize {
  return (__heap_base + 63) & ~63;
}

export function setPlaces(
  taskTable: usize,
  blankTable: usize,
  printed: usize,
  fixed: usize,
  lengthOfFixed: i32,
  most: i32,
  values: usize,
  starts: usize,
  unread: usize,
): void {
  tasks = taskTable;
  mayBeBlank = blankTable;
  printedAt = printed;
  fixedAt = fixed;
  fixedLength = lengthOfFixed;
  capacity = most;
  valuesAt = values;
  startsAt = starts;
  unreadAt = unread;
}

/** What is taken off every reading of the clock. */
let clockBase: i64 = 0;

export function setClockBase(base: i64): void {
  clockBase = base;
}

/** How the clock's moments of one minute begin and end, and the reading of its second 0. */
let prefixAt: usize = 0;
let prefixLength: usize = 0;
let suffixAt: usize = 0;
let suffixLength: usize = 0;
let minuteS: f64 = 0;

export function setMinute(
  prefix: usize,
  lengthOfPrefix: usize,
  suffix: usize,
  lengthOfSuffix: usize,
  reading: f64,
): void {
  prefixAt = prefix;
  prefixLength = lengthOfPrefix;
  suffixAt = suffix;
  suffixLength = lengthOfSuffix;
  minuteS = reading;
}

/** Where the row after the last one taken begins. */
let next: usize = 0;

export function nextRow(): usize {
  return next;
}

let unreadCells: i32 = 0;

export function countUnread(): i32 {
  return unreadCells;
}

/** Of the 64 bytes looked at, as bits: what ends a line. */
let ends: u64 = 0;

/** Bits for 64 bytes that are all ones or all zeros. */
// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function bitsOf(a: v128, b: v128, c: v128, d: v128): u64 {
  return (
    (<u64>i8x16.bitmask(a)) |
    ((<u64>i8x16.bitmask(b)) << 16) |
    ((<u64>i8x16.bitmask(c)) << 32) |
    ((<u64>i8x16.bitmask(d)) << 48)
  );
}

// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function either(bytes: v128, one: u8, other: u8): v128 {
  return v128.or(i8x16.eq(bytes, i8x16.splat(one)), i8x16.eq(bytes, i8x16.splat(other)));
}

/** What is no text for sure: quotes, NUL and all beyond ASCII. */
function doubtful(a: v128, b: v128, c: v128, d: v128): u64 {
  return (
    bitsOf(a, b, c, d) |
    bitsOf(either(a, 0x22, 0), either(b, 0x22, 0), either(c, 0x22, 0), either(d, 0x22, 0))
  );
}

/** Looks at the 64 bytes from `block` on. @returns bits for all that ends a cell; `ends` is set */
// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function lookAt(block: usize, delimiter: u8, isPure: bool): u64 {
  const a = v128.load(block);
  const b = v128.load(block, 16);
  const c = v128.load(block, 32);
  const d = v128.load(block, 48);
  const feed = lineFeed;
  const turn = carriageReturn;
  let found = bitsOf(either(a, feed, turn), either(b, feed, turn), either(c, feed, turn), either(d, feed, turn));
  if (!isPure) found |= doubtful(a, b, c, d);
  ends = found;
  const parts = i8x16.splat(delimiter);
  return found | bitsOf(i8x16.eq(a, parts), i8x16.eq(b, parts), i8x16.eq(c, parts), i8x16.eq(d, parts));
}

/**
 * Reads plain rows one after the other, until one is not plain or `most` are read.
 * @param from where a row begins
 * @param end behind a line feed; the 64 bytes from there on must be memory
 * @param isPure no byte before `end` is doubtful
 * @returns the rows read; nextRow() is where the next one begins
 */
export function scan(from: usize, end: usize, most: i32, isPure: bool): i32 {
  // What lies in locals need not be fetched again after every store.
  const whatToDo = tasks;
  const columns = lastColumn;
  const parts = delimiter;
  const cells = width;
  const longest = longestLine;
  const starts = startsAt;
  let row: i32 = 0;
  let lineStart = from;
  let block = from - 64;
  // Of the bytes from `block` on: what ends a cell and is still ahead.
  let marks: u64 = 0;
  unreadCells = 0;

  while (row < most && lineStart < end) {
    const first = load<u8>(lineStart);
    if (first == hash || first == lineFeed) break;
    let at = lineStart;
    let stop: usize = 0;
    let column: i32 = 0;
    let isPlain: bool = true;
    for (;;) {
      while (marks == 0) {
        block += 64;
        marks = lookAt(block, parts, isPure);
      }
      stop = block + <usize>ctz(marks);
      marks &= marks - 1;
      const task = <i32>load<i16>(whatToDo + ((<usize>column) << 1));
      if (task >= 0) isPlain = readCell(at, stop, task, row);
      else if (task == passDigits) isPlain = isDigits(at, stop);
      else if (task == compareFixed) isPlain = isFixed(at, stop);
      else if (task == readMinute) isPlain = readMoment(at, stop, row);
      if (!isPlain || column == columns) break;
      isPlain = load<u8>(stop) == parts;
      if (!isPlain) break;
      column++;
      at = stop + 1;
    }
    if (!isPlain) break;

    // What follows the last cell that matters is only counted.
    if (load<u8>(stop) == parts) {
      column++;
      while ((ends & marks) == 0) {
        column += <i32>popcnt(marks);
        block += 64;
        marks = lookAt(block, parts, isPure);
      }
      const lineEnds = ends & marks;
      const upToFirst = lineEnds ^ (lineEnds - 1);
      column += <i32>popcnt(marks & upToFirst) - 1;
      marks &= ~upToFirst;
      stop = block + <usize>ctz(lineEnds);
    } else if (goesOn) break;
    if (load<u8>(stop) == carriageReturn) {
      while (marks == 0) {
        block += 64;
        marks = lookAt(block, parts, isPure);
      }
      // The mark of the line feed, if it follows.
      marks &= marks - 1;
      stop++;
    }
    if (load<u8>(stop) != lineFeed || stop - lineStart > longest) break;
    if (cells != 0 && column != cells - 1) break;
    store<u32>(starts + ((<usize>row) << 2), <u32>lineStart);
    row++;
    lineStart = stop + 1;
  }
  next = lineStart;
  return row;
}

/** Whether the cell is digits and nothing else. */
// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function isDigits(from: usize, to: usize): bool {
  if (to - from <= 16) {
    const digits = v128.and(i8x16.sub(v128.load(to - 16), i8x16.splat(zero)), v128.load(lastBytes + (to - from)));
    return i8x16.all_true(i8x16.le_u(digits, i8x16.splat(9))) && to > from;
  }
  for (let at = from; at < to; at++) if (<u8>(load<u8>(at) - zero) > 9) return false;
  return to > from;
}

function isFixed(from: usize, to: usize): bool {
  return <i32>(to - from) == fixedLength && areEqual(from, fixedAt, to - from);
}

/** Whether so many bytes are the same in both places. */
function areEqual(one: usize, other: usize, length: usize): bool {
  let i: usize = 0;
  for (; i + 8 <= length; i += 8) if (load<u64>(one + i) != load<u64>(other + i)) return false;
  for (; i < length; i++) if (load<u8>(one + i) != load<u8>(other + i)) return false;
  return true;
}

/** Reads a moment of the minute that was set: two digits of seconds below 60, and up to 12 of their fraction. */
function readMoment(from: usize, to: usize, row: i32): bool {
  if (to - from < prefixLength + 2 + suffixLength) return false;
  let at = from + prefixLength;
  const end = to - suffixLength;
  if (!areEqual(from, prefixAt, prefixLength) || !areEqual(end, suffixAt, suffixLength)) return false;
  const tens = <u8>(load<u8>(at) - zero);
  const ones = <u8>(load<u8>(at, 1) - zero);
  if (tens > 5 || ones > 9) return false;
  at += 2;
  let fraction: u64 = 0;
  let decimals: i32 = 0;
  if (at < end) {
    const sign = load<u8>(at);
    decimals = <i32>(end - at) - 1;
    if ((sign != 0x2e && sign != 0x2c) || decimals < 1 || decimals > 12) return false;
    for (at++; at < end; at++) {
      const digit = <u8>(load<u8>(at) - zero);
      if (digit > 9) return false;
      fraction = fraction * 10 + digit;
    }
  }
  const wholeS = minuteS + <f64>(tens * 10 + ones);
  put(wholeS + <f64>fraction / powerOfTen(decimals), clockSlot, row);
  return true;
}

// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function powerOfTen(exponent: i32): f64 {
  return load<f64>(powersOfTen + ((<usize>exponent) << 3));
}

// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function put(value: f64, slot: i32, row: i32): void {
  store<f64>(valuesAt + ((<usize>(slot * capacity + row)) << 3), value);
}

/**
 * Reads a cell; the usual one, up to 16 characters that are digits with at most one decimal sign, as a whole.
 * @returns false where it is no plain decimal
 */
// @ts-ignore: AssemblyScript has decorators on functions.
@inline
function readCell(from: usize, to: usize, slot: i32, row: i32): bool {
  const length = <i32>(to - from);
  if (length <= 0 || length > 16) return readAnyCell(from, to, slot, row);
  const mask = v128.load(lastBytes + <usize>length);
  // The cell's characters are the last of these sixteen; what is before them becomes zeros.
  let digits = v128.and(i8x16.sub(v128.load(to - 16), i8x16.splat(zero)), mask);
  const printed = digits;
  // Many a column prints what it printed in the row before.
  const before = printedAt + ((<usize>slot) << 5);
  if (slot != clockSlot && !v128.any_true(v128.xor(digits, v128.load(before)))) {
    put(load<f64>(before, 16), slot, row);
    return true;
  }
  const others = 0xffff ^ i8x16.bitmask(i8x16.le_u(digits, i8x16.splat(9)));
  let decimals = 0;
  if (others != 0) {
    const place = <i32>ctz(others);
    if ((others & (others - 1)) != 0 || place == 15 || load<u8>(to - 16 + <usize>place) != decimalSign) {
      return readAnyCell(from, to, slot, row);
    }
    decimals = 15 - place;
    digits = i8x16.swizzle(digits, v128.load(closings + ((<usize>place) << 4)));
  }
  // Sixteen digits, two by two: 8 x 2, 4 x 4, 2 x 8.
  const tens = i16x8(10, 1, 10, 1, 10, 1, 10, 1);
  const pairs = i16x8.narrow_i32x4_u(
    i32x4.dot_i16x8_s(i16x8.extend_low_i8x16_u(digits), tens),
    i32x4.dot_i16x8_s(i16x8.extend_high_i8x16_u(digits), tens),
  );
  const fours = i32x4.dot_i16x8_s(pairs, i16x8(100, 1, 100, 1, 100, 1, 100, 1));
  const eights = i32x4.dot_i16x8_s(
    i16x8.narrow_i32x4_u(fours, fours),
    i16x8(10000, 1, 10000, 1, 10000, 1, 10000, 1),
  );
  const mantissa = (<u64>i32x4.extract_lane(eights, 0)) * 100_000_000 + <u64>i32x4.extract_lane(eights, 1);
  if (mantissa >= exactBelow || (slot == clockSlot && length > 14)) return readAnyCell(from, to, slot, row);
  // One division of exact operands is the nearest double (Clinger 1990, How to read floating point numbers accurately).
  let value = <f64>mantissa;
  if (decimals != 0) value /= powerOfTen(decimals);
  if (slot == clockSlot) value -= <f64>clockBase;
  put(value, slot, row);
  v128.store(before, printed);
  store<f64>(before, value, 16);
  return true;
}

/** Reads any plain decimal with blanks around it, or leaves it to the caller to; see readCell. */
function readAnyCell(from: usize, to: usize, slot: i32, row: i32): bool {
  let at = from;
  let end = to;
  while (at < end && load<u8>(at) == 0x20) at++;
  while (at < end && load<u8>(end - 1) == 0x20) end--;
  if (at == end) {
    put(f64.NaN, slot, row);
    return load<u8>(mayBeBlank + <usize>slot) != 0;
  }
  const start = at;
  let isNegative = false;
  const sign = load<u8>(at);
  if (sign == 0x2d || sign == 0x2b) {
    isNegative = sign == 0x2d;
    at++;
  }
  let mantissa: u64 = 0;
  let significant = 0;
  const wholeFrom = at;
  let digit: u8 = 0;
  for (; at < end; at++) {
    digit = load<u8>(at) - zero;
    if (digit > 9) break;
    if (significant != 0 || digit != 0) significant++;
    if (significant < 20) mantissa = mantissa * 10 + digit;
  }
  const wholeDigits = <i32>(at - wholeFrom);
  const whole = mantissa;
  const isWholeKnown = significant < 20 && whole <= <u64>i64.MAX_VALUE;
  let decimals = 0;
  let fraction: u64 = 0;
  if (at < end && load<u8>(at) == decimalSign) {
    at++;
    const fractionFrom = at;
    for (; at < end; at++) {
      digit = load<u8>(at) - zero;
      if (digit > 9) break;
      if (significant != 0 || digit != 0) significant++;
      if (significant < 20) mantissa = mantissa * 10 + digit;
      fraction = fraction * 10 + digit;
    }
    decimals = <i32>(at - fractionFrom);
  }
  if (wholeDigits + decimals == 0) return false;
  let exponent = 0;
  const hasExponent = at < end && (load<u8>(at) | 0x20) == 0x65;
  if (hasExponent) {
    at++;
    if (at == end) return false;
    const direction = load<u8>(at);
    if (direction == 0x2d || direction == 0x2b) at++;
    if (at == end) return false;
    for (; at < end; at++) {
      digit = load<u8>(at) - zero;
      if (digit > 9) return false;
      if (exponent < 10_000) exponent = exponent * 10 + digit;
    }
    if (direction == 0x2d) exponent = -exponent;
  }
  if (at < end) return false;

  if (slot == clockSlot && sign != 0x2d && !hasExponent && wholeDigits >= 10 && <i32>(end - start) > 14) {
    // More digits than a double holds: the difference has not.
    if (!isWholeKnown || decimals > 15) return false;
    const since = <i64>whole - clockBase;
    // From a base below 0 it may be more than the integer holds, and comes round as less than nothing.
    if (clockBase < 0 && since < 0) return false;
    put(<f64>since + <f64>fraction / powerOfTen(decimals), slot, row);
    return true;
  }
  const power = exponent - decimals;
  if (significant > 15 || power < -22 || power > 22 || mantissa >= exactBelow) {
    const cell = unreadAt + ((<usize>unreadCells) << 4);
    store<u32>(cell, slot);
    store<u32>(cell, row, 4);
    store<u32>(cell, <u32>start, 8);
    store<u32>(cell, <u32>end, 12);
    unreadCells++;
    return true;
  }
  let value = <f64>mantissa;
  if (power < 0) value /= powerOfTen(-power);
  else value *= powerOfTen(power);
  if (isNegative) value = -value;
  put(slot == clockSlot ? value - <f64>clockBase : value, slot, row);
  return true;
}
