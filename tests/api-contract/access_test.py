#!/usr/bin/python3
"""Who is kept out, and that whoever crowds the door does not make the control tick late.
LEEWARD_BINARY names the binary."""

import contextlib
import socket
import time
import unittest

from document import Document
from served import Daemon

IDLE_CONNECTIONS = 1000
WATCHED_S = 3  # of each half of the comparison: figures, no verdict


class Access(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.daemon = Daemon()
        cls.addClassCleanup(cls.daemon.close)
        cls.document = Document(cls.daemon.call("GET", "/v1/openapi.json").json())

    def over_network(self, method, path, headers, body=None):
        answer = self.daemon.send(self.daemon.connection(True), method, path, body, headers)
        self.assertEqual(self.document.check_answer(method, path, answer), [])
        return answer

    def bearer(self, role):
        return {"Authorization": "Bearer " + self.daemon.tokens[role]}

    def test_without_a_token_nothing_is_told_and_nothing_is_done(self):
        for method, path, operation in self.document.operations():
            if operation["x-needs"] == "nothing":
                continue
            real = path.replace("{run_id}", "none").replace("{ask_id}", "1").replace("{name}", "steady")
            with self.subTest(method=method, path=path):
                answer = self.over_network(method, real, {})
                self.assertIn(answer.status, (401, 429))
                self.assertEqual(answer.media_type, "application/problem+json")

    def test_a_wrong_token_is_refused_until_the_address_may_not_try_any_more(self):
        statuses = {self.over_network("GET", "/v1/status", {"Authorization": "Bearer wrong"}).status
                    for _ in range(12)}
        self.assertLessEqual(statuses, {401, 429})

    def test_a_viewer_reads_but_commands_nothing(self):
        self.assertEqual(self.over_network("GET", "/v1/status", self.bearer("viewer")).status, 200)
        for method, path, operation in self.document.operations():
            if operation["x-needs"] not in ("operating", "helm"):
                continue
            with self.subTest(method=method, path=path):
                answer = self.over_network(method, path.replace("{ask_id}", "1"), self.bearer("viewer"))
                self.assertEqual((answer.status, answer.json()["code"]), (403, "viewer"))

    def test_a_foreign_page_and_a_foreign_name_are_refused(self):
        page = dict(self.bearer("operator"), Origin="http://elsewhere.example")
        name = dict(self.bearer("operator"), Host="rebound.example")
        self.assertEqual(self.over_network("POST", "/v1/stop", page).json()["code"], "foreign_origin")
        self.assertEqual(self.over_network("GET", "/v1/status", name).json()["code"], "wrong_host")

    def test_an_oversize_body_and_header_are_refused(self):
        headers = dict(self.bearer("operator"), **{"Content-Type": "application/json"})
        large = self.over_network("POST", "/v1/hold", headers, b" " * 100_000)
        wide = self.over_network("GET", "/v1/status", dict(headers, Wide="x" * 20_000))
        self.assertEqual((large.status, wide.status), (413, 431))

    def test_a_header_that_never_ends_is_cut_off(self):
        with socket.create_connection(("127.0.0.1", self.daemon.port)) as slow:
            slow.sendall(b"GET /v1/status HTTP/1.1\r\nHost: localhost\r\nSlow: ")
            slow.settimeout(60)
            begin = time.monotonic()
            rest = slow.recv(4096)  # an answer or the end, but something comes
        print(f"a header that stops half way: cut off after {time.monotonic() - begin:.1f} s, {len(rest)} bytes")

    def late_ticks_while_watched(self):
        """Late ticks, and the greatest age of the last tick, in a few seconds of reading the status."""
        begin = self.daemon.call("GET", "/v1/status").json()["late_ticks"]
        oldest_s = 0.0
        end = time.monotonic() + WATCHED_S
        while time.monotonic() < end:
            status = self.daemon.call("GET", "/v1/status").json()
            oldest_s = max(oldest_s, status["tick_age_s"])
        return status["late_ticks"] - begin, oldest_s

    def test_a_thousand_idle_connections_leave_the_tick_alone(self):
        late_before, oldest_before_s = self.late_ticks_while_watched()
        with contextlib.ExitStack() as stack:
            for _ in range(IDLE_CONNECTIONS):
                idle = stack.enter_context(socket.socket())
                idle.setblocking(False)
                idle.connect_ex(("127.0.0.1", self.daemon.port))
            late, oldest_s = self.late_ticks_while_watched()
            stopped = self.daemon.call("POST", "/v1/stop")
        print(f"late ticks in {WATCHED_S} s: {late_before} without, {late} with {IDLE_CONNECTIONS} idle connections; "
              f"oldest tick {oldest_before_s * 1e3:.1f} and {oldest_s * 1e3:.1f} ms")
        self.assertEqual(stopped.status, 200)
        self.assertTrue(self.daemon.lives())


if __name__ == "__main__":
    unittest.main(verbosity=2)
