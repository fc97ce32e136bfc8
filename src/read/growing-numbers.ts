/** Numbers in the order in which they come, without an array of objects. */
export class GrowingNumbers {
  private buffer: Float64Array;
  length = 0;

  /** @param expected how many there will be, about: room that is never used costs nothing, growing costs a copy */
  constructor(expected = 0) {
    this.buffer = new Float64Array(Math.max(1024, Math.ceil(expected)));
  }

  push(value: number): void {
    if (this.length === this.buffer.length) this.grow(1);
    this.buffer[this.length++] = value;
  }

  /** Where the next numbers belong, at least so many; whoever writes them there adds to `length`. */
  room(count: number): Float64Array {
    if (this.length + count > this.buffer.length) this.grow(count);
    return this.buffer.subarray(this.length);
  }

  private grow(count: number): void {
    const larger = new Float64Array(2 * this.length + count);
    larger.set(this.buffer.subarray(0, this.length));
    this.buffer = larger;
  }

  /** Puts NaN in the place of the last number that is not NaN already, if it is this one. */
  blankLast(value: number): void {
    let at = this.length - 1;
    while (Number.isNaN(this.buffer[at])) at--;
    if (this.buffer[at] === value) this.buffer[at] = Number.NaN;
  }

  /** Forgets all but the last few. */
  keepLast(count: number): void {
    if (this.length <= count) return;
    this.buffer.copyWithin(0, this.length - count, this.length);
    this.length = count;
  }

  /** The numbers from one position up to another; a view. */
  view(from = 0, to = this.length): Float64Array {
    return this.buffer.subarray(from, to);
  }
}
