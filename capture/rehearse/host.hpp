// What the host makes of a controller's scans: some are lost, some come late, each gets a timestamp.
// All of it happens on sound devices.
#pragma once

#include <vector>

#include "capture/rehearse/personality.hpp"

namespace paneproof {

struct Delivery {
  std::size_t scan = 0;       // which scan arrives; those since the last delivery are overwritten
  std::int64_t stamp_us = 0;  // its timestamp; strictly rising
};

// times_us: of the scans, rising. interval_us: the usual distance of scans.
std::vector<Delivery> deliver(const std::vector<std::int64_t>& times_us, double interval_us,
                              const HostSpec& host, Random random);

}  // namespace paneproof
