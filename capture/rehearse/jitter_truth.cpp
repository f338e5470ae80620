#include "capture/rehearse/jitter_truth.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace paneproof {
namespace {

struct Across {
  double error = 0;
  bool usable = false;    // the finger moves here, the contact goes on
  bool straight = false;  // and goes straight on
};

constexpr std::int64_t look_us = 25000;
constexpr double another_touch_mm = 3;
constexpr double straight_cosine = 0.978, even_pace = 0.75;  // 12 degrees
constexpr std::int64_t fewest = 20;

// Of `told` from `from`, across the way of the finger at a time.
Across across(Vec told, Vec from, const std::vector<FingerSample>& finger, std::int64_t t_us) {
  const FingerSample a = finger_at(finger, t_us - look_us), b = finger_at(finger, t_us + look_us);
  const double dx = b.at.x - a.at.x, dy = b.at.y - a.at.y, way = portable::length(dx, dy);
  if (!finger_at(finger, t_us).down || !a.down || !b.down || way < 0.05 * 20) return {};
  return {((told.x - from.x) * -dy + (told.y - from.y) * dx) / way, true};
}

// Does the finger go straight on at an even pace about a time? Elsewhere firmware cuts corners, which comes
// again in every such bend and is no jitter.
bool straight_on(const std::vector<FingerSample>& finger, std::int64_t t_us) {
  const auto step = [&](std::int64_t from_us, std::int64_t to_us) {
    const Vec a = finger_at(finger, t_us + from_us).at, b = finger_at(finger, t_us + to_us).at;
    return Vec{b.x - a.x, b.y - a.y};
  };
  const Vec in = step(-60000, -20000), out = step(20000, 60000);
  const double before = portable::length(in.x, in.y), after = portable::length(out.x, out.y);
  return in.x * out.x + in.y * out.y >= straight_cosine * before * after &&
         std::min(before, after) >= even_pace * std::max(before, after);
}

Across across_error(const ReportedFinger& r, const std::vector<FingerSample>& finger, std::int64_t lag_us) {
  const std::int64_t then_us = r.scan_us - lag_us;
  Across off = across(r.told, finger_at(finger, then_us).at, finger, then_us);
  off.straight = off.usable && straight_on(finger, then_us);
  return off;
}

// Reports on both sides of one to which a quadratic is fitted, and the longest time that they take.
struct Window {
  int half = 2;
  std::int64_t longest_us = 0;
  // Of a residual: 1 less the weight of the report itself.
  double freedom() const {
    const double m = half;
    return 1 - 3 * (3 * m * m + 3 * m - 1) / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3));
  }
};

Window window_of(double seconds, double rate_hz) {
  const int half = std::clamp(static_cast<int>(seconds / 2 * rate_hz + 0.5), 2, 10);
  return {half, static_cast<std::int64_t>(1e6 * (2 * half + 0.6) / rate_hz)};
}

// Sums of squares of the residuals at the middles of all windows that are whole.
struct Sums {
  double residual = 0, error = 0;
  std::int64_t count = 0;
};

std::vector<Across> errors_of(const std::vector<ReportedFinger>& reported,
                              const std::vector<std::vector<FingerSample>>& fingers, std::int64_t lag_us) {
  std::vector<Across> errors(reported.size());
  for (std::size_t i = 0; i < reported.size(); ++i)
    errors[i] = across_error(reported[i], fingers[static_cast<std::size_t>(reported[i].finger)], lag_us);
  return errors;
}

Sums sum_residuals(const std::vector<ReportedFinger>& reported, const std::vector<Across>& errors,
                   const Window& window, std::size_t stride) {
  const int half = window.half;
  const double m = half, scale = 3 / ((2 * m - 1) * (2 * m + 1) * (2 * m + 3));
  Sums sums;
  const auto span = static_cast<std::size_t>(half);
  for (std::size_t i = span; i + span < reported.size(); i += stride) {
    const ReportedFinger &first = reported[i - span], &last = reported[i + span];
    if (first.contact != last.contact || last.scan_us - first.scan_us > window.longest_us) continue;
    double fit = 0;
    bool usable = true;
    for (int k = -half; k <= half; ++k) {
      const Across& a = errors[static_cast<std::size_t>(static_cast<std::ptrdiff_t>(i) + k)];
      usable = usable && a.usable;
      fit += scale * (3 * m * m + 3 * m - 1 - 5.0 * k * k) * a.error;
    }
    if (!usable || !errors[i].straight) continue;
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
  const Window window = window_of(0.08, rate_hz);
  // The lag that explains most, on part of the reports.
  std::int64_t lag = 0;
  double least = 1e300;
  const std::size_t stride = 1 + reported.size() / 3000;
  for (std::int64_t t = 0; t <= 48000; t += 4000) {
    const Sums sums = sum_residuals(reported, errors_of(reported, fingers, t), window, stride);
    if (sums.count > 0 && sums.residual / static_cast<double>(sums.count) < least)
      least = sums.residual / static_cast<double>(sums.count), lag = t;
  }
  const Sums sums = sum_residuals(reported, errors_of(reported, fingers, lag), window, 1);
  JitterTruth out;
  out.reports = sums.count;
  if (sums.count < fewest) return out;
  out.rms_mm = std::sqrt(sums.residual / static_cast<double>(sums.count) / window.freedom());
  out.error_rms_mm = std::sqrt(sums.error / static_cast<double>(sums.count));
  return out;
}

NoiseTruth true_noise(const std::vector<ReportedFinger>& reported, std::vector<ReportedFinger> quiet,
                      const std::vector<std::vector<FingerSample>>& fingers, double rate_hz) {
  const auto before = [](const ReportedFinger& a, const ReportedFinger& b) {
    return std::tie(a.finger, a.scan_us) < std::tie(b.finger, b.scan_us);
  };
  std::sort(quiet.begin(), quiet.end(), before);
  std::vector<Across> noise(reported.size());
  double sum2 = 0;
  std::int64_t count = 0;
  for (std::size_t k = 0; k < reported.size(); ++k) {
    const ReportedFinger& r = reported[k];
    const auto found = std::lower_bound(quiet.begin(), quiet.end(), r, before);
    if (found == quiet.end() || before(r, *found)) continue;
    const auto& finger = fingers[static_cast<std::size_t>(r.finger)];
    const Across off = across(r.told, found->told, finger, r.scan_us);
    if (!off.usable || std::abs(off.error) > another_touch_mm) continue;
    noise[k] = off;
    noise[k].straight = straight_on(finger, r.scan_us);
    sum2 += off.error * off.error;
    ++count;
  }
  NoiseTruth out;
  if (count >= fewest) out.rms_mm = std::sqrt(sum2 / static_cast<double>(count));
  const Window window = window_of(0.06, rate_hz);
  const Sums sums = sum_residuals(reported, noise, window, 1);
  if (sums.count >= fewest)
    out.seen_rms_mm = std::sqrt(sums.residual / static_cast<double>(sums.count) / window.freedom());
  return out;
}

}  // namespace paneproof
