#!/bin/sh
# A failing write, sync, rename, ... at every call that changes a file, with a full disk and with a broken one.
# usage: faults_test.sh PROGRAM SOURCE SCRATCH PRELOAD (PANEPROOF_ALL_FAULTS=1: more of them)
# Each run must end with recorded evidence that verifies, or with an error line and no evidence file by that
# name unless it is whole; the ledger stays sound, and everything acknowledged before stays.
set -eu
program=$(dirname "$1")/paneproof-evidence source=$2 scratch=$3 preload=$4
case $(ldd "$program") in *libasan*) echo "not under the address sanitizer: it must be preloaded first"; exit 0 ;; esac
rm -rf "$scratch"
mkdir -p "$scratch"
cd "$scratch"
export XDG_DATA_HOME="$scratch/data" LC_ALL=C
log=$source/samples/unfinished.inkml.gz
"$program" key new >/dev/null
check() { "$program" check "$log" --profile "$source/samples/kestrel-handheld.profile" --evidence "$2" --job "$1" --stage open; }
tested=0 refused=0
for ledger in new grown; do
  if [ $ledger = grown ]; then check WO-0 first.pdf >/dev/null 2>&1 || true; fi
  # EIO on the way to a new ledger, ENOSPC on one that has entries; PANEPROOF_ALL_FAULTS=1 tries both on both.
  if [ -n "${PANEPROOF_ALL_FAULTS-}" ]; then errors='5 28'; elif [ $ledger = new ]; then errors=5; else errors=28; fi
  for with in $errors; do
    if [ $ledger = new ]; then rm -f data/paneproof/ledger.sqlite*; fi
    rm -f a.pdf
    FAIL_AT=0 FAIL_LOG=$scratch/calls LD_PRELOAD=$preload check WO-0 a.pdf >/dev/null 2>&1 || true  # how many calls there are
    at=1 calls=$(cat "$scratch/calls")
    while [ $at -le $calls ]; do
      if [ $ledger = new ]; then rm -f data/paneproof/ledger.sqlite*; fi
      rm -f a.pdf
      exit_code=0
      FAIL_AT=$at FAIL_WITH=$with LD_PRELOAD=$preload check "WO-$at" a.pdf >out 2>err || exit_code=$?
      tested=$((tested + 1))
      if [ $exit_code -eq 2 ]; then  # the verdict of this log: resweep
        grep -q '^recorded: entry' err || { echo "call $at, $with: not said to be recorded"; cat err; exit 1; }
        [ $((at % 5)) -ne 0 ] || "$program" verify a.pdf >/dev/null || { echo "call $at, $with: acknowledged, but not genuine"; exit 1; }
        "$program" ledger audit --against a.pdf >audit || { echo "call $at, $with: acknowledged, but:"; cat audit; exit 1; }
      else
        refused=$((refused + 1))
        [ "$(grep -c '^paneproof: ' err)" -eq 1 ] || { echo "call $at, $with: no clear line, exit $exit_code"; cat err; exit 1; }
        if [ -e a.pdf ]; then "$program" verify a.pdf >/dev/null || { echo "call $at, $with: a half file"; exit 1; }; fi
        if [ -s data/paneproof/ledger.sqlite ]; then
          "$program" ledger audit >audit 2>&1 || grep -q 'no ledger in this file yet' audit || { echo "call $at, $with: ledger broken"; cat audit; exit 1; }
        fi
        [ $((at % 6)) -ne 0 ] || check "WO-again" again.pdf >/dev/null 2>err || [ $? -eq 2 ] || { echo "call $at, $with: no run after it works"; cat err; exit 1; }
      fi
      at=$((at + 1))
    done
  done
done

# every_fault NAME COMMAND...: runs it with a fault at each of its calls; then `sound NAME EXIT` must hold.
every_fault() {
  name=$1; shift
  for with in ${PANEPROOF_ALL_FAULTS:+5} 28; do
    FAIL_AT=0 FAIL_LOG=$scratch/calls LD_PRELOAD=$preload "$program" "$@" >/dev/null 2>&1 </dev/null || true
    at=1 calls=$(cat "$scratch/calls")
    exit_code=1
    sound
    while [ $at -le $calls ]; do
      exit_code=0
      FAIL_AT=$at FAIL_WITH=$with LD_PRELOAD=$preload "$program" "$@" >out 2>err </dev/null || exit_code=$?
      tested=$((tested + 1))
      if [ $exit_code -ne 0 ]; then
        refused=$((refused + 1))
        [ "$(grep -c '^paneproof: ' err)" -eq 1 ] || { echo "$name, call $at, $with: no clear line, exit $exit_code"; cat err; exit 1; }
      fi
      sound || { echo "$name, call $at, $with, exit $exit_code: $(cat err)"; exit 1; }
      at=$((at + 1))
    done
  done
}
audited() { "$program" ledger audit $([ $((at % 8)) -ne 0 ] || echo "--against first.pdf") >audit 2>&1 || { cat audit; return 1; }; }

# A key is there at every instant, and known; what the old ones signed stays genuine.
sound() {
  "$program" key show >shown || return 1
  key=$(sed -n 's/^key //p' shown)
  [ -e "data/paneproof/known-keys/$key.jwk" ] || { echo "the key is not known"; return 1; }
  [ "$(stat -c %a data/paneproof/signing-key.pem)" = 600 ] || { echo "mode"; return 1; }
  if [ $exit_code -eq 0 ] && ! grep -q "made key $key" out; then echo "acknowledged, but not there"; return 1; fi
  audited
}
every_fault "key rotate" key rotate

sound() {
  if [ $exit_code -eq 0 ] && ! "$program" job WO-N | grep -q "charging works"; then echo "acknowledged, but not there"; return 1; fi
  audited
}
every_fault "job --note" job WO-N --stage open --note charging=works --by Ana

sound() {
  if [ $exit_code -eq 0 ] && grep -aq '"Ana"' data/paneproof/ledger.sqlite*; then echo "acknowledged, but the words are there"; return 1; fi
  audited || return 1
  "$program" job WO-N --stage open --note charging=works --by Ana 2>/dev/null  # something to forget
}
"$program" job WO-N --stage open --note charging=works --by Ana 2>/dev/null
every_fault "ledger forget" ledger forget --before 9999-01-01

whole=$("$program" ledger export --as csv | sha256sum)
sound() {
  [ $exit_code -ne 0 ] || [ -e export.csv ] || { echo "acknowledged, but not there"; return 1; }
  [ ! -e export.csv ] || [ "$(sha256sum <export.csv)" = "$whole" ] || { echo "a half file"; return 1; }
}
every_fault "ledger export" ledger export --as csv -o export.csv

if [ -e first.pdf ]; then "$program" ledger audit --against first.pdf >audit || { cat audit; exit 1; }; fi
echo "$tested faults, $refused of them reported, none lost anything acknowledged"
