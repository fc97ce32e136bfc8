import { Argument, type Command } from "commander";
import { sessionJsonSchema, toJson } from "../../index.ts";
import { writeResult } from "../output.ts";

const schemas = { session: sessionJsonSchema } as const;

export function addSchemaCommand(program: Command): void {
  const names = Object.keys(schemas);
  program
    .command("schema")
    .addArgument(new Argument("[name]", "which one").choices(names).default("session"))
    .description("JSON Schema of session.yaml, for editors")
    .option("--output <file>", "write to this file instead of standard output")
    .action(async (name: keyof typeof schemas, { output }: { output?: string }) => {
      await writeResult(toJson(schemas[name]()), output);
    });
}
