// True jitter: what is left across the path of (reported - finger), see Truth::jitter_rms_mm.
#pragma once

#include <vector>

#include "capture/rehearse/finger.hpp"

namespace paneproof {

struct ReportedFinger {
  std::int64_t scan_us = 0;  // when the panel saw it
  int contact = 0, finger = 0;
  Vec told;  // mm, as reported
};

struct JitterTruth {
  double rms_mm = 0, error_rms_mm = 0;  // 0 without enough reports
  std::int64_t reports = 0;
};

// reported: of each contact in order of time.
JitterTruth true_jitter(const std::vector<ReportedFinger>& reported,
                        const std::vector<std::vector<FingerSample>>& fingers, double rate_hz);

}  // namespace paneproof
