// Hand-made results for the tests of the reports: an invented bench, no real device.
#pragma once

#include <cstdint>
#include <random>
#include <string>

#include "analyzer/report/check_result.hpp"

namespace paneproof::example {

// Owns what a CheckResult refers to.
struct Parts {
  Findings findings;
  Verdict verdict;
  Trace trace;
  std::vector<Note> notes;

  CheckResult result() const;
};

// A panel swept in rows, everything proven, verdict pass.
Parts good_panel(double width_mm, double height_mm);

// The same with every kind of finding on it: dead column and area, an attested zone, dropouts, doubts,
// ghosts, jumps, masked places, an untested circle, strokes left. Verdict fail.
Parts faulty_panel(double width_mm, double height_mm);

// Any result the types can hold, to the point of nonsense: random sizes, counts, text and numbers.
Parts random_panel(std::mt19937_64& random);

}  // namespace paneproof::example
