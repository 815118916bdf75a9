#!/usr/bin/env bash
# Kills a program that saves to a library, and one that saves to a dossier in its own folder, two hundred times each
# (or as often as the first argument says). The tests of every day do the same twenty times each.
set -euo pipefail
cd "$(dirname "$0")/.."
export UNDERLID_KILLS="${1:-200}"
cargo test --locked -p underlid-library --test kills -- --nocapture --test-threads=1 what_was_answered
