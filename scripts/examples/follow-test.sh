#!/usr/bin/env bash
# Starts a multi-point test, follows it, answers what the crew is asked, prints the result. curl and jq only.
#
#   follow-test.sh SOCKET                       on the same machine
#   follow-test.sh http://HOST:PORT TOKEN_FILE  over the network; https:// behind a proxy with TLS
#
# It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person does the
# act first: show the ask's text, wait for the person, then answer. Ending this script does not stop the run.
set -euo pipefail

usage="usage: follow-test.sh SOCKET | follow-test.sh http://HOST:PORT TOKEN_FILE"
header=$(mktemp)
news_pid=
# curl would wait for news for ever, and hold this script's outputs open.
trap 'rm -f "$header"; [ -z "$news_pid" ] || kill "$news_pid" 2>/dev/null || true' EXIT

case ${1:?"$usage"} in
  http://* | https://*)
    # In a file, so that the token shows in no list of processes.
    printf 'Authorization: Bearer %s\n' "$(cat "${2:?"$usage"}")" >"$header"
    url=${1%/} reach=() ;;
  *) url=http://leeward reach=(--unix-socket "$1") ;;
esac
curl=(curl --silent --show-error "${reach[@]}" --header "@$header")

call() {  # METHOD PATH [BODY [HEADER]]
  local answer
  if answer=$("${curl[@]}" --fail-with-body --max-time 20 --request "$1" "$url$2" \
    ${3:+--header 'Content-Type: application/json' --data "$3"} ${4:+--header "$4"}); then
    printf '%s\n' "$answer"
  elif [ -n "$answer" ]; then
    jq --raw-output '"\(.detail) \(.hint // "")"' <<<"$answer" >&2
    return 1
  else
    echo "no answer: is the daemon running? leeward serve says where it listens" >&2
    return 1
  fi
}

answer_open_asks() {
  call GET /v1/asks | jq --raw-output '.asks[] | "\(.id) \(.text)"' | while read -r id text; do
    echo "asked: $text" >&2
    call POST "/v1/asks/$id" '{"answer": "done"}' >/dev/null || true  # another may have answered it
  done
}

look_whether_over() {
  state=$(call GET "/v1/runs/$run" | jq --raw-output .state)
}

take_event() {  # NAME DATA
  case $1 in
    ask) [ "$(jq --raw-output .state <<<"$2")" != open ] || answer_open_asks ;;
    station) jq --raw-output 'select(.state == "done") | "  \(.induced_pa * 10 | round / 10) Pa  \(.flow_m3_s * 3600 | round) m3/h"' <<<"$2" >&2 ;;
    phase | trip) jq --raw-output .text <<<"$2" >&2 ;;
    run) look_whether_over ;;
    # What happened before, or was missed, is in the state; what happens from here on is in the stream.
    connected | gap) answer_open_asks; look_whether_over ;;
  esac
}

follow() {  # until the run is over or the connection breaks
  # The stream says something every 5 s, so a silence of 20 s is a broken connection.
  exec {news}< <(exec "${curl[@]}" --fail --no-buffer --speed-limit 1 --speed-time 20 \
    ${last_id:+--header "Last-Event-ID: $last_id"} "$url/v1/stream")
  news_pid=$!
  while [ "$state" = running ] && IFS= read -r line <&"$news"; do
    case $line in
      ': hello') take_event connected '' ;;
      'id: '*) last_id=${line#id: } ;;
      'event: '*) event=${line#event: } ;;
      'data: '*) take_event "$event" "${line#data: }" ;;
    esac
  done
  kill "$news_pid" 2>/dev/null || true
  news_pid=
  exec {news}<&-
}

body='{"procedure": "iso-9972", "direction": "depressurize",
  "building": {"name": "House, invented", "volume_m3": 400, "envelope_area_m2": 380},
  "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}}'
# The same key again, after an answer that got lost, does not start a second run.
key=$(cat /proc/sys/kernel/random/uuid)
run=$(call POST /v1/runs "$body" "Idempotency-Key: $key" | jq --raw-output .run_id)
state=running
last_id=
while [ "$state" = running ]; do
  follow
  [ "$state" != running ] || { echo "connecting again" >&2; sleep 1; }
done

call GET "/v1/runs/$run/result" |
  jq --compact-output '{run_id, state, valid, q50_m3_h, q50_m3_h_low, q50_m3_h_high, n50_per_h, n}'
[ "$state" = "done" ]
