#!/bin/sh
# Installs what is missing, builds into build-tests/ and runs every test; then each fuzz target briefly.
# usage: sh tests/run.sh
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build-tests

sh "$root/samples/install.sh" --tests
(cd "$root/tests" && npm ci --no-audit --no-fund --loglevel=error)  # an independent JSON Schema validator
cmake -S "$root" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPANEPROOF_TESTS=ON
cmake --build "$build" -j2
ctest --test-dir "$build" --output-on-failure -j2 -E '^sweep_browser$'
# A real browser under a finger made up in real time: where the machine stalls, the finger does too.
ctest --test-dir "$build" --output-on-failure -R '^sweep_browser$' --repeat until-pass:4
sh "$root/tests/fuzz/run.sh"
