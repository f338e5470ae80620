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

const Report& ContactSpans::at(std::uint32_t c, std::int64_t t_us) const {
  const auto begin = trace_.reports.begin() + trace_.contacts[c].first;
  const auto end = begin + trace_.contacts[c].count;
  const auto found =
      std::lower_bound(begin, end, t_us, [](const Report& r, std::int64_t t) { return r.t_us < t; });
  return found == end ? *(end - 1) : *found;
}

}  // namespace paneproof
