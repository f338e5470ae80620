#include "capture/rehearse/jitter_truth.hpp"

#include <algorithm>

namespace paneproof {
namespace {

struct Across {
  double error = 0;
  bool usable = false;  // the finger moves here, the contact goes on
};

constexpr std::int64_t look_us = 25000;

Across across_error(const ReportedFinger& r, const std::vector<FingerSample>& finger, std::int64_t lag_us) {
  const FingerSample here = finger_at(finger, r.scan_us - lag_us);
  const FingerSample a = finger_at(finger, r.scan_us - lag_us - look_us),
                     b = finger_at(finger, r.scan_us - lag_us + look_us);
  const double dx = b.at.x - a.at.x, dy = b.at.y - a.at.y, way = portable::length(dx, dy);
  if (!here.down || !a.down || !b.down || way < 0.05 * 20) return {};
  return {((r.told.x - here.at.x) * -dy + (r.told.y - here.at.y) * dx) / way, true};
}

// Sums of squares of the residuals at the middles of all windows that are whole.
struct Sums {
  double residual = 0, error = 0;
  std::int64_t count = 0;
};

Sums sum_residuals(const std::vector<ReportedFinger>& reported,
                   const std::vector<std::vector<FingerSample>>& fingers, std::int64_t lag_us, int half,
                   std::int64_t longest_us, std::size_t stride) {
  const double m = half, scale = 3 / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3));
  Sums sums;
  std::vector<Across> errors(reported.size());
  for (std::size_t i = 0; i < reported.size(); ++i)
    errors[i] = across_error(reported[i], fingers[static_cast<std::size_t>(reported[i].finger)], lag_us);
  const auto span = static_cast<std::size_t>(half);
  for (std::size_t i = span; i + span < reported.size(); i += stride) {
    const ReportedFinger &first = reported[i - span], &last = reported[i + span];
    if (first.contact != last.contact || last.scan_us - first.scan_us > longest_us) continue;
    double fit = 0;
    bool usable = true;
    for (int k = -half; k <= half; ++k) {
      const Across& a = errors[static_cast<std::size_t>(static_cast<std::ptrdiff_t>(i) + k)];
      usable = usable && a.usable;
      fit += scale * (3 * m * m + 3 * m - 1 - 5.0 * k * k) * a.error;
    }
    if (!usable) continue;
    const double left = errors[i].error - fit;
    sums.residual += left * left;
    sums.error += errors[i].error * errors[i].error;
    ++sums.count;
  }
  return sums;
}

}  // namespace

JitterTruth true_jitter(const std::vector<ReportedFinger>& reported,
                        const std::vector<std::vector<FingerSample>>& fingers, double rate_hz) {
  const int half = std::clamp(static_cast<int>(0.04 * rate_hz + 0.5), 2, 10);
  const auto longest_us = static_cast<std::int64_t>(1e6 * (2 * half + 0.6) / rate_hz);
  // The lag that explains most, on part of the reports.
  std::int64_t lag = 0;
  double least = 1e300;
  const std::size_t stride = 1 + reported.size() / 3000;
  for (std::int64_t t = 0; t <= 48000; t += 4000) {
    const Sums sums = sum_residuals(reported, fingers, t, half, longest_us, stride);
    if (sums.count > 0 && sums.residual / static_cast<double>(sums.count) < least)
      least = sums.residual / static_cast<double>(sums.count), lag = t;
  }
  const Sums sums = sum_residuals(reported, fingers, lag, half, longest_us, 1);
  JitterTruth out;
  out.reports = sums.count;
  if (sums.count < 20) return out;
  const double m = half;
  const double own_weight = 3 * (3 * m * m + 3 * m - 1) / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3));
  out.rms_mm = std::sqrt(sums.residual / static_cast<double>(sums.count) / (1 - own_weight));
  out.error_rms_mm = std::sqrt(sums.error / static_cast<double>(sums.count));
  return out;
}

}  // namespace paneproof
