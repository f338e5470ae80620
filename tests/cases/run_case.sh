#!/bin/sh
# Runs one golden case of the command line in an empty folder and compares what comes out.
# usage: run_case.sh PROGRAM CASE SOURCE SCRATCH
#
# CASE holds `command` (shell text; `paneproof`, samples/ and data/ = tests/data are at hand), the expected
# `stdout` and `stderr` (a file that is missing stands for nothing printed) and `exit`.
# With PANEPROOF_UPDATE_CASES=1 the expected files are written anew: look at the difference before it is kept.
set -eu
program=$1 case=$2 source=$3 scratch=$4

rm -rf "$scratch"
mkdir -p "$scratch/bin" "$scratch/run"
ln -s "$program" "$scratch/bin/paneproof"
ln -s "$source/samples" "$scratch/run/samples"
ln -s "$source/tests/data" "$scratch/run/data"

exit_code=0
(cd "$scratch/run" && PATH="$scratch/bin:$PATH" LC_ALL=C sh -u "$case/command" </dev/null) \
  >"$scratch/stdout" 2>"$scratch/stderr" || exit_code=$?
echo "$exit_code" >"$scratch/exit"

differs=0
for name in exit stderr stdout; do
  if [ "${PANEPROOF_UPDATE_CASES-}" = 1 ]; then
    if [ -s "$scratch/$name" ]; then cp "$scratch/$name" "$case/$name"; else rm -f "$case/$name"; fi
  elif [ -e "$case/$name" ]; then
    diff -u --label "expected $name" --label "$name" "$case/$name" "$scratch/$name" || differs=1
  elif [ -s "$scratch/$name" ]; then
    echo "nothing expected on $name, but:"
    cat "$scratch/$name"
    differs=1
  fi
done
exit "$differs"
