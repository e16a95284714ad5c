"""The example for integrators runs a whole test on a simulated rig and prints its result."""

import json
import pathlib
import subprocess
import sys
import unittest

SOURCE = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(SOURCE / "tests/api-contract"))
from served import Daemon  # noqa: E402

EXAMPLES = SOURCE / "scripts/examples"


class Examples(unittest.TestCase):
    def setUp(self):
        self.daemon = Daemon()
        self.addCleanup(self.daemon.close)

    def token_file(self):
        return str(self.daemon.folder / "operator.token")

    def run_example(self, *command):
        ran = subprocess.run(command, capture_output=True, text=True, timeout=240, env=self.daemon.environment)
        self.assertEqual(ran.returncode, 0, ran.stderr)
        result = json.loads(ran.stdout)
        self.assertEqual(result["state"], "done", ran.stderr)
        self.assertLess(result["q50_m3_h_low"], result["q50_m3_h"])
        self.assertLess(result["q50_m3_h"], result["q50_m3_h_high"])
        self.assertIn("asked: ", ran.stderr)

    def test_python_over_the_socket(self):
        self.run_example(str(EXAMPLES / "follow-test.py"), "--socket", self.daemon.socket)

    def test_python_over_the_network(self):
        self.run_example(str(EXAMPLES / "follow-test.py"), "--url", f"http://127.0.0.1:{self.daemon.port}",
                         "--token-file", self.token_file())


if __name__ == "__main__":
    unittest.main()
