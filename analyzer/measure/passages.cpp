#include "analyzer/measure/passages.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/near_silences.hpp"

namespace paneproof {
namespace {

constexpr std::size_t enough_reports = 512;
constexpr double reported_mm = 2.0;  // a report this near the middle of a gap: that passage was reported

// Reports of the silence's own passage.
bool own(const Trace& trace, const Report& report, const Silence& s) {
  const double t_s = static_cast<double>(report.t_us) * 1e-6;
  return trace.contacts[report.contact].sweep == s.sweep && t_s > s.t_s - passage_apart_s &&
         t_s < s.t_s + s.gap_s + passage_apart_s;
}

}  // namespace

int passages_reported(const Trace& trace, const ReportField& field, const Silence& s) {
  const Segment c = core(s);
  std::vector<std::uint32_t> reports;
  const int steps = std::max(1, static_cast<int>(0.6 * s.gap_mm));
  for (int k = 0; k <= steps && reports.size() < enough_reports; ++k) {
    const double share = static_cast<double>(k) / steps;
    field.some_within(c.a.x_mm + share * (c.b.x_mm - c.a.x_mm), c.a.y_mm + share * (c.b.y_mm - c.a.y_mm),
                      std::min(reported_mm, 0.25 * s.gap_mm), [&](std::uint32_t r) {
                        reports.push_back(r);
                        return reports.size() >= enough_reports;
                      });
  }
  std::sort(reports.begin(), reports.end());
  int passages = 0;
  const Report* previous = nullptr;
  for (const std::uint32_t r : reports) {
    const Report& report = trace.reports[r];
    if (own(trace, report, s)) continue;
    if (!previous || previous->contact != report.contact || report.t_us - previous->t_us > 200'000)
      ++passages;
    previous = &report;
  }
  return passages;
}

bool passed_again(const Trace& trace, const ReportField& field, const Silence& s, double fingertip_mm) {
  const int steps = std::max(2, static_cast<int>(s.gap_mm));
  int covered = 0;
  for (int k = 1; k < steps; ++k) {
    const double share = static_cast<double>(k) / steps;
    covered += field.some_within(s.from.x_mm + share * (s.to.x_mm - s.from.x_mm),
                                 s.from.y_mm + share * (s.to.y_mm - s.from.y_mm), 0.375 * fingertip_mm,
                                 [&](std::uint32_t r) { return !own(trace, trace.reports[r], s); });
  }
  return covered >= 0.8 * (steps - 1);
}

std::vector<int> reported_crossings(const Trace& trace, bool column, int bins) {
  std::vector<int> count(bins + 1, 0);
  for (const Contact& contact : trace.contacts)
    for (std::uint32_t i = contact.first + 1; i < contact.first + contact.count; ++i) {
      const Report &a = trace.reports[i - 1], &b = trace.reports[i];
      const double p = column ? a.x : a.y, q = column ? b.x : b.y;
      if (std::abs(q - p) > 4.0) continue;
      for (int k = std::max(0, static_cast<int>(std::ceil(std::min(p, q)))); k <= bins && k < std::max(p, q);
           ++k)
        ++count[k];
    }
  return count;
}

}  // namespace paneproof
