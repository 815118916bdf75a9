#!/usr/bin/env bash
# Fifty editors at once for a minute (or as many, for as many seconds, as the arguments say), through the server, on a
# library in SQLite: what each was answered is held against what the library holds, and the library is verified.
set -euo pipefail
cd "$(dirname "$0")/.."
export UNDERLID_EDITORS="${1:-50}" UNDERLID_EDITORS_SECONDS="${2:-60}"
cargo test --locked -p underlid-workbench --test editors -- --nocapture
