// A daemon with the embedded simulated house, reachable by TCP with a token.
import { spawn } from "node:child_process";
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { binary, source } from "./places.mjs";

export const token = "a-token-that-only-this-test-knows";

function freePort() {
  return new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

function rigFile(folder, port, { speed, seed = 1, changes = [] }) {
  let text = readFileSync(join(source, "config/rigs/simulated.toml"), "utf8");
  text = text.replaceAll('"../', `"${source}/config/`).replace(/^speed = .*/m, `speed = ${speed}`).replace(/^seed = .*/m, `seed = ${seed}`);
  for (const [from, to] of changes) text = text.replace(from, to);
  writeFileSync(join(folder, "token"), `${token}\n`);
  chmodSync(join(folder, "token"), 0o600);
  const path = join(folder, "rig.toml");
  writeFileSync(path, `${text}\n[listen]\ntcp_port = ${port}\ntoken_file = "${join(folder, "token")}"\n`);
  return path;
}

/** @returns once the daemon has said that it is ready */
export async function startDaemon(options) {
  const folder = mkdtempSync(join(tmpdir(), "leeward-page-"));
  const port = await freePort();
  const socket = join(folder, "api.sock");
  const child = spawn(binary, ["serve", "--config", rigFile(folder, port, options), "--socket", socket], {
    env: { ...process.env, STATE_DIRECTORY: folder },
    stdio: ["ignore", "pipe", "inherit"],
  });
  const gone = new Promise((resolve) => child.once("exit", resolve));
  await new Promise((resolve, reject) => {
    createInterface({ input: child.stdout }).on("line", (line) => line.startsWith("ready") && resolve());
    void gone.then((code) => reject(new Error(`the daemon ended with ${code} before it was ready`)));
  });
  const headers = { Authorization: `Bearer ${token}`, "Content-Type": "application/json" };
  const url = `http://127.0.0.1:${port}`;
  return {
    port,
    url,
    pid: child.pid,
    async get(path) {
      return (await fetch(url + path, { headers })).json();
    },
    async post(path, body) {
      return fetch(url + path, { method: "POST", headers, body: JSON.stringify(body) });
    },
    async stop() {
      child.kill("SIGTERM");
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
