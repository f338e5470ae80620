#!/bin/sh
# Makes recordings with known truth and scores how they are followed, by hand: sh tests/clips/run.sh [BUILD] [SEEDS]
set -eu
build=$(cd "${1:-build-dev}" && pwd) seeds=${2:-7}
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
set --
for style in 0 1; do
  seed=1
  while [ "$seed" -le "$seeds" ]; do
    "$build/tests/make_clip" $style-$seed.mp4 $style-$seed.csv seed=$seed style=$style
    set -- "$@" $style-$seed.mp4 $style-$seed.csv
    seed=$((seed + 1))
  done
done
"$build/tests/score_clip" "$@"
