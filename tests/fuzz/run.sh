#!/bin/sh
# Builds the fuzz targets into build-fuzz/ and runs each for a few seconds under the address and
# undefined-behaviour sanitizers. Every kept regression is replayed first. Exit 1 on a crash, a leak, a
# hang or a broken promise; the input that did it stays in build-fuzz/found/TARGET/.
# usage: sh tests/fuzz/run.sh [SECONDS [TARGET...]]     6 seconds and all targets when left out
set -eu
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
root=$(CDPATH='' cd -- "$here/../.." && pwd)
build=${PANEPROOF_FUZZ_BUILD:-$root/build-fuzz}
seconds=${1:-6}
[ $# -eq 0 ] || shift
targets=${*:-getevent evtest evemu input_event libinput_record pointer_jsonl inkml csv axes settings check}

# -O1 without NDEBUG: quick to build, and assertions count.
cmake -S "$root" -B "$build" -DCMAKE_C_COMPILER=clang-14 -DCMAKE_CXX_COMPILER=clang++-14 \
  -DCMAKE_BUILD_TYPE=Fuzz -DCMAKE_CXX_FLAGS_FUZZ='-O1 -gline-tables-only' \
  -DPANEPROOF_FUZZ=ON -DPANEPROOF_TESTS=OFF >"$build.log" 2>&1 || { cat "$build.log" >&2; exit 1; }
rm -f "$build.log"
cmake --build "$build" --target fuzz -j2

# One target a call, so that xargs can run two at a time.
one='
target=$1 seconds=$2 here=$3 build=$4
found=$build/found/$target grown=$build/grown/$target log=$build/$target.log
mkdir -p "$found" "$grown"
bounds="-max_len=16384 -rss_limit_mb=512 -malloc_limit_mb=512 -timeout=10"
export ASAN_OPTIONS=quarantine_size_mb=32  # or freed memory would count against the bound
fuzz() { "$build/tests/fuzz/fuzz_$target" $bounds -artifact_prefix="$found/" "$@" >"$log" 2>&1; }
fail() {
  echo "FAILED $target: $1" >&2
  grep -v "^#\|^NEW\|^REDUCE" "$log" | tail -n 40 >&2
  exit 1
}
if [ -d "$here/regressions/$target" ]; then
  fuzz "$here/regressions/$target"/* || fail "a regression is back"
fi
case $target in
  getevent|evtest|evemu|axes) words=kernel_text ;;
  check) words=csv ;;
  *) words=$target ;;
esac
fuzz -dict="$here/dictionaries/$words.dict" -seed=1 -max_total_time="$seconds" -print_final_stats=1 \
  "$grown" "$here/corpus/$target" || fail "the input is in $found"
awk -v t="$target" "/number_of_executed_units/ { n = \$2 } /average_exec_per_sec/ { r = \$2 }
  END { printf \"%-16s %9d inputs, %6d a second\n\", t, n, r }" "$log"'

printf '%s\n' $targets | xargs -P2 -I{} sh -eu -c "$one" fuzz {} "$seconds" "$here" "$build" || {
  echo "fuzz: failed. Fix it and keep its input as a file of tests/fuzz/regressions/TARGET/." >&2
  exit 1
}
