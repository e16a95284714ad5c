#!/usr/bin/env python3
"""`leeward watch` on a real terminal, through a pipe and as JSON, against a real daemon on the simulated house.

    LEEWARD_BINARY=build/release/leeward tests/daemon/cli/watch_terminal_test.py
"""

import fcntl
import json
import os
import pty
import re
import select
import signal
import struct
import subprocess
import tempfile
import termios
import time
import unittest

SOURCE = os.path.abspath(os.path.join(os.path.dirname(__file__), "../../.."))
BINARY = os.path.abspath(os.environ.get("LEEWARD_BINARY", os.path.join(SOURCE, "build/release/leeward")))
LONGEST_S = 40


class Screen:
    """What stands on the terminal: the last frame, without its escape sequences."""

    def __init__(self, arguments, environment, width=80, height=24):
        self.master, slave = pty.openpty()
        self.resize(width, height)
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        self.raw = ""
        self.process = subprocess.Popen(
            arguments, stdin=slave, stdout=slave, stderr=slave, env=environment, start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(slave, termios.TIOCSCTTY, 0))

    def resize(self, width, height):
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))

    def read(self):
        if select.select([self.master], [], [], 0.2)[0]:
            try:
                self.raw += os.read(self.master, 65536).decode("utf-8", "replace")
            except OSError:
                pass

    def frame(self):
        last = self.raw.rfind("\x1b[H")
        return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", self.raw[max(last, 0):])

    def await_text(self, pattern, longest_s=LONGEST_S):
        end = time.monotonic() + longest_s
        while time.monotonic() < end:
            if re.search(pattern, self.frame(), re.S):
                return self.frame()
            self.read()
        raise AssertionError(f"never saw {pattern}; the screen shows\n{self.frame()}")

    def press(self, letter):
        os.write(self.master, letter.encode())

    def leave(self):
        code = self.process.wait(LONGEST_S)
        self.read()
        return code

    def echoes(self):
        return bool(termios.tcgetattr(self.slave)[3] & termios.ECHO)

    def close(self):
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.slave)
        os.close(self.master)


class WatchTest(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.socket = os.path.join(self.folder.name, "s")
        self.environment = {**os.environ, "STATE_DIRECTORY": self.folder.name + "/state", "TERM": "xterm",
                            "LEEWARD_CONFIG_DIR": SOURCE + "/config", "LC_ALL": "C.UTF-8"}
        self.screens = []
        self.daemon = None
        self.serve()

    def tearDown(self):
        for screen in self.screens:
            screen.close()
        self.stop_daemon()
        self.folder.cleanup()

    def serve(self):
        self.daemon = subprocess.Popen([BINARY, "serve", "--socket", self.socket], env=self.environment,
                                       stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        self.assertTrue(self.daemon.stdout.readline().startswith("ready"))

    def stop_daemon(self):
        if self.daemon:
            self.daemon.terminate()
            self.daemon.wait()
            self.daemon.stdout.close()
            self.daemon = None

    def command(self, *words):
        return subprocess.run([BINARY, *words, "--socket", self.socket], env=self.environment,
                              capture_output=True, text=True, timeout=LONGEST_S)

    def watch(self, **size):
        screen = Screen([BINARY, "watch", "--socket", self.socket], self.environment, **size)
        self.screens.append(screen)
        return screen

    def test_leaves_the_terminal_as_it_was_and_the_daemon_as_it_is(self):
        screen = self.watch()
        screen.await_text("Idle, the fan is off.*Ctrl-C leaves")
        self.assertFalse(screen.echoes())

        screen.press("\x03")

        self.assertEqual(screen.leave(), 0)
        self.assertTrue(screen.echoes())
        for given_back in ("\x1b[?1049l", "\x1b[?25h", "\x1b[?7h"):
            self.assertGreater(screen.raw.rfind(given_back), screen.raw.rfind("\x1b[H"))
        self.assertIn("leeward stop", screen.raw[screen.raw.rfind("\x1b[?1049l"):])
        self.assertEqual(self.command("status").returncode, 0)

    def test_follows_the_size_of_the_terminal(self):
        screen = self.watch()
        screen.await_text("Ctrl-C leaves this view. leeward stop stops the fan.")

        screen.resize(40, 12)

        frame = screen.await_text("Ctrl-C leaves. leeward stop: fan off.")
        lines = [line.rstrip("\r") for line in frame.split("\n")]
        self.assertLessEqual(len(lines), 12)
        self.assertLessEqual(max(map(len, lines)), 40, lines)

    def test_says_since_when_it_has_no_contact_and_goes_on(self):
        screen = self.watch()
        screen.await_text("Idle, the fan is off")

        self.stop_daemon()
        screen.await_text(r"NO CONTACT since \d\d:\d\d:\d\d")
        self.serve()

        screen.await_text(r"^(?!.*NO CONTACT).*Idle, the fan is off")

    def test_shows_what_a_command_does(self):
        screen = self.watch()
        screen.await_text("Idle, the fan is off")

        self.assertEqual(self.command("baseline", "--seconds", "600").returncode, 0)

        screen.await_text("Measuring the zero-flow pressure")

    def piped(self, *options):
        return subprocess.Popen([BINARY, "watch", "--socket", self.socket, *options], env=self.environment,
                                stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)

    def test_prints_a_line_for_each_change_into_a_pipe(self):
        watch = self.piped()
        self.assertEqual(watch.stdout.readline(), "Idle, the fan is off\n")

        self.command("baseline", "--seconds", "600")

        line = watch.stdout.readline()
        while "baseline" not in line:
            line = watch.stdout.readline()
        self.assertNotIn("\x1b", line)
        watch.send_signal(signal.SIGINT)
        self.assertIn("leeward stop", watch.communicate(timeout=LONGEST_S)[1])
        self.assertEqual(watch.returncode, 0)

    def test_prints_the_stream_as_json_and_loses_no_event_while_it_stands_still(self):
        watch = self.piped("--json")
        first = json.loads(watch.stdout.readline())
        self.assertEqual(set(first), {"id", "event", "data"})
        watch.send_signal(signal.SIGSTOP)
        self.command("baseline", "--seconds", "600")
        self.command("stop")
        watch.send_signal(signal.SIGCONT)

        phases = []
        while phases[-1:] != ["idle"]:
            item = json.loads(watch.stdout.readline())
            if item["event"] == "phase":
                phases.append(item["data"]["phase"])

        self.assertIn("baseline", phases)
        watch.send_signal(signal.SIGTERM)
        watch.communicate(timeout=LONGEST_S)
        self.assertEqual(watch.returncode, 0)

    def test_without_a_daemon_says_the_next_step(self):
        self.stop_daemon()

        watch = self.command("watch")

        self.assertEqual(watch.returncode, 69)
        self.assertIn("leeward serve", watch.stderr)


if __name__ == "__main__":
    unittest.main()
