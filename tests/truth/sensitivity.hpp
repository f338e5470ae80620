// How many verdicts change when a limit is moved by a fifth: an abrupt change of a threshold must not
// change many.
#pragma once

#include <string>
#include <vector>

#include "tests/truth/rehearsed_case.hpp"

namespace paneproof {

struct MovedLimit {
  std::string name;
  double factor = 1;
  Limits limits;
};

// Every limit 20 % lower, then 20 % higher.
std::vector<MovedLimit> moved_limits(const Limits& limits);

// 1 where the verdict changes, one for each of `moved`.
std::vector<char> changes(const RehearsedCase& c, const std::vector<MovedLimit>& moved);

}  // namespace paneproof
