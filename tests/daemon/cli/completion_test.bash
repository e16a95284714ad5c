#!/usr/bin/env bash
# The completion as bash itself would call it: words in, COMPREPLY out.
#   LEEWARD_BINARY=build/release/leeward tests/daemon/cli/completion_test.bash
set -uo pipefail
cd "$(dirname "$0")/../../.."
folder=$(mktemp -d)
daemon=
end() {
  if [ -n "$daemon" ]; then kill "$daemon" 2>/dev/null; wait "$daemon" 2>/dev/null; fi
  rm -rf "$folder"
}
trap end EXIT
export LEEWARD_CONFIG_DIR=$PWD/config STATE_DIRECTORY=$folder/state
source <("$LEEWARD_BINARY" help --completion bash)
bad=0

# The last word is the one being written.
complete_line() {
  COMP_WORDS=("$LEEWARD_BINARY" "$@")
  COMP_CWORD=$#
  COMPREPLY=()
  _leeward
}
# expect "WORDS OF THE REPLY" LINE...
expect() {
  local want=$1
  shift
  complete_line "$@"
  local got="${COMPREPLY[*]}"
  if [ "$got" != "$want" ]; then
    printf 'leeward %s\n  wanted: %s\n  got:    %s\n' "$*" "$want" "$got" >&2
    bad=1
  fi
}
# expect_among WORD LINE...
expect_among() {
  local want=$1
  shift
  complete_line "$@"
  local reply
  for reply in "${COMPREPLY[@]}"; do [ "$reply" = "$want" ] && return; done
  printf 'leeward %s\n  wanted: %s\n  among:  %s\n' "$*" "$want" "${COMPREPLY[*]}" >&2
  bad=1
}

expect "status stop" st
expect_among watch ""
expect "--look-round-done" hold 10 --look
expect "--socket" hold --so
expect "depressurize pressurize both" run iso-9972 --direction ""
expect "pressurize" hold 10 --direction = p
expect "a4" report run-1 --paper a
expect "steady steps-60-10" run ste
expect_among iso-9972 --json run iso
expect "passive-house" result run-1 --target passive-h
expect "aecb-1,passive-house" result run-1 --target aecb-1,passive-h
expect "config/rigs/simulated.toml" serve --config config/rigs/sim
expect "config/rigs/simulated.toml" check config/fans/demo-fan.toml config/rigs/sim
expect "bash" help --completion ""
expect "clear-trip" help clear
expect "" hold 1
expect "" run steady --indoor-c ""

# What only a daemon knows.
coproc serve { exec "$LEEWARD_BINARY" serve --config config/rigs/simulated.toml --socket "$folder/s" 2>/dev/null; }
daemon=$serve_PID
read -r -t 30 ready <&"${serve[0]}" || { echo "the daemon did not get ready" >&2; exit 1; }
"$LEEWARD_BINARY" baseline --seconds 5 --socket "$folder/s" >/dev/null
"$LEEWARD_BINARY" stop --socket "$folder/s" >/dev/null
run=$("$LEEWARD_BINARY" runs --json --socket "$folder/s" | grep -o 'run-[0-9-]*' | head -1)
[ -n "$run" ] || { echo "the daemon has no run" >&2; bad=1; }
expect "$run" result --socket "$folder/s" run
[ $bad -eq 0 ] && echo "the completion is as it should be"
exit $bad
