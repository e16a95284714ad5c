"""A daemon of the test's own: the simulated rig, faster than life, on a Unix socket and on the network."""

import http.client
import json
import os
import pathlib
import re
import shutil
import socket
import subprocess
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[2]
SPEED = 20


class UnixConnection(http.client.HTTPConnection):
    def __init__(self, path):
        super().__init__("localhost", timeout=30)
        self.path = path

    def connect(self):
        self.sock = socket.socket(socket.AF_UNIX)
        self.sock.settimeout(self.timeout)
        self.sock.connect(self.path)


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body
        self.media_type = (headers.get("Content-Type") or "").split(";")[0]

    def json(self):
        return json.loads(self.body)


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


class Daemon:
    def __init__(self, learns_drive=False, speed=SPEED):
        self.learns_drive = learns_drive
        self.speed = speed
        self.binary = os.environ["LEEWARD_BINARY"]
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="leeward-api-"))
        self.socket = str(self.folder / "s")
        self.port = free_port()
        self.environment = dict(os.environ, XDG_STATE_HOME=str(self.folder / "state"),
                                XDG_RUNTIME_DIR=str(self.folder), HOME=str(self.folder))
        rig = self._rig_file()
        self.tokens = {role: self._token(rig, role) for role in ("operator", "viewer")}
        self.process = subprocess.Popen(
            [self.binary, "serve", "--config", str(rig), "--socket", self.socket],
            stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=self.environment)
        line = self.process.stdout.readline()
        if not line.startswith("ready "):
            raise RuntimeError("the daemon did not get ready: " + line)

    def _rig_file(self):
        config = SOURCE / "config"
        text = (config / "rigs" / "simulated.toml").read_text().replace('"../', f'"{config}/')
        text = re.sub(r"^speed = \S+", f"speed = {self.speed}.0", text, flags=re.M)
        if self.learns_drive:
            text = text.replace("[rig]", "[rig]\nlearn_drive = true", 1)
            text = text.replace('fitted = "bore-500"', 'fitted = "bore-165"')  # the house is tight
        text += (f'\n[listen]\ntcp_host = "127.0.0.1"\ntcp_port = {self.port}\n'
                 f'token_file = "{self.folder / "tokens"}"\n')
        path = self.folder / "rig.toml"
        path.write_text(text)
        return path

    def _token(self, rig, role):
        saved = self.folder / f"{role}.token"
        subprocess.run([self.binary, "token", role, "--role", role, "--config", str(rig), "--save", str(saved)],
                       check=True, stdout=subprocess.DEVNULL, env=self.environment)
        return saved.read_text().strip()

    def call(self, method, path, body=None, headers=None, role=None):
        """Over the Unix socket; with a role over the network with a token of that role.

        body: bytes as they are, anything else as JSON."""
        headers = dict(headers or {})
        if body is not None and not isinstance(body, bytes):
            body = json.dumps(body).encode()
        if body is not None:
            headers.setdefault("Content-Type", "application/json")
        if role is not None:
            headers.setdefault("Authorization", "Bearer " + self.tokens[role])
        return self.send(self.connection(role is not None), method, path, body, headers)

    def connection(self, over_network):
        if over_network:
            return http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        return UnixConnection(self.socket)

    @staticmethod
    def send(connection, method, path, body=None, headers=None):
        try:
            connection.request(method, path, body, headers or {})
            response = connection.getresponse()
            return Answer(response.status, response.headers, response.read())
        finally:
            connection.close()

    def lives(self):
        return self.process.poll() is None

    def close(self):
        self.process.terminate()
        self.process.wait(timeout=20)
        self.process.stdout.close()
        shutil.rmtree(self.folder, ignore_errors=True)
        return self.process.returncode
