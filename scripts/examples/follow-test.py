#!/usr/bin/env python3
"""Starts a multi-point test, follows it, answers what the crew is asked, prints the result.
Python's standard library only.

  follow-test.py --socket PATH                              on the same machine
  follow-test.py --url http://HOST:PORT --token-file FILE   over the network

It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person
does the act first: show ask["text"], wait for the person, then answer.
"""

import argparse
import http.client
import json
import socket
import sys
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
        else:
            connection = http.client.HTTPConnection(self.url.hostname, self.url.port, timeout=20)
        names = {name.replace("_", "-"): value for name, value in headers.items()}
        text = None if body is None else json.dumps(body)
        connection.request(method, path, text, {**self.headers, **names})
        return connection, connection.getresponse()

    def call(self, method, path, body=None, **headers):
        connection, response = self.open(method, path, body, **headers)
        text = response.read()
        connection.close()
        answer = json.loads(text)
        if response.status >= 400:
            sys.exit(f"{method} {path}: {answer['detail']}. {answer.get('hint', '')}")
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
                connection.close()
            except OSError as error:
                print("connecting again:", error, file=sys.stderr)


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
    if still_open:
        print("asked:", ask["text"], file=sys.stderr)
        leeward.call("POST", "/v1/asks/" + ask["id"], {"answer": "done"})


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--socket")
    parser.add_argument("--url")
    parser.add_argument("--token-file")
    leeward = Leeward(parser.parse_args())
    # The same key again, after an answer that got lost, does not start a second run.
    run_id = leeward.call("POST", "/v1/runs", RUN, Idempotency_Key=str(uuid.uuid4()))["run_id"]
    follow(leeward, run_id, leeward.events(after=None))
    result = leeward.call("GET", f"/v1/runs/{run_id}/result")
    figures = ("run_id", "state", "valid", "q50_m3_h", "q50_m3_h_low", "q50_m3_h_high", "n50_per_h", "n")
    print(json.dumps({key: result[key] for key in figures}))


if __name__ == "__main__":
    main()
