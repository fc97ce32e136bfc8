import { homedir } from "node:os";
import path from "node:path";

/**
 * Where programs keep what they can make again.
 * @see XDG Base Directory Specification 0.8: XDG_CACHE_HOME, which must be absolute; else the system's usual place
 */
export function userCacheFolder(
  env: NodeJS.ProcessEnv = process.env,
  platform: NodeJS.Platform = process.platform,
): string {
  const named = env.XDG_CACHE_HOME;
  if (named !== undefined && path.isAbsolute(named)) return path.join(named, "runjury");
  if (platform === "darwin") return path.join(homedir(), "Library", "Caches", "runjury");
  if (platform === "win32" && env.LOCALAPPDATA !== undefined) {
    return path.join(env.LOCALAPPDATA, "runjury", "cache");
  }
  return path.join(homedir(), ".cache", "runjury");
}
