#!/usr/bin/env bash
# Starts a multi-point test, follows it, answers what the crew is asked, prints the result. curl and jq only.
#
#   follow-test.sh SOCKET                       on the same machine
#   follow-test.sh http://HOST:PORT TOKEN_FILE  over the network
#
# It answers every ask with `done` at once. That is right for a simulated rig. With a real fan a person does the
# act first: show the ask's text, wait for the person, then answer.
set -euo pipefail

where=${1:?a socket, or http://HOST:PORT and a token file}
case $where in
  http://* | https://*)
    url=$where
    socket_options=()
    header="Authorization: Bearer $(cat "${2:?a token file}")"
    ;;
  *)
    url=http://leeward
    socket_options=(--unix-socket "$where")
    header='Accept: */*'
    ;;
esac

# The header comes from a file of its own, so that the token shows in no list of processes.
request() {
  curl --silent --show-error "${socket_options[@]}" --header @<(printf '%s\n' "$header") "$@"
}
call() {  # METHOD PATH [BODY] [HEADER]
  request --fail-with-body --request "$1" ${3:+--header 'Content-Type: application/json' --data "$3"} \
    ${4:+--header "$4"} "$url$2"
}

answer_open_asks() {
  call GET /v1/asks | jq --raw-output '.asks[] | "\(.id)\t\(.text)"' | while IFS=$'\t' read -r id text; do
    printf 'asked: %s\n' "$text" >&2
    call POST "/v1/asks/$id" '{"answer": "done"}' >/dev/null || true
  done
}

body='{"procedure": "iso-9972", "direction": "depressurize",
  "building": {"name": "House, invented", "volume_m3": 400, "envelope_area_m2": 380},
  "conditions": {"indoor_c": 21, "outdoor_c": 4, "altitude_m": 250}}'
# The same key again, after an answer that got lost, does not start a second run.
run=$(call POST /v1/runs "$body" "Idempotency-Key: $(cat /proc/sys/kernel/random/uuid)" | jq --raw-output .run_id)

# Each event that is no reading may have opened an ask or ended the run; the stream itself says when to look.
is_over() { [ "$(call GET "/v1/runs/$run" | jq --raw-output .state)" != running ]; }
answer_open_asks
event=sample
while ! is_over; do
  while IFS= read -r line; do
    case $line in
      'event: sample' | 'id: '* | '' | ':'*) continue ;;
      'event: '*) event=${line#event: } ;;
      'data: '*)
        [ "$event" = phase ] && jq --raw-output .text <<<"${line#data: }" >&2
        [ "$event" = ask ] && answer_open_asks
        [ "$event" = run ] && is_over && break
        event=sample
        ;;
    esac
  done < <(request --no-buffer "$url/v1/stream")
  answer_open_asks
done
call GET "/v1/runs/$run/result" | jq --compact-output '{run_id, state, valid, q50_m3_h, q50_m3_h_low, q50_m3_h_high, n50_per_h, n}'
