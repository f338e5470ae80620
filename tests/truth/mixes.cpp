#include "tests/truth/mixes.hpp"

namespace paneproof {

std::vector<std::string> mix_names() {
  std::vector<std::string> names = {"mixed", "good", "incomplete", "faulty"};
  names.insert(names.end(), std::begin(fault_names), std::end(fault_names));
  return names;
}

RehearsalSpec spec_of_mix(const std::string& mix, std::uint64_t case_seed) {
  for (int k = 0; k < fault_kinds; ++k)
    if (mix == fault_names[k]) return random_spec(case_seed, static_cast<FaultKind>(k));
  if (mix == "good") return random_spec(case_seed, Mix::good_complete);
  if (mix == "incomplete") return random_spec(case_seed, Mix::good_incomplete);
  if (mix == "faulty") return random_spec(case_seed, Mix::one_fault);
  return random_spec(case_seed, Mix::mixed);
}

}  // namespace paneproof
