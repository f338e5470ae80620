#!/bin/sh
# A filmed device through the program: film_test.sh MAKE_CLIP PANEPROOF_VIDEO FOLDER
# A short film is made (tests/clips/camera.hpp), and what is printed of it is held against its truth: as promised
# in docs/accuracy.md the places are right and told of almost all frames, and no drop is told that is none.
set -eu
make_clip=$1 video=$2
mkdir -p "$3"
cd "$3"
corners=$("$make_clip" film.mp4 film.csv seed=6 seconds=3 drops=1 rate=30 width=270 height=600 camera=1 \
  film_width=480 film_height=640)
"$video" film.mp4 --corners "$corners" >film.tsv
awk -v width=270 -v height=600 '
  FILENAME == "film.csv" { split($0, f, ",")
    if (f[1] == "held") { ++held; x[sprintf("%.0f", f[2] * 1e6)] = f[4]; y[sprintf("%.0f", f[2] * 1e6)] = f[5] }
    if (f[1] == "drop") drop[++drops] = f[2] * 1e6
    next }
  $1 == "size" { sx = width / $2; sy = height / $3 }
  $1 == "row" { for (t in x) if (t - $2 < 1500 && $2 - t < 1500) {
      off = 100 * sqrt(($4 * sx - x[t]) ^ 2 + ($5 * sy - y[t]) ^ 2) / width
      offs[++told] = off; near += off < 5; far += off >= 5 } }
  $1 == "end" && $2 == "drop" { real = 0
    for (k in drop) real += drop[k] - $3 < 67000 && $3 - drop[k] < 67000
    if (!real) { print "a drop told at " $3 " us that is none"; bad = 1 } }
  END { for (i in offs) { less = 0; for (k in offs) less += offs[k] < offs[i]; if (less * 2 <= told) if (offs[i] > median) median = offs[i] }
    printf "%d frames held, %d told right, %d wrong, median %.3f %%\n", held, near, far, median
    exit bad || held < 40 || near < 0.9 * held || far > 0 || median > 1.5 }' film.csv film.tsv
