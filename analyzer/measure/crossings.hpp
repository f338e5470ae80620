// Crossings: does a finger that vanishes beside a void come back beyond it as from a dead place, or as from
// the air?
//
// Beside a dead place reports keep to the living electrodes: a finger is last told up to a pitch behind where
// it is and next told up to a pitch ahead, so that the gap is longer than the finger's own way in that time,
// by two pitches or so (pitch 4 to 6 mm), less where the way across is long and the pace may change. A hand
// in the air comes down short of its own pace or near it, now and then far ahead (the more so the longer it
// takes), and never 6 mm ahead within 0.09 s. Each crossing is weighed by the ratio of the two densities;
// both allow for strays. The densities are rounded from crossings of rehearsals, of this model and of others
// that are not kept here.
//
// And do they agree? Over one dead place a finger that keeps its pace exceeds its way by much the same each
// time, by 2 to 13 mm and within a millimetre or so; a hand in the air scatters by several.
#pragma once

#include <vector>

namespace paneproof {

// A contact that ended beside a void, and the next one that began beyond it.
struct Crossing {
  double gap_mm = 0;  // from end to beginning
  double way_mm = 0;  // what the finger's own pace makes in that time
  double gap_s = 0;
};

// So far ahead of its own way that another finger landed there, or the hand flew: it tells nothing.
bool by_another(const Crossing& crossing);

// ln of the likelihood ratio, positive for a dead place; 0 for no crossing.
double log_ahead(const std::vector<Crossing>& crossings);

// ln of the Bayes factor of gaps longer than the way by much the same in all crossings; 0 for fewer than two.
double log_agreeing(const std::vector<Crossing>& crossings);

}  // namespace paneproof
