import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    testTimeout: 60_000,
    // The figures must not depend on where the tests run.
    env: { NO_COLOR: "1", TZ: "UTC", LC_ALL: "C" },
  },
});
