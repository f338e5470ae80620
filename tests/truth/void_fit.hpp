// Weights of the signs by logistic regression (void_evidence.hpp), to hold against those in use.
#pragma once

#include <vector>

#include "tests/truth/void_study.hpp"

namespace paneproof {

struct FittedWeight {
  double weight = 0, error = 0;  // error: standard error
};

// Maximum likelihood with a normal prior of standard deviation `prior` about 0 on every weight, by Newton's
// method. A sign that no void shows keeps 0 and the prior's error.
std::array<FittedWeight, void_signs> fit_weights(const std::vector<StudiedVoid>& voids, double prior = 3);

}  // namespace paneproof
