// The per-pass figures alone, by DuckDB: node duckdb.js <folder of packages> <session>
import { createRequire } from "node:module";
import path from "node:path";

const [, , packages, session] = process.argv;
const { DuckDBInstance } = createRequire(path.join(packages, "package.json"))("@duckdb/node-api");
const connection = await (await DuckDBInstance.create(":memory:")).connect();
const reader = await connection.runAndReadAll(
  `select filename, 1000 * count(*) / sum(frame_time_ms), 1000 / quantile_cont(frame_time_ms, 0.99),
     1000 / quantile_cont(frame_time_ms, 0.999)
   from read_csv('${session}/**/*.csv', filename = true) group by filename`,
);
console.log(JSON.stringify(reader.getRows()));
process.exit();
