#!/usr/bin/env bash
# Kills runs of each command that writes, a hundred times each (or as often as the first argument says), and
# prints where the kills landed. The tests of every day do the same ten times each.
set -euo pipefail
cd "$(dirname "$0")/.."
export UNDERLID_KILLS="${1:-100}"
cargo test --locked -p underlid --test kills -- --nocapture --test-threads=1
