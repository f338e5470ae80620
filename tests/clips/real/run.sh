#!/bin/sh
# Scores the real recordings against their marked truth, by hand: sh tests/clips/real/run.sh BUILD FOLDER
set -eu
here=$(dirname "$0") build=$1 folder=$2
set --
for truth in "$here"/*.csv; do set -- "$@" "$folder/$(basename "$truth" .csv).gif" "$truth"; done
"$build/tests/score_clip" -v "$@"
