// Runs a command of the built program over and over in this one process, and disturbs another call to the file system
// each time: the first, the second, and so on until a run ends before its turn. Prints what a user would have seen.
//
// node disturbed-files.js <folder whose files are disturbed> <disturbance> <argument>...
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import path from "node:path";

const [folder, disturbance, ...args] = process.argv.slice(2);
const away = `${folder}.away`;

/** Calls that are left until the disturbance. */
let left = Number.POSITIVE_INFINITY;

const isWatched = (file) =>
  typeof file === "string" &&
  (path.resolve(file) === folder || path.resolve(file).startsWith(folder + path.sep));

/** The calls that were disturbed. */
const calls = [];

function disturb(call) {
  left--;
  if (left === 0) calls.push(call);
  if (left !== 0) return;
  if (disturbance === "gone") {
    rename(folder, away);
  } else {
    throw Object.assign(new Error(`${disturbance}: made by the test, ${call}`), { code: disturbance });
  }
}

const rename = fs.renameSync;
const exists = fs.existsSync;
const handles = new Set();

for (const name of ["statSync", "lstatSync", "readdirSync", "realpathSync", "readFileSync", "mkdirSync"]) {
  const real = fs[name];
  fs[name] = Object.assign((file, ...rest) => {
    if (isWatched(file)) disturb(name);
    return real(file, ...rest);
  }, real);
}
const { openSync, readSync, closeSync, createReadStream } = fs;
fs.openSync = (file, ...rest) => {
  if (isWatched(file)) disturb("openSync");
  const handle = openSync(file, ...rest);
  if (isWatched(file)) handles.add(handle);
  return handle;
};
fs.readSync = (handle, ...rest) => {
  if (handles.has(handle)) disturb("readSync");
  return readSync(handle, ...rest);
};
fs.closeSync = (handle) => {
  handles.delete(handle);
  closeSync(handle);
};
// A stream opens and reads through these.
const orDisturbed =
  (name) =>
  (...rest) => {
    try {
      disturb(name);
    } catch (error) {
      process.nextTick(rest.at(-1), error);
      return;
    }
    fs[name](...rest);
  };
const disturbedStream = { open: orDisturbed("open"), read: orDisturbed("read"), close: fs.close };
fs.createReadStream = (file, options) =>
  createReadStream(file, isWatched(file) ? { ...options, fs: disturbedStream } : options);
for (const name of [
  "stat",
  "lstat",
  "readdir",
  "realpath",
  "readFile",
  "open",
  "mkdir",
  "rename",
  "rm",
  "link",
]) {
  const real = fs.promises[name];
  fs.promises[name] = async (file, ...rest) => {
    if (isWatched(file)) disturb(name);
    return real(file, ...rest);
  };
}
// What is written through a handle is in the folder that is watched.
const handle = await fs.promises.open(import.meta.filename);
const FileHandle = Object.getPrototypeOf(handle);
await handle.close();
for (const name of ["writeFile", "sync"]) {
  const real = FileHandle[name];
  FileHandle[name] = async function disturbed(...rest) {
    disturb(name);
    return real.apply(this, rest);
  };
}
syncBuiltinESMExports();

/** Drafts and second names that a run has left behind. */
const leftovers = () => fs.readdirSync(folder, { recursive: true }).filter((name) => /(?:^|\/)\./.test(name));

const { main } = await import("../../dist/bundle/main.js");
const runs = [];
const said = { stdout: "", stderr: "" };
const write = process.stdout.write.bind(process.stdout);
for (const stream of ["stdout", "stderr"]) {
  process[stream].write = (text, ...rest) => {
    said[stream] += text;
    rest.findLast((each) => typeof each === "function")?.();
    return true;
  };
}
for (let at = 1; at < 10_000; at++) {
  // Whatever the run before has written is there to be replaced.
  left = at;
  said.stdout = "";
  said.stderr = "";
  process.exitCode = undefined;
  await main(["node", "runjury", ...args]);
  const isDisturbed = left <= 0;
  left = Number.POSITIVE_INFINITY;
  if (exists(away)) {
    // What the run has made meanwhile goes.
    fs.rmSync(folder, { recursive: true, force: true });
    rename(away, folder);
  }
  const { stdout, stderr } = said;
  runs.push({
    at,
    call: calls.at(-1),
    status: process.exitCode ?? 0,
    stdout,
    stderr,
    leftovers: leftovers(),
  });
  if (!isDisturbed) break;
}
process.exitCode = 0;
write(JSON.stringify(runs));
