#include "analyzer/measure/contact_spans.hpp"

#include "analyzer/measure/length.hpp"

namespace paneproof {

ContactSpans::ContactSpans(const Trace& trace) : trace_(trace) {
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) longest_s_ = std::max(longest_s_, lasts_s(c));
}

double ContactSpans::extent_mm(std::uint32_t c) const {
  double furthest = 0;
  for (std::uint32_t i = 1; i < trace_.contacts[c].count; ++i) {
    const Report& r = trace_.reports[trace_.contacts[c].first + i];
    furthest = std::max(furthest, length(r.x - first(c).x, r.y - first(c).y));
  }
  return furthest;
}

double ContactSpans::drift_mm(std::uint32_t c) const {
  const std::uint32_t half = trace_.contacts[c].count / 2;
  if (half == 0) return 0;
  double dx = 0, dy = 0;
  for (std::uint32_t i = 0; i < half; ++i) {
    const Report &a = trace_.reports[trace_.contacts[c].first + i],
                 &b = trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1 - i];
    dx += b.x - a.x, dy += b.y - a.y;
  }
  return length(dx, dy) / half;
}

const Report& ContactSpans::at(std::uint32_t c, std::int64_t t_us) const {
  const auto begin = trace_.reports.begin() + trace_.contacts[c].first;
  const auto end = begin + trace_.contacts[c].count;
  const auto found =
      std::lower_bound(begin, end, t_us, [](const Report& r, std::int64_t t) { return r.t_us < t; });
  return found == end ? *(end - 1) : *found;
}

std::optional<std::uint32_t> next_finger(const Trace& trace, const std::vector<std::uint8_t>& counts,
                                         std::uint32_t c, double within_s) {
  const Contact& lifted = trace.contacts[c];
  if (!counts[c] || lifted.ending != Ending::lifted) return std::nullopt;
  const std::int64_t end_us = trace.reports[lifted.first + lifted.count - 1].t_us;
  const std::size_t end = std::min<std::size_t>(trace.contacts.size(), c + 1 + most_beside);
  for (std::uint32_t next = c + 1; next < end; ++next) {
    const std::int64_t away_us = trace.reports[trace.contacts[next].first].t_us - end_us;
    if (trace.contacts[next].sweep != lifted.sweep || static_cast<double>(away_us) * 1e-6 > within_s) break;
    if (counts[next] && away_us > 0) return next;
  }
  return std::nullopt;
}

double contact_s(const Trace& trace) {
  std::int64_t us = 0;
  for (const Contact& c : trace.contacts)
    us += trace.reports[c.first + c.count - 1].t_us - trace.reports[c.first].t_us;
  return static_cast<double>(us) * 1e-6;
}

}  // namespace paneproof
