// A run of the benchmark over a mix.
#pragma once

#include <string>
#include <vector>

#include "tests/truth/mixes.hpp"
#include "tests/truth/score.hpp"
#include "tests/truth/sensitivity.hpp"

namespace paneproof {

struct MixRun {
  std::string mix = "mixed";
  std::uint64_t seed = 1;
  int cases = 300;
  double through = 0.3;  // share of cases that go through a log format
  unsigned threads = 2;
  std::vector<MovedLimit> moved;  // for the sensitivity table; none: not asked for
};

struct MixResult {
  Score score;
  std::vector<int> changed;  // verdicts that change, one for each of `moved`
};

MixResult run_mix(const MixRun& run);

}  // namespace paneproof
