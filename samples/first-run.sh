#!/bin/sh
# From a fresh Debian 12 to two verdicts: installs what is missing, builds, and checks a good and a faulty
# sweep of samples/ with their pictures.
# usage: sh samples/first-run.sh
set -eu
root=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$root/build

sh "$root/samples/install.sh"

echo "Building into build/ (a few minutes the first time)"
mkdir -p "$build/pictures"
log=$build/first-run.log
if ! { cmake -S "$root" -B "$build" -DCMAKE_BUILD_TYPE=Release -DPANEPROOF_TESTS=OFF &&
       cmake --build "$build" -j2; } >"$log" 2>&1; then
  cat "$log" >&2
  exit 70
fi

# check SAMPLE EXIT: prints the verdict with its map, and stops when it is not the one expected.
check() {
  command="build/analyzer/paneproof check samples/$1 --profile samples/kestrel-handheld.profile"
  picture=build/pictures/${1%%.*}.png
  printf '\n$ %s --heatmap %s\n' "$command" "$picture"
  exit_code=0
  (cd "$root" && $command --heatmap "$picture") || exit_code=$?
  if [ "$exit_code" -ne "$2" ]; then
    echo "first-run: exit $exit_code for $1, but $2 was expected" >&2
    exit 70
  fi
}

check good-handheld.getevent.gz 0
check dead-column.evemu.gz 1
printf '\nPictures: %s\n          %s\n' "$build/pictures/good-handheld.png" "$build/pictures/dead-column.png"
echo "More sweeps to try: samples/README.md"
