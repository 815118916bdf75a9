#!/bin/sh
# Kills a program that saves to a library 200 times; the tests do it 20 times.
# Usage: scripts/kills.sh [COUNT]
set -eu
cd "$(dirname "$0")/.."
UNDERLID_KILLS="${1:-200}" exec cargo test --locked -p underlid-library --test kills -- --nocapture what_was_answered
