#!/usr/bin/env bash
# Tries anything at the readers of what comes from outside: every target for ten minutes, two at a time.
#
# usage: scripts/fuzz.sh [SECONDS [TARGET ...]]
#
# Needs a nightly compiler and cargo-fuzz. What is found is kept in fuzz/artifacts/TARGET; put the input into
# fuzz/seeds/TARGET once it is mended, and the tests replay it from then on. Without the address sanitizer: nothing here is
# unsafe, and a fault is a panic, a hang of more than 20 s or more than 3 GB of memory.
set -euo pipefail
cd "$(dirname "$0")/.."
seconds="${1:-600}"
[ $# -gt 0 ] && shift
targets=("$@")
[ "${#targets[@]}" -gt 0 ] || targets=(dossier edits archives uploads)
export CARGO_INCREMENTAL=0
options=(--sanitizer none)
for target in "${targets[@]}"; do
  cargo +nightly fuzz build "${options[@]}" "$target"
done
try() {
  mkdir -p "fuzz/corpus/$1"
  local log="fuzz/corpus/$1.log"
  if cargo +nightly fuzz run "${options[@]}" "$1" "fuzz/corpus/$1" "fuzz/seeds/$1" -- \
    -max_total_time="$seconds" -timeout=20 -rss_limit_mb=3000 -print_final_stats=1 >"$log" 2>&1; then
    echo "$1: nothing found"
  else
    echo "$1: found something, see fuzz/artifacts/$1 and $log"
    return 1
  fi
  grep -E "Done [0-9]+ runs|number_of_executed_units|peak_rss_mb" "$log"
}
failed=0
for ((at = 0; at < ${#targets[@]}; at += 2)); do
  pids=()
  for target in "${targets[@]:at:2}"; do
    try "$target" &
    pids+=($!)
  done
  for pid in "${pids[@]}"; do wait "$pid" || failed=1; done
done
exit "$failed"
