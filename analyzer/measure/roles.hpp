// Which contacts count as the sweep, and what the others are.
#pragma once

#include <cstdint>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Roles {
  std::vector<std::uint8_t>
      counts;  // per contact: 1 when it is a finger (or, pen_only, the pen) of the sweep
  std::vector<Ghost> ghosts;
  bool pen_only = false;  // no finger in the log, but a pen
  int palms = 0;
  int most_at_once = 0;  // most contacts down at one time, palms and ghosts left out
};

Roles contact_roles(const Trace& trace);

}  // namespace paneproof
