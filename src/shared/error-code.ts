/** The system's code of an error, such as "EACCES"; its text would name paths and change with the platform. */
export function errorCode(error: unknown): string {
  if (error instanceof Error && "code" in error && typeof error.code === "string") return error.code;
  return "unknown error";
}
