#include "analyzer/measure/report_rate.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "analyzer/measure/decimals.hpp"

namespace paneproof {
namespace {

constexpr double cluster_share = 0.35;
constexpr std::int64_t fewest_intervals = 8, fewest_of_contact = 12;
constexpr std::int64_t longest_us = 250'000;  // beyond it a finger rested; nothing is said about the rate

// Intervals counted by 10 us, so that a long log costs one pass.
class Intervals {
 public:
  void add(std::int64_t us) { ++count_[static_cast<std::size_t>(us / bin_us)], ++total_; }
  std::int64_t total() const { return total_; }

  double quantile_s(double share) const {
    auto left = static_cast<std::int64_t>(share * static_cast<double>(total_ - 1));
    for (std::size_t b = 0; b < count_.size(); ++b)
      if ((left -= count_[b]) < 0) return middle_s(b);
    return 0;
  }

  // The densest place on a logarithmic scale (steps of 10 %, smoothed over three).
  double mode_s() const {
    constexpr int steps = 110;
    const double ratio = std::log(1.1);
    std::vector<double> dense(steps + 2, 0);
    for (std::size_t b = 0; b < count_.size(); ++b)
      if (count_[b])
        dense[std::clamp(static_cast<int>(std::log(b + 1.0) / ratio), 0, steps - 1) + 1] += count_[b];
    int best = 1;
    const auto smooth = [&](int k) { return dense[k - 1] + 2 * dense[k] + dense[k + 1]; };
    for (int k = 1; k <= steps; ++k)
      if (smooth(k) > smooth(best)) best = k;
    return bin_us * 1e-6 * std::exp((best - 0.5) * ratio);
  }

  // Calls visit(interval in s, how many).
  template <class Visit>
  void each(Visit visit) const {
    for (std::size_t b = 0; b < count_.size(); ++b)
      if (count_[b]) visit(middle_s(b), count_[b]);
  }

 private:
  static constexpr std::int64_t bin_us = 10;
  static double middle_s(std::size_t bin) { return (static_cast<double>(bin) + 0.5) * bin_us * 1e-6; }
  std::vector<std::int32_t> count_ = std::vector<std::int32_t>(longest_us / bin_us + 1, 0);
  std::int64_t total_ = 0;
};

double median(std::vector<float>& values) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

}  // namespace

ReportRate report_rate(const Trace& trace) {
  ReportRate rate;
  for (const SourceFacts& sweep : trace.sweeps) rate.limited_by_source |= sweep.limited_by_source;
  Intervals intervals;
  double sum_us = 0;
  for (const Contact& contact : trace.contacts)
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
      const std::int64_t interval_us = trace.reports[i].t_us - trace.reports[i - 1].t_us;
      if (interval_us > 0 && interval_us <= longest_us) intervals.add(interval_us);
    }
  rate.intervals = intervals.total();
  if (rate.intervals < fewest_intervals) return rate;
  const double mode = intervals.mode_s();
  double missed = 0, frames = 0, in_cluster = 0;
  intervals.each([&](double interval_s, std::int32_t count) {
    const double steps = std::max(1.0, std::round(interval_s / mode));
    frames += steps * count;
    missed += (steps - 1) * count;
  });
  for (const Contact& contact : trace.contacts)
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
      const auto interval_us = static_cast<double>(trace.reports[i].t_us - trace.reports[i - 1].t_us);
      if (std::abs(interval_us * 1e-6 - mode) <= cluster_share * mode) sum_us += interval_us, ++in_cluster;
    }
  rate.rate_hz = in_cluster > 0 ? round_hz(in_cluster / (sum_us * 1e-6)) : 0;
  rate.missed_share = round_share(missed / frames);
  rate.interval_median_s = round_s(intervals.quantile_s(0.5));
  rate.interval_p05_s = round_s(intervals.quantile_s(0.05));
  rate.interval_p95_s = round_s(intervals.quantile_s(0.95));
  return rate;
}

std::vector<double> usual_intervals_s(const Trace& trace, const ReportRate& rate) {
  const double common = rate.rate_hz > 0 ? 1 / rate.rate_hz : rate.interval_median_s;
  std::vector<double> usual(trace.contacts.size(), common);
  std::vector<float> intervals;
  for (std::size_t c = 0; c < trace.contacts.size(); ++c) {
    const Contact& contact = trace.contacts[c];
    if (contact.count <= fewest_of_contact) continue;
    intervals.clear();
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i)
      intervals.push_back(static_cast<float>(trace.reports[i].t_us - trace.reports[i - 1].t_us) * 1e-6f);
    usual[c] = std::max(1e-4, median(intervals));
  }
  return usual;
}

}  // namespace paneproof
