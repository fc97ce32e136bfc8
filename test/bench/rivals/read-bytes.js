// Reads the bytes of files or folders and does nothing with them: node read-bytes.js <path>
import { closeSync, openSync, readdirSync, readSync, statSync } from "node:fs";
import path from "node:path";

const block = new Uint8Array(1 << 20);
function read(file) {
  if (statSync(file).isDirectory()) {
    for (const name of readdirSync(file)) read(path.join(file, name));
    return;
  }
  const handle = openSync(file, "r");
  while (readSync(handle, block, 0, block.length, null) > 0);
  closeSync(handle);
}
read(process.argv[2]);
