import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["test/**/*.test.ts"],
    // A busy machine is slow, not wrong; where time itself is the point, the test states its own limit.
    testTimeout: 120_000,
    hookTimeout: 120_000,
    teardownTimeout: 60_000,
    // The figures must not depend on where the tests run.
    env: { NO_COLOR: "1", TZ: "UTC", LC_ALL: "C" },
  },
});
