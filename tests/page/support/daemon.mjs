// A daemon with the embedded simulated house, reachable by TCP with a token.
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { binary, source } from "./places.mjs";

function freePort() {
  return new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

function rigFile(folder, port, { speed, rigPort }) {
  const name = rigPort ? "virtual-modbus" : "simulated";
  let text = readFileSync(join(source, `config/rigs/${name}.toml`), "utf8");
  text = text.replaceAll('"../', `"${source}/config/`).replace(/^speed = .*/m, `speed = ${speed}`);
  if (rigPort) text = text.replace(/^port = .*/m, `port = ${rigPort}`);
  const path = join(folder, "rig.toml");
  writeFileSync(path, `${text}\n[listen]\ntcp_port = ${port}\ntoken_file = "${join(folder, "tokens")}"\n`);
  return path;
}

/** Each token is shown once; `--save` keeps it for the test. */
function makeToken(folder, role) {
  const path = join(folder, `${role}.token`);
  execFileSync(binary, ["token", role === "viewer" ? "spectator" : "tablet", "--role", role, "--file", join(folder, "tokens"), "--save", path]);
  return readFileSync(path, "utf8").trim();
}

/** The line with which a process says that it is ready. */
function readyLine(child) {
  return new Promise((resolve, reject) => {
    createInterface({ input: child.stdout }).on("line", (line) => line.startsWith("ready") && resolve(line));
    child.once("exit", (code) => reject(new Error(`ended with ${code} before it was ready`)));
  });
}

function ended(child) {
  if (child.exitCode !== null) return Promise.resolve();
  const gone = new Promise((resolve) => child.once("exit", resolve));
  child.kill("SIGTERM");
  return gone;
}

/** @returns once the daemon has said that it is ready */
export async function startDaemon({ speed, virtual = false }) {
  const rig = virtual ? spawn(binary, ["rig", "--house", join(source, "config/houses/demo-house.toml"), "--port", "0", "--speed", String(speed)], { stdio: ["ignore", "pipe", "inherit"] }) : null;
  const rigPort = rig ? Number((await readyLine(rig)).split(":").pop()) : 0;
  const folder = mkdtempSync(join(tmpdir(), "leeward-page-"));
  const port = await freePort();
  const socket = join(folder, "api.sock");
  const token = makeToken(folder, "operator");
  const viewerToken = makeToken(folder, "viewer");
  const child = spawn(binary, ["serve", "--config", rigFile(folder, port, { speed, rigPort }), "--socket", socket], {
    env: { ...process.env, STATE_DIRECTORY: folder },
    stdio: ["ignore", "pipe", "inherit"],
  });
  await readyLine(child);
  const headers = { Authorization: `Bearer ${token}`, "Content-Type": "application/json" };
  const url = `http://127.0.0.1:${port}`;
  return {
    port,
    url,
    token,
    viewerToken,
    async get(path) {
      return (await fetch(url + path, { headers })).json();
    },
    async post(path, body) {
      return fetch(url + path, { method: "POST", headers, body: JSON.stringify(body) });
    },
    /** Follows the daemon's own events until its status is as wanted; `also` is told of each status. */
    async until(isSo, also = () => undefined) {
      const reader = (await fetch(`${url}/v1/stream`, { headers })).body.getReader();
      try {
        for (;;) {
          const { value, done } = await reader.read();
          if (done) throw new Error("the daemon's stream ended");
          // The readings alone come ten times a second; what a test waits for begins with another event.
          if (!/^event: (?!sample)|^: hello/m.test(new TextDecoder().decode(value))) continue;
          const status = await this.get("/v1/status");
          if (isSo(status)) return status;
          await also(status);
        }
      } finally {
        await reader.cancel();
      }
    },
    async stop() {
      for (const process of [child, rig]) if (process) await ended(process);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
