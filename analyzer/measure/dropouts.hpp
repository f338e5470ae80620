// Dropouts: the silences told as what they are: contact lost under a finger that did not lift, a doubt
// that asks to drag there again, or a jump that no finger makes.
#pragma once

#include <vector>

#include "analyzer/measure/bursts.hpp"
#include "analyzer/measure/findings.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

// Fills dropouts, doubts (those cleared apart) and jumps, and a zone of kind bursts when contact was lost
// over the whole panel.
void tell_silences(const Trace& trace, const std::vector<Silence>& silences,
                   const std::vector<Repeat>& repeats, const Bursts& bursts, Findings& findings);

// Adds breaks at faulty places to the dropouts, in order of time; one that was told is not told again.
void tell_breaks(const std::vector<Silence>& breaks, Findings& findings);

}  // namespace paneproof
