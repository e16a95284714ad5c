#!/usr/bin/python3
"""Holds the OpenAPI document against the daemon: a whole run with every operation, and every body that the
document does not allow. LEEWARD_BINARY names the binary."""

import json
import unittest

import bad_bodies
from document import Document
from served import Daemon

RUN = {"procedure": "single-point", "direction": "depressurize", "attended": True, "presence_s": 600,
       "dry_run": False, "building": {"name": "Invented", "volume_m3": 400, "envelope_area_m2": 380, "floor_area_m2": 160,
                    "targets": ["passive-house"]},
       "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}}
BODIES = {"RunRequest": RUN, "BaselineRequest": {"duration_s": 5}, "HoldRequest": {"target_pa": 8},
          "ClimbRequest": {"target_pa": 8, "rate_pa_s": 1}, "AnswerRequest": {"answer": "done"},
          "ReportRequest": {"paper": "letter", "units": "ip", "particulars": {"tester": "Nobody"}},
          "SessionRequest": {"token": "x"}, "LearnDriveRequest": {"direction": "depressurize", "volume_m3": 400},
          "ResumeRequest": {"conditions": {"indoor_c": 21, "outdoor_c": 5}}, "HelmRequest": {}, "EmptyRequest": {}, "AnyBody": {}}


class Contract(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.daemon = Daemon(learns_drive=True)
        cls.addClassCleanup(cls.daemon.close)
        cls.document = Document(cls.daemon.call("GET", "/v1/openapi.json").json())
        cls.used = set()

    def ask(self, method, path, body=None, expect=None, **options):
        answer = self.daemon.call(method, path, body, **options)
        self.assertEqual(self.document.check_answer(method, path, answer), [])
        if expect is not None:
            self.assertEqual(answer.status, expect, answer.body[:300])
        self.used.add(self.document.operation(method, path)["operationId"])
        return answer

    def stream(self):
        """A connection that gets all that happens from now on, and that as pairs of name and data."""
        connection = self.daemon.connection(over_network=False)
        connection.request("GET", "/v1/stream")
        return connection, events_of(connection.getresponse())

    def end_of_run(self, kinds):
        """Follows the stream to the result, answers each ask, and checks each event."""
        events = self.document.operation("GET", "/v1/stream")["x-events"]
        connection, happenings = self.stream()
        self.ask("POST", "/v1/runs", RUN, expect=201, headers={"Idempotency-Key": "first"})
        for name, data in happenings:
            self.assertIn(name, events)
            self.assertEqual(self.document.faults(events[name], data), [], name)
            kinds.add(name)
            if name == "ask" and data["state"] == "open":
                self.assertTrue(self.ask("GET", "/v1/asks", expect=200).json()["asks"])
                self.ask("POST", "/v1/asks/" + data["id"], {"answer": "done"}, expect=200)
                self.ask("GET", "/v1/status", expect=200)
            if name == "run" and data["state"] != "running":
                break
        connection.close()

    def test_a_every_operation_answers_as_described(self):
        for path in ("/v1/status", "/v1/healthz", "/v1/readyz", "/metrics", "/v1/session", "/v1/procedures",
                     "/v1/procedures/steady", "/v1/targets", "/v1/runs", "/v1/openapi.json", "/v1/asks"):
            self.ask("GET", path, expect=200)
        self.ask("GET", "/v1/live", expect=400)
        self.used.add("followStream")  # end_of_run reads it
        self.ask("POST", "/v1/runs", dict(RUN, dry_run=True), expect=200)
        self.check_learning()
        kinds = set()
        self.end_of_run(kinds)
        self.assertLessEqual({"sample", "phase", "run", "ask", "baseline", "station", "verdict", "result"}, kinds)
        again = self.ask("POST", "/v1/runs", RUN, expect=201, headers={"Idempotency-Key": "first"})
        self.check_run(again.json()["run_id"])
        self.check_commands()
        self.check_access()
        described = {operation["operationId"] for _, _, operation in self.document.operations()}
        self.assertEqual(described, self.used)

    def check_run(self, run_id):
        at = "/v1/runs/" + run_id
        for path in (at, at + "/trace?points=50", at + "/samples.csv", at + "/report.pdf?paper=letter",
                     at + "/result?units=ip&target=passive-house&decision=guarded"):
            self.ask("GET", path, expect=200)
        self.ask("POST", at + "/report.pdf", BODIES["ReportRequest"], expect=200)
        result = self.ask("GET", at + "/result", expect=200)
        self.ask("GET", at + "/result", expect=304, headers={"If-None-Match": result.headers["ETag"]})
        self.ask("POST", at + "/resume", {}, expect=409)  # it went to its end
        self.ask("POST", "/v1/runs/none/resume", BODIES["ResumeRequest"], expect=404)
        for rest in ("", "/result", "/trace", "/samples.csv", "/report.pdf"):
            self.ask("GET", "/v1/runs/none" + rest, expect=404)

    def check_commands(self):
        self.ask("POST", "/v1/stop", expect=200)
        for path, body in (("/v1/baseline", {"duration_s": 5}), ("/v1/hold", {"target_pa": 8}),
                           ("/v1/climb", {"target_pa": 8, "rate_pa_s": 1}), ("/v1/continue", {}),
                           ("/v1/presence", {}), ("/v1/clear-trip", {}), ("/v1/stop", {})):
            self.assertIn(self.ask("POST", path, body).status, (200, 409))
        self.ask("POST", "/v1/stop", b"{ nonsense", expect=200)

    def check_learning(self):
        """The experiment with the drive: not of a viewer, asked of the crew, found, and ended by a stop."""
        self.ask("POST", "/v1/rig-learn", {}, expect=403, role="viewer")
        self.ask("GET", "/v1/rig-learn", expect=404, role="viewer")
        connection, events = self.stream()
        self.ask("POST", "/v1/rig-learn", BODIES["LearnDriveRequest"], expect=200)
        self.ask("POST", "/v1/rig-learn", {}, expect=409)
        for name, data in events:
            if name == "ask" and data["state"] == "open":
                self.ask("POST", "/v1/asks/" + data["id"], {"answer": "done"}, expect=200)
            if name == "phase" and data["phase"] == "idle":
                break
        connection.close()
        found = self.ask("GET", "/v1/rig-learn", expect=200, role="viewer").json()
        self.assertTrue(found["last_experiment"]["stored"])
        self.ask("POST", "/v1/rig-learn", {}, expect=200)
        self.ask("POST", "/v1/stop", expect=200)
        self.assertEqual(self.ask("GET", "/v1/rig-learn", expect=200).json()["run_id"], found["run_id"])

    def check_access(self):
        self.ask("POST", "/v1/helm", {}, expect=200)
        self.ask("DELETE", "/v1/helm", expect=200)
        self.ask("POST", "/v1/session", {"token": self.daemon.tokens["viewer"]}, expect=409)
        self.ask("POST", "/v1/session", {"token": self.daemon.tokens["viewer"]}, expect=200, role="viewer")
        self.ask("DELETE", "/v1/session", expect=204)

    def test_b_every_wrong_body_is_refused(self):
        tried = 0
        for method, path, operation in self.document.operations():
            content = operation.get("requestBody", {}).get("content", {}).get("application/json")
            if content is None or operation["operationId"] == "stop":  # a stop takes any body
                continue
            name = content["schema"]["$ref"].rsplit("/", 1)[1]
            real = path.replace("{ask_id}", "1").replace("{run_id}", "none")
            for what, body in self.wrong_bodies(operation, name):
                with self.subTest(operation=operation["operationId"], fault=what):
                    self.check_refusal(method, real, body)
                tried += 1
        self.assertTrue(self.daemon.lives())
        self.assertGreater(tried, 500)
        print(f"{tried} wrong bodies refused")

    def wrong_bodies(self, operation, name):
        schema = self.document.inlined(self.document.text["components"]["schemas"][name])
        yield from bad_bodies.bad_bodies(schema, BODIES[name])
        for text in bad_bodies.NOT_JSON:
            if text or operation["requestBody"]["required"]:
                yield "no JSON", text
        yield "deep", bad_bodies.DEEP
        yield "oversized", b" " * 70000
        yield "other type", ("text/plain", b"{}")

    def check_refusal(self, method, path, body):
        headers = {}
        if isinstance(body, tuple):
            headers, body = {"Content-Type": body[0]}, body[1]
        answer = self.daemon.call(method, path, body, headers)
        self.assertEqual(self.document.check_answer(method, path, answer), [])
        self.assertEqual(answer.status // 100, 4, answer.body[:200])
        self.assertEqual(answer.media_type, "application/problem+json")


def events_of(lines):
    name = ""
    for line in lines:
        text = line.decode().rstrip("\n")
        if text.startswith("event: "):
            name = text[7:]
        elif text.startswith("data: "):
            yield name, json.loads(text[6:])


if __name__ == "__main__":
    unittest.main(verbosity=2)
