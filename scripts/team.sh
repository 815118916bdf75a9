#!/usr/bin/env bash
# A library on PostgreSQL and a store, which the tests start themselves: the program that saves is killed fifty times (or
# as often as the first argument says), and fifty people save at once for sixty seconds (or as the second says).
set -euo pipefail
cd "$(dirname "$0")/.."
export UNDERLID_KILLS="${1:-50}" UNDERLID_LOAD_SECONDS="${2:-60}"
cargo test --locked -p underlid-team-tests --test lasting -- --nocapture --test-threads=1 what_was fifty
