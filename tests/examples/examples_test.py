"""Each example for integrators runs a whole test on a simulated rig and prints its result."""

import json
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

from cutting_relay import CuttingRelay

SOURCE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "tests/api-contract"))
from served import Daemon, free_port  # noqa: E402

EXAMPLES = SOURCE / "scripts/examples"
# Of the phase that is about to ask for the look-round: whoever does not connect again is never done.
IN_MID_RUN = b"Phase look_round"


def python(socket=None, port=None, token_file=None):
    where = ["--socket", socket] if socket else ["--url", f"http://127.0.0.1:{port}", "--token-file", token_file]
    return [str(EXAMPLES / "follow-test.py"), *where]


def curl(socket=None, port=None, token_file=None):
    where = [socket] if socket else [f"http://127.0.0.1:{port}", token_file]
    return [str(EXAMPLES / "follow-test.sh"), *where]


def asio(socket=None, port=None, token_file=None):
    where = [socket] if socket else ["127.0.0.1", str(port), token_file]
    return [os.environ["FOLLOW_TEST_BINARY"], *where]


EVERY_EXAMPLE = (python, curl, asio)


class WholeTest(unittest.TestCase):
    def setUp(self):
        self.daemon = Daemon(speed=60)
        self.addCleanup(self.daemon.close)

    def run_example(self, command):
        ran = subprocess.run(command, capture_output=True, text=True, timeout=240)
        self.assertEqual(ran.returncode, 0, ran.stderr)
        result = json.loads(ran.stdout)
        self.assertEqual(result["state"], "done", ran.stderr)
        self.assertLess(result["q50_m3_h_low"], result["q50_m3_h"])
        self.assertLess(result["q50_m3_h"], result["q50_m3_h_high"])
        self.assertIn("asked: ", ran.stderr)
        return ran.stderr

    def over_the_socket(self, example):
        self.run_example(example(socket=self.daemon.socket))

    def over_a_network_that_breaks(self, example):
        relay = CuttingRelay(self.daemon.port, IN_MID_RUN)
        self.addCleanup(relay.close)
        said = self.run_example(example(port=relay.port, token_file=str(self.daemon.folder / "operator.token")))
        self.assertIn("connecting again", said)

    def test_python_over_the_socket(self):
        self.over_the_socket(python)

    def test_python_over_a_network_that_breaks(self):
        self.over_a_network_that_breaks(python)

    def test_curl_over_the_socket(self):
        self.over_the_socket(curl)

    def test_curl_over_a_network_that_breaks(self):
        self.over_a_network_that_breaks(curl)

    def test_asio_over_the_socket(self):
        self.over_the_socket(asio)

    def test_asio_over_a_network_that_breaks(self):
        self.over_a_network_that_breaks(asio)


class Refusal(unittest.TestCase):
    """Whatever stands in the way is said together with what to do about it."""

    def says(self, command):
        ran = subprocess.run(command, capture_output=True, text=True, timeout=60)
        self.assertEqual(ran.returncode, 1, ran.stderr)
        self.assertEqual(ran.stdout, "")
        self.assertNotIn("Traceback", ran.stderr)
        return ran.stderr

    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="leeward-examples-")
        self.addCleanup(folder.cleanup)
        self.wrong_token = pathlib.Path(folder.name) / "wrong.token"
        self.wrong_token.write_text("not-a-token\n")

    def test_no_daemon(self):
        for example in EVERY_EXAMPLE:
            with self.subTest(example=example.__name__):
                self.assertIn("is the daemon running?", self.says(example(socket="/nowhere/api.sock")))
                said = self.says(example(port=free_port(), token_file=str(self.wrong_token)))
                self.assertIn("is the daemon running?", said)

    def test_no_right_and_no_room(self):
        daemon = Daemon()
        self.addCleanup(daemon.close)
        self.assertEqual(daemon.call("POST", "/v1/baseline", {"duration_s": 600}).status, 200)
        for example in EVERY_EXAMPLE:
            with self.subTest(example=example.__name__):
                said = self.says(example(port=daemon.port, token_file=str(self.wrong_token)))
                self.assertIn("make one with leeward token", said)
                said = self.says(example(port=daemon.port, token_file=str(daemon.folder / "viewer.token")))
                self.assertIn("use a token of the role operator", said)
                self.assertIn("Stop it, or wait", self.says(example(socket=daemon.socket)))


if __name__ == "__main__":
    unittest.main()
