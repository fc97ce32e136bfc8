// Loaded before the program (node --import), it makes every file take a tenth of a second to be written, so that a
// kill can meet the writing.
import { open } from "node:fs/promises";
import { setTimeout as sleep } from "node:timers/promises";

const pieces = 10;

const handle = await open(process.execPath);
const FileHandle = Object.getPrototypeOf(handle);
await handle.close();

FileHandle.writeFile = async function writeSlowly(data) {
  const bytes = Buffer.from(data);
  const length = Math.ceil(bytes.length / pieces);
  for (let at = 0; at < bytes.length; at += length) {
    await this.write(bytes.subarray(at, at + length));
    await sleep(100 / pieces);
  }
};
