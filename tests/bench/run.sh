#!/bin/sh
# Builds a release and prints speed and memory: CPU times, ratios, peaks. Needs 210 MB of scratch in TMPDIR.
# usage: sh tests/bench/run.sh [BUILD]
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)
build=${1:-$root/build-tests}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

cmake -S "$root" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPANEPROOF_TESTS=ON >/dev/null
cmake --build "$build" -j2 --target paneproof paneproof_bench >&2
"$build/tests/paneproof_bench" "$build/analyzer/paneproof" "$scratch"
