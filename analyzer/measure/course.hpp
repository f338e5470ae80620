// Course: does a finger's motion go on across a gap, straight on or turning as it did before?
//
// The ends of a gap tell which way the finger went, how fast, and how fast it turned (pace.hpp). A finger
// that goes on evenly in between covers a straight line, or the chord of an arc; a hand that lifts and lands
// as it likes covers neither.
#pragma once

#include <optional>

#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

struct Course {
  // one_sided: only one end is fit to tell.
  enum class Goes { on, one_sided, elsewhere } goes = Goes::elsewhere;
  double way_mm = 0;  // from end to end, had it stayed on the glass; 0 where it goes elsewhere
};

// Of a gap whose speed is known. before, after: the pace at its ends, where there is one.
Course course(const Silence& gap, const std::optional<Pace>& before, const std::optional<Pace>& after);

}  // namespace paneproof
