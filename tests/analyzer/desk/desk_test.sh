#!/bin/sh
# Evidence, keys, ledger and job as a user meets them, held against qpdf, poppler's tools, jose and sqlite3.
# usage: desk_test.sh PROGRAM SOURCE SCRATCH PRELOAD
set -eu
program=$1 source=$2 scratch=$3
rm -rf "$scratch"
mkdir -p "$scratch"
cd "$scratch"
export XDG_DATA_HOME="$scratch/data" LC_ALL=C
wrong() { echo "WRONG: $1" >&2; exit 1; }
# expect EXIT COMMAND...
expect() {
  wanted=$1; shift
  got=0
  "$@" >out 2>err </dev/null || got=$?
  [ "$got" -eq "$wanted" ] || { cat out err >&2; wrong "exit $got instead of $wanted: $*"; }
}
check() { "$program" check "$source/samples/$1.gz" --profile "$source/samples/kestrel-handheld.profile" "$@" ; }
dead() { wanted=$1; shift; expect "$wanted" "$program" check "$source/samples/dead-column.evemu.gz" --profile "$source/samples/kestrel-handheld.profile" "$@"; }

# Keys
dead 66 --evidence a.pdf --job WO-1 --stage open
expect 0 "$program" key new
expect 73 "$program" key new
[ "$(stat -c %a data/paneproof/signing-key.pem)" = 600 ] || wrong "mode of the private key"
chmod 640 data/paneproof/signing-key.pem
dead 65 --evidence a.pdf --job WO-1 --stage open
[ ! -e a.pdf ] || wrong "evidence with a key that others can read"
chmod 600 data/paneproof/signing-key.pem
"$program" key show --jwk >key.jwk
openssl pkey -in data/paneproof/signing-key.pem -noout || wrong "openssl reads the PEM"

# Evidence
dead 64 --evidence a.pdf --stage open
dead 64 --evidence a.txt --job WO-1 --stage open
dead 64 --evidence a.pdf --job WO-1 --stage open --from nan
dead 65 --evidence a.pdf --job WO-1 --stage open --from 5000
grep -q 'dead-column' err || wrong "a log is called by its own name"
expect 64 "$program" ledger export -o data/paneproof/../paneproof/ledger.sqlite
dead 64 --evidence a.pdf --job "$(printf 'a\342\200\256b')" --stage open
expect 0 "$program" job WO-2207 --stage closed --note charging=works --note "speaker=does not"
dead 1 --evidence a.pdf --job WO-2207 --stage closed --device-id 'KY-42 Ξ 中文 हिन्दी' --by 'Мария' --paper letter
grep -q '^recorded: entry 4$' err || wrong "entry 4"
expect 0 "$program" verify a.pdf
qpdf --check a.pdf >/dev/null || wrong "qpdf --check"
pdfdetach -list a.pdf | grep -q '^4 embedded files' || wrong "four attachments"
pdfdetach -saveall -o . a.pdf >/dev/null 2>&1
cmp trace-1.gz "$source/samples/dead-column.evemu.gz" || wrong "the log as handed in"
pdftotext -layout a.pdf text
grep -Eq '[0-9]{4}-[0-9]{2}-[0-9]{2} [0-9]{2}:[0-9]{2}:[0-9]{2} ?' text || wrong "the page tells the stated time as people read it"
for words in FAIL WO-2207 'KY-42 Ξ 中文' 'Мария' 'does not' 'Power the device off'; do grep -q "$words" text || wrong "the page says $words"; done
pages=$(pdfinfo a.pdf | sed -n 's/^Pages: *//p')
for page in $(seq "$pages"); do
  pdftotext -f "$page" -l "$page" a.pdf - | grep -q "page $page of $pages" || wrong "page $page says of how many it is one"
done
pdffonts a.pdf | awk 'NR > 2 && $(NF - 4) != "yes" { bad = 1 } END { exit bad }' || wrong "fonts embedded"
pdfinfo a.pdf | grep -q 'Tagged: *yes' || wrong "tagged"
pdfinfo a.pdf | grep -q '612 x 792' || wrong "letter paper"
if [ -d "$source/tests/node_modules/jose" ]; then
  node "$source/tests/analyzer/desk/jose_verifies.mjs" statement.jws key.jwk a.pdf || wrong "jose verifies"
fi

# Verify
expect 66 "$program" verify none.pdf
expect 65 "$program" verify key.jwk
cp a.pdf b.pdf && printf '\n' >>b.pdf
expect 1 "$program" verify b.pdf
XDG_DATA_HOME="$scratch/elsewhere" expect 2 "$program" verify a.pdf
XDG_DATA_HOME="$scratch/elsewhere" expect 0 "$program" verify a.pdf --key key.jwk

# A log that holds an unlock code: six taps and a pause before the sweep
"$program" convert "$source/samples/good-handheld.getevent.gz" --profile "$source/samples/kestrel-handheld.profile" --as csv -o sweep.csv
awk 'NR == 1 { print; for (i = 0; i < 6; i++) { printf "%.6f,%d,12.345,%.3f,down\n%.6f,%d,12.345,%.3f,up\n", i * 0.3, 900 + i, 50 + i, i * 0.3 + 0.08, 900 + i, 50 + i } next }
  { split($0, f, ","); $0 = sprintf("%.6f", f[1] + 5) substr($0, index($0, ",")); print }' sweep.csv >typed.csv
expect 0 "$program" check typed.csv --profile "$source/samples/kestrel-handheld.profile" --evidence typed.pdf --job WO-3 --stage open
mkdir typed && pdfdetach -saveall -o typed typed.pdf >/dev/null 2>&1
if grep -q '12.345' typed/trace-1.txt; then wrong "typed places are in the evidence"; fi
if grep -q '12.345' data/paneproof/ledger.sqlite; then wrong "typed places are in the ledger"; fi
pdftotext -layout typed.pdf - | grep -q '12 lines before it' || wrong "the page says what was left out"
expect 0 "$program" verify typed.pdf

# Ledger
"$program" ledger head >head.json
"$program" ledger head --signed >head.jws
expect 0 "$program" key rotate
dead 1 --evidence c.pdf --job WO-2207 --stage return
grep -q 'in the ledger already: entry 4' err || wrong "a trace that was there is named"
expect 0 "$program" ledger audit --head head.json --head head.jws --against a.pdf typed.pdf c.pdf
expect 0 "$program" verify a.pdf
"$program" ledger prove 4 >proof.json
node "$source/tests/analyzer/desk/proof_holds.mjs" proof.json "$("$program" ledger head)" || wrong "the proof leads to the root"
[ "$(sqlite3 data/paneproof/ledger.sqlite 'PRAGMA integrity_check')" = ok ] || wrong "sqlite3 finds the ledger sound"
expect 0 "$program" ledger reissue 4 -o a2.pdf
cmp a.pdf a2.pdf || wrong "a lost file is made again"
expect 0 "$program" job WO-2207 --picture story.png
grep -q 'still there: column' out || wrong "the story"
expect 66 "$program" job WO-none
for day in 2026-13-45 2026-02-29 9999-00-01 yesterday; do expect 64 "$program" ledger forget --before "$day"; done
expect 0 "$program" ledger export --as json -o before.json
grep -q 'KY-42' before.json || wrong "a day that is none forgets nothing"
expect 0 "$program" ledger forget --before 9999-01-01
expect 0 "$program" ledger audit --head head.json --against a.pdf typed.pdf c.pdf
if grep -aq 'KY-42' data/paneproof/ledger.sqlite*; then wrong "forgotten words are on a page"; fi

# A passphrase, and no terminal
echo "grey kestrel" >phrase
expect 0 "$program" key new --key-file locked.pem --passphrase-file phrase
head -1 locked.pem | grep -q ENCRYPTED || wrong "an encrypted key"
dead 64 --evidence d.pdf --job WO-4 --stage open --key-file locked.pem
dead 1 --evidence d.pdf --job WO-4 --stage open --key-file locked.pem --passphrase-file phrase

# One piece of the program missing
mkdir alone && cp "$program" alone/paneproof
expect 70 alone/paneproof verify a.pdf
[ "$(cat err)" = "paneproof: paneproof-evidence: expected this program beside paneproof: it makes and checks evidence; install or build all of paneproof" ] || wrong "the line that names the missing piece"
expect 70 alone/paneproof check "$source/samples/dead-column.evemu.gz" --profile "$source/samples/kestrel-handheld.profile" --evidence e.pdf --job WO-5 --stage open

# A recording: the path in it goes in, and the recording's digest
wanted=0
"$program" check "$source/samples/dragged-icon.mp4" --panel 68x142 --json recording.json >/dev/null || wanted=$?
expect "$wanted" "$program" check "$source/samples/dragged-icon.mp4" --panel 68x142 --json evidence.json --evidence recording.pdf --job WO-6 --stage closed
expect 0 "$program" verify recording.pdf
sed 's/"file": *"[^"]*"/"file": ""/' recording.json >plain.json
sed 's/"file": *"[^"]*"/"file": ""/' evidence.json | cmp - plain.json || wrong "evidence of a recording gives the result of the recording"
pdftotext -layout recording.pdf - | tr -d '\n ' | grep -q "$(sha256sum <"$source/samples/dragged-icon.mp4" | cut -c1-64)" || wrong "the page names the recording's digest"
expect 64 "$program" check "$source/samples/dragged-icon.mp4" --panel 68x142 --evidence r2.pdf --job WO-6 --stage closed --from 1
expect 0 "$program" ledger audit --against recording.pdf
echo "desk: all as expected"
