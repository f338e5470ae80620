// From a raw log to the sweep in it. A log may hold what was typed before the sweep, an unlock code
// perhaps; evidence is handed to strangers. What goes in are the log's own lines, in order, of the sweep
// only: no line is written anew.
//
// Where nobody says (--from, --to) the sweep is found so: contacts apart by a second or more without a
// finger are episodes. Leading and trailing episodes whose path is less than a quarter of the longest
// one's are left out; then, at the start of the first that stays, everything up to the last of three or
// more taps in a row, if less than a fifth of the episode's path lies before it, and else single taps.
// Touches in between always stay. Nothing of a fault can vanish so unnoticed: the caller compares the
// verdict with that of the whole log.
#pragma once

#include <optional>

#include "analyzer/evidence/judged.hpp"
#include "analyzer/evidence/statement.hpp"

namespace paneproof {

struct Cut {
  Part part;  // the same bytes as handed in when nothing was left out, else plain lines
  CutFacts facts;
  ReadPart read;  // what the part holds
};

// How much goes where nobody says.
enum class CutDepth : std::uint8_t {
  both_ends,  // as above
  start,      // at the end only taps go: short strokes there may be places swept once more
};

// from_s and to_s count as the trace's times do: a contact stays when it lands at or after from_s and ends
// at or before to_s. Throws InputError (65) when the log cannot be cut by lines (InkML) though something
// is to be left out, and when nothing would stay.
// `read` is the whole log as it was read.
Cut cut_to_sweep(const Part& whole, const ReadPart& read, const Question& question,
                 std::optional<double> from_s, std::optional<double> to_s,
                 CutDepth depth = CutDepth::both_ends);

}  // namespace paneproof
