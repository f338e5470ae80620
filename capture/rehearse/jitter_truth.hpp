// True jitter, see Truth::jitter_rms_mm and Truth::noise_rms_mm.
#pragma once

#include <vector>

#include "capture/rehearse/finger.hpp"

namespace paneproof {

struct ReportedFinger {
  std::int64_t scan_us = 0;  // when the panel saw it
  int contact = 0, finger = 0;
  Vec told;  // mm
};

struct JitterTruth {
  double rms_mm = 0, error_rms_mm = 0;  // 0 without enough reports
  std::int64_t reports = 0;
};

// What is left across the path of (reported - finger). reported: of each contact in order of time.
JitterTruth true_jitter(const std::vector<ReportedFinger>& reported,
                        const std::vector<std::vector<FingerSample>>& fingers, double rate_hz);

struct NoiseTruth {
  double rms_mm = 0, seen_rms_mm = 0;  // see Truth; 0 for fewer than 20 reports
};

// What noise alone does across the path of a moving finger. reported: of each contact in order of time;
// quiet: what the same rehearsal without noise reports at the same scans, in any order.
NoiseTruth true_noise(const std::vector<ReportedFinger>& reported, std::vector<ReportedFinger> quiet,
                      const std::vector<std::vector<FingerSample>>& fingers, double rate_hz);

}  // namespace paneproof
