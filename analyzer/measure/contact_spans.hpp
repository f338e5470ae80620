// Contacts as touches: when and where each begins and ends, how far it wanders, what is down beside it.
// Only the 64 contacts before and after one are looked at, so that a flood of them costs no more.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <vector>

#include "capture/model/trace.hpp"

namespace paneproof {

// A contact that stayed for less and went less far hardly was one: noise, or a finger that lands or lifts,
// makes such flickers. How far it went is its extent, or from its first report to its last, as each user
// says.
constexpr double flicker_s = 0.1, flicker_mm = 4.0;
constexpr std::uint32_t most_beside = 64;

class ContactSpans {
 public:
  explicit ContactSpans(const Trace& trace);

  const Report& first(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first]; }
  const Report& last(std::uint32_t c) const {
    return trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1];
  }
  double start_s(std::uint32_t c) const { return static_cast<double>(first(c).t_us) * 1e-6; }
  double end_s(std::uint32_t c) const { return static_cast<double>(last(c).t_us) * 1e-6; }
  double lasts_s(std::uint32_t c) const { return end_s(c) - start_s(c); }
  double extent_mm(std::uint32_t c) const;  // furthest from its first report
  double drift_mm(std::uint32_t c) const;   // from the mean of its first half to that of its second
  const Report& at(std::uint32_t c, std::int64_t t_us) const;  // first report not before t_us, or the last
  bool overlap(std::uint32_t a, std::uint32_t b) const {
    return first(a).t_us <= last(b).t_us && first(b).t_us <= last(a).t_us;
  }

  // Calls visit(other) for contacts of the same sweep down within 1 s of `c`, in order of landing; no palms.
  template <class Visit>
  void each_near(std::uint32_t c, Visit visit) const {
    const auto same = [&](std::uint32_t other) {
      return trace_.contacts[other].sweep == trace_.contacts[c].sweep;
    };
    std::uint32_t from = c, to = c + 1;
    while (from > 0 && c - from < most_beside && same(from - 1) &&
           start_s(from - 1) >= start_s(c) - 1 - longest_s_)
      --from;
    while (to < trace_.contacts.size() && to - c <= most_beside && same(to) && start_s(to) <= end_s(c) + 1)
      ++to;
    for (std::uint32_t other = from; other < to; ++other)
      if (other != c && trace_.contacts[other].tool != Tool::palm) visit(other);
  }

 private:
  const Trace& trace_;
  double longest_s_ = 0;
};

// The first finger that lands after `c` was lifted, at most so long after; nullopt where c was not lifted or
// none does. counts: per contact, 0 for those that are no finger of the sweep.
std::optional<std::uint32_t> next_finger(const Trace& trace, const std::vector<std::uint8_t>& counts,
                                         std::uint32_t c, double within_s);

// Time that fingers were down, the sweeps' fingers together.
double contact_s(const Trace& trace);

}  // namespace paneproof
