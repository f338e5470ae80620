// The mixes of cases by name. Case k of a run has the seed first_seed(seed) + k, so that
// `paneproof rehearse --seed` makes it again (mixed: no other option; good: --fault none; incomplete:
// --incomplete; a fault: --fault KIND).
#pragma once

#include <string>
#include <vector>

#include "capture/rehearse/rehearsal.hpp"

namespace paneproof {

// "mixed", "good", "incomplete", "faulty" and the faults' names.
std::vector<std::string> mix_names();
inline std::uint64_t first_seed(std::uint64_t seed) { return seed * 100000; }
// `mix` is one of mix_names.
RehearsalSpec spec_of_mix(const std::string& mix, std::uint64_t case_seed);

}  // namespace paneproof
