#include "analyzer/measure/report_rate.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/decimals.hpp"

namespace paneproof {
namespace {

constexpr double cluster_share = 0.35;
constexpr std::size_t fewest_intervals = 8, fewest_of_contact = 12;
constexpr double longest_s = 0.25;  // beyond it a finger rested; nothing is said about the rate

double quantile(std::vector<float>& values, double share) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

// The densest place of the intervals on a logarithmic scale (bins of 10 %, smoothed over three).
double mode_s(const std::vector<float>& intervals) {
  constexpr int bins = 120;
  const double ratio = std::log(1.1), shortest = 1e-4;
  std::vector<double> count(bins + 2, 0);
  for (const float interval : intervals) {
    const int bin = static_cast<int>(std::log(std::max<double>(interval, shortest) / shortest) / ratio);
    count[std::clamp(bin, 0, bins - 1) + 1] += 1;
  }
  int best = 1;
  const auto smooth = [&](int b) { return count[b - 1] + 2 * count[b] + count[b + 1]; };
  for (int b = 1; b <= bins; ++b)
    if (smooth(b) > smooth(best)) best = b;
  return shortest * std::exp((best - 0.5) * ratio);
}

}  // namespace

ReportRate report_rate(const Trace& trace) {
  ReportRate rate;
  for (const SourceFacts& sweep : trace.sweeps) rate.limited_by_source |= sweep.limited_by_source;
  std::vector<float> intervals;
  intervals.reserve(trace.reports.size());
  for (const Contact& contact : trace.contacts)
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
      const double interval_s = static_cast<double>(trace.reports[i].t_us - trace.reports[i - 1].t_us) * 1e-6;
      if (interval_s > 0 && interval_s <= longest_s) intervals.push_back(static_cast<float>(interval_s));
    }
  rate.intervals = static_cast<std::int64_t>(intervals.size());
  if (intervals.size() < fewest_intervals) return rate;
  const double mode = mode_s(intervals);
  double sum = 0, missed = 0, frames = 0;
  std::size_t in_cluster = 0;
  for (const float interval : intervals) {
    if (std::abs(interval - mode) <= cluster_share * mode) sum += interval, ++in_cluster;
    const double steps = std::max(1.0, std::round(interval / mode));
    frames += steps;
    missed += steps - 1;
  }
  rate.rate_hz = in_cluster ? round_hz(static_cast<double>(in_cluster) / sum) : 0;
  rate.missed_share = round_share(missed / frames);
  rate.interval_median_s = round_s(quantile(intervals, 0.5));
  rate.interval_p05_s = round_s(quantile(intervals, 0.05));
  rate.interval_p95_s = round_s(quantile(intervals, 0.95));
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
    usual[c] = std::max(1e-4, quantile(intervals, 0.5));
  }
  return usual;
}

}  // namespace paneproof
