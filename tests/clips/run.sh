#!/bin/sh
# Makes recordings with known truth and scores how they are followed, by hand:
# sh tests/clips/run.sh [BUILD] [SEEDS] [icons|slow|touch|losses|film|more]; `more`: seven of other kinds, whatever SEEDS
set -eu
build=$(cd "${1:-build-dev}" && pwd) seeds=${2:-8} kind=${3:-icons}
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
cd "$place"
set --
seed=1
if [ "$kind" = more ]; then
  seeds=0
  while read -r number what; do
    # shellcheck disable=SC2086  # several words
    "$build/tests/make_clip" $number.mkv $number.csv seed=$number seconds=7 $what
    set -- "$@" $number.mkv $number.csv
  done <<'MORE'
51 codec=libx265
52 codec=libvpx-vp9
53 codec=libx265 ten=1
54 full=1
55 rate=30
56 rate=120
57 vfr=1
MORE
fi
while [ "$seed" -le "$seeds" ]; do
  case $kind in
    icons)
      for style in 0 1; do
        for number in $seed $((seed + 20)); do
          "$build/tests/make_clip" $style-$number.mp4 $style-$number.csv seed=$number style=$style
          set -- "$@" $style-$number.mp4 $style-$number.csv
        done
      done ;;
    slow)  # 10 to 30 pictures a second, a total for each rate
      for rate in 10 12 15 20 24 30; do
        for style in 0 1; do
          name=$rate-$style-$seed
          "$build/tests/make_clip" $name.mp4 $name.csv seed=$seed style=$style rate=$rate seconds=10
          printf '%s %s ' $name.mp4 $name.csv >>slow-$rate
        done
      done ;;
    touch | losses)  # a dot, a ring, cross lines; one finger and two; each touch lost twice, or never
      "$build/tests/make_clip" $seed.mp4 $seed.csv seed=$seed seconds=7 losses=$([ $kind = touch ] || echo 2) \
        cursor=$(((seed - 1) % 6 / 2 + 1)) fingers=$(((seed - 1) % 2 + 1))
      set -- "$@" $seed.mp4 $seed.csv ;;
    film)  # every fourth of cards
      corners=$("$build/tests/make_clip" $seed.mp4 $seed.csv seed=$seed seconds=7 camera=1 style=$((seed % 4 == 0)))
      "$build/tests/score_clip" --filmed "$corners" 540x1200 $seed.mp4 $seed.csv | grep -v '^all' ;;
  esac
  seed=$((seed + 1))
done
for clips in slow-*; do
  [ -f "$clips" ] || break
  echo "$clips"
  # shellcheck disable=SC2046  # several words
  "$build/tests/score_clip" $(cat "$clips") | tail -1
done
[ $# -eq 0 ] || [ $kind = film ] || "$build/tests/score_clip" "$@"
