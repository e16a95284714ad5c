// Where things are: told by ctest, with what a build by scripts/build release gives as fallback.
import { mkdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

export const source = join(dirname(fileURLToPath(import.meta.url)), "../../..");
const build = process.env.LEEWARD_BUILD ?? join(source, "build/release");
export const binary = process.env.LEEWARD_BINARY ?? join(build, "leeward");
export const pureBundle = join(build, "page/pure.mjs");
export const shotsFolder = join(build, "page/shots");
mkdirSync(shotsFolder, { recursive: true });
