// The per-pass figures alone, by Polars: node polars.js <folder of packages> <session>
import { createRequire } from "node:module";
import path from "node:path";

const [, , packages, session] = process.argv;
const pl = createRequire(path.join(packages, "package.json"))("nodejs-polars");
const ms = pl.col("frame_time_ms");
const frame = await pl
  .scanCSV(`${session}/**/*.csv`, { includeFilePaths: "file" })
  .groupBy("file")
  .agg(
    ms.mean().alias("mean"),
    ms.quantile(0.99, "linear").alias("p99"),
    ms.quantile(0.999, "linear").alias("p999"),
  )
  .collect();
console.log(
  JSON.stringify(frame.rows().map(([file, ...figures]) => [file, ...figures.map((x) => 1000 / x)])),
);
