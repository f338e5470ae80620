#!/bin/sh
# Makes recordings with known truth and scores how they are followed, by hand: sh tests/clips/run.sh [BUILD] [SEEDS]
set -eu
build=$(cd "${1:-build-dev}" && pwd) seeds=${2:-8}
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
set --
for style in 0 1; do
  seed=1
  while [ "$seed" -le "$seeds" ]; do
    for number in $seed $((seed + 20)); do
      "$build/tests/make_clip" $style-$number.mp4 $style-$number.csv seed=$number style=$style
      set -- "$@" $style-$number.mp4 $style-$number.csv
    done
    seed=$((seed + 1))
  done
done
"$build/tests/score_clip" "$@"
