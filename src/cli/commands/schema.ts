import { Argument, type Command } from "commander";
import { writeResult } from "../output.ts";

const names = ["session", "claims", "plan"] as const;

export function addSchemaCommand(program: Command): void {
  program
    .command("schema")
    .addArgument(new Argument("[name]", "which one").choices(names).default("session"))
    .description("JSON Schema of session.yaml or claims.yaml, for editors, or of the JSON of plan")
    .option("-o, --output <file>", "write to this file instead of standard output")
    .action(async (name: (typeof names)[number], { output }: { output?: string }) => {
      const { claimsJsonSchema, planJsonSchema, sessionJsonSchema, toJson } = await import("../../index.ts");
      const schemas = { session: sessionJsonSchema, claims: claimsJsonSchema, plan: planJsonSchema };
      await writeResult(toJson(schemas[name]()), output);
    });
}
