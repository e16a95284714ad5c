#!/usr/bin/env python3
"""Starts a multi-point test, follows it, answers what the crew is asked, prints the result.
Python's standard library only.

  follow-test.py --socket PATH                              on the same machine
  follow-test.py --url http://HOST:PORT --token-file FILE   over the network; https:// behind a proxy with TLS

It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person
does the act first: show ask["text"], wait for the person, then answer. Ending this program does not stop
the run.
"""

import argparse
import http.client
import json
import socket
import sys
import time
import uuid
from urllib.parse import urlsplit

RUN = {"procedure": "iso-9972", "direction": "depressurize",
       "building": {"name": "House, invented", "volume_m3": 400, "envelope_area_m2": 380},
       "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}}


class UnixConnection(http.client.HTTPConnection):
    def __init__(self, path, timeout):
        super().__init__("localhost", timeout=timeout)
        self.path = path

    def connect(self):
        self.sock = socket.socket(socket.AF_UNIX)
        self.sock.settimeout(self.timeout)
        self.sock.connect(self.path)


class Refused(Exception):
    """The daemon says no, and what to do about it."""


class Leeward:
    def __init__(self, arguments):
        self.socket = arguments.socket
        self.url = urlsplit(arguments.url or "")
        self.headers = {"Content-Type": "application/json"}
        if arguments.token_file:
            with open(arguments.token_file, encoding="ascii") as file:
                self.headers["Authorization"] = "Bearer " + file.read().strip()

    def open(self, method, path, body=None, **headers):
        # The stream says something every 5 s, so a silence of 20 s is a broken connection.
        if self.socket:
            connection = UnixConnection(self.socket, timeout=20)
        elif self.url.scheme == "https":
            connection = http.client.HTTPSConnection(self.url.hostname, self.url.port, timeout=20)
        else:
            connection = http.client.HTTPConnection(self.url.hostname, self.url.port, timeout=20)
        names = {name.replace("_", "-"): value for name, value in headers.items()}
        text = None if body is None else json.dumps(body)
        connection.request(method, path, text, {**self.headers, **names})
        response = connection.getresponse()
        if response.status >= 400:
            problem = json.loads(response.read())
            raise Refused(f"{method} {path}: {problem['detail']} {problem.get('hint', '')}")
        return connection, response

    def call(self, method, path, body=None, **headers):
        connection, response = self.open(method, path, body, **headers)
        answer = json.loads(response.read())
        connection.close()
        return answer

    def events(self, after):
        """Every event after that id as (name, data); connects again where the connection breaks."""
        while True:
            try:
                connection, lines = self.open("GET", "/v1/stream", **({"Last_Event_ID": after} if after else {}))
                yield "connected", {}
                name = ""
                for line in lines:
                    key, _, value = line.decode().rstrip("\n").partition(": ")
                    if key == "id":
                        after = value
                    elif key == "event":
                        name = value
                    elif key == "data":
                        yield name, json.loads(value)
                raise ConnectionError("the stream ended")
            except OSError as error:
                print("connecting again:", error, file=sys.stderr)
                time.sleep(1)


def follow(leeward, run_id, events):
    for name, data in events:
        if name in ("connected", "gap"):
            # What happened before, or was missed, is in the state; what happens from here on is in the stream.
            for ask in leeward.call("GET", "/v1/asks")["asks"]:
                answer(leeward, ask)
            if leeward.call("GET", "/v1/runs/" + run_id)["state"] != "running":
                return
        elif name == "ask" and data["state"] == "open":
            answer(leeward, data)
        elif name == "station" and data["state"] == "done":
            print(f"  {data['induced_pa']:.1f} Pa  {data['flow_m3_s'] * 3600:.0f} m3/h", file=sys.stderr)
        elif name in ("phase", "trip"):
            print(data["text"], file=sys.stderr)
        elif name == "run" and data["run_id"] == run_id and data["state"] != "running":
            return


def answer(leeward, ask):
    # After a broken connection an ask may come twice: only one that is still open is answered.
    still_open = any(other["id"] == ask["id"] for other in leeward.call("GET", "/v1/asks")["asks"])
    if not still_open:
        return
    print("asked:", ask["text"], file=sys.stderr)
    try:
        leeward.call("POST", "/v1/asks/" + ask["id"], {"answer": "done"})
    except Refused as refused:  # another may have answered it
        print(refused, file=sys.stderr)


def run_test(leeward):
    # The same key again, after an answer that got lost, does not start a second run.
    run_id = leeward.call("POST", "/v1/runs", RUN, Idempotency_Key=str(uuid.uuid4()))["run_id"]
    follow(leeward, run_id, leeward.events(after=None))
    result = leeward.call("GET", f"/v1/runs/{run_id}/result")
    figures = ("run_id", "state", "valid", "q50_m3_h", "q50_m3_h_low", "q50_m3_h_high", "n50_per_h", "n")
    print(json.dumps({key: result[key] for key in figures}))
    return 0 if result["state"] == "done" else 1


def main():
    parser = argparse.ArgumentParser()
    where = parser.add_mutually_exclusive_group(required=True)
    where.add_argument("--socket")
    where.add_argument("--url")
    parser.add_argument("--token-file")
    try:
        return run_test(Leeward(parser.parse_args()))
    except Refused as refused:
        return str(refused)
    except OSError as error:
        return f"no answer ({error}): is the daemon running? leeward serve says where it listens"


if __name__ == "__main__":
    sys.exit(main())
