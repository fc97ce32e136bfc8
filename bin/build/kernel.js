// Compiles the scanner's inner loop to WebAssembly and writes it as a module of the sources, so that neither the program
// nor its tests need the compiler:
//   npm run build:kernel
import { readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import asc from "assemblyscript/asc";

const root = fileURLToPath(new URL("../../", import.meta.url));
const source = "src/read/assembly/scan-rows.ts";
const target = "src/read/scan-rows-code.ts";

/** The module of the sources that holds the compiled loop. */
export async function kernelModule() {
  let compiled;
  const options = [
    "-O3",
    "--converge",
    "--runtime",
    "stub",
    "--enable",
    "simd",
    "--use",
    "abort=",
    "--noAssert",
  ];
  const { error, stderr } = await asc.main([source, ...options, "--outFile", "kernel.wasm"], {
    readFile: (name) => {
      try {
        return readFileSync(path.join(root, name), "utf8");
      } catch {
        return null;
      }
    },
    writeFile: (_, bytes) => {
      compiled = bytes;
    },
    listFiles: () => [],
  });
  if (error !== null || compiled === undefined) throw new Error(`${error?.message}\n${stderr.toString()}`);
  const lines = Buffer.from(compiled)
    .toString("base64")
    .match(/.{1,100}/g)
    .map((line) => `  "${line}",`);
  return [
    `// Made of ${source} by npm run build:kernel; not to be changed by hand.`,
    "/** The scanner's inner loop as WebAssembly, base64. */",
    "export const scanRowsCode = [",
    ...lines,
    '].join("");',
    "",
  ].join("\n");
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(path.join(root, target), await kernelModule());
