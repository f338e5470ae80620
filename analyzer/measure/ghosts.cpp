#include "analyzer/measure/ghosts.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <queue>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double longest_s = 0.15, stays_mm = 3.0;   // a brief one may wander a little
constexpr double longest_still_s = 0.5, still_mm = 1.0;  // a longer one must keep still
constexpr double elsewhere_mm = 20.0, kin_mm = 12.0, kin_s = 0.3;
constexpr double palm_s = 0.25;
constexpr double fastest_hand_mm_s = 1500.0;

class Looker {
 public:
  explicit Looker(const Trace& trace) : trace_(trace) {
    double longest = 0;
    for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) longest = std::max(longest, end_s(c) - start_s(c));
    longest_contact_s_ = longest;
  }

  // A palm that is seen for a moment: firmware then takes all contacts away.
  bool palm(std::uint32_t c) const {
    bool all_gone = false, still_down = false;
    each_near(c, [&](std::uint32_t other) {
      if (start_s(other) > start_s(c) || end_s(other) < start_s(c) || end_s(other) - start_s(other) <= longest_s) return;
      (end_s(other) <= end_s(c) + palm_s ? all_gone : still_down) = true;
    });
    return all_gone && !still_down;
  }

  bool ghost(std::uint32_t c) const {
    if (!brief(c)) return false;
    bool elsewhere = false, kin = false;
    double before_mm_s = -1, after_mm_s = -1;
    each_near(c, [&](std::uint32_t other) {
      const bool during = start_s(other) <= end_s(c) && end_s(other) >= start_s(c);
      if (during && end_s(other) - start_s(other) > longest_s) {
        if (distance_during(other, c) > elsewhere_mm) elsewhere = true;
      }
      if (start_s(other) <= end_s(c) + kin_s && end_s(other) >= start_s(c) - kin_s && nearest_mm(other, c) < kin_mm) kin = true;
      if (end_s(other) < start_s(c))
        before_mm_s = hand_speed(last(other), first(c));
      else if (start_s(other) > end_s(c) && after_mm_s < 0)
        after_mm_s = hand_speed(last(c), first(other));
    });
    if (kin) return false;
    return elsewhere || (before_mm_s > fastest_hand_mm_s && after_mm_s > fastest_hand_mm_s);
  }

  bool brief(std::uint32_t c) const { return lasts(c, longest_s, stays_mm) || lasts(c, longest_still_s, still_mm); }

  const Report& first(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first]; }
  const Report& last(std::uint32_t c) const { return trace_.reports[trace_.contacts[c].first + trace_.contacts[c].count - 1]; }
  double start_s(std::uint32_t c) const { return static_cast<double>(first(c).t_us) * 1e-6; }
  double end_s(std::uint32_t c) const { return static_cast<double>(last(c).t_us) * 1e-6; }

 private:
  static double hand_speed(const Report& a, const Report& b) {
    return length(b.x - a.x, b.y - a.y) / std::max(1e-6, static_cast<double>(b.t_us - a.t_us) * 1e-6);
  }

  double extent_mm(std::uint32_t c) const {
    double furthest = 0;
    for (std::uint32_t i = 1; i < trace_.contacts[c].count; ++i) {
      const Report& r = trace_.reports[trace_.contacts[c].first + i];
      furthest = std::max(furthest, length(r.x - first(c).x, r.y - first(c).y));
    }
    return furthest;
  }

  bool lasts(std::uint32_t c, double at_most_s, double within_mm) const {
    return end_s(c) - start_s(c) <= at_most_s && extent_mm(c) <= within_mm;
  }

  // Other contacts of the sweep that are down within 1 s of `c`, in order of landing.
  template <class Visit>
  void each_near(std::uint32_t c, Visit visit) const {
    const std::uint32_t sweep = trace_.contacts[c].sweep;
    std::uint32_t from = c;
    while (from > 0 && trace_.contacts[from - 1].sweep == sweep && c - from < 64 &&
           start_s(from - 1) >= start_s(c) - 1 - longest_contact_s_)
      --from;
    for (std::uint32_t other = from; other < trace_.contacts.size(); ++other) {
      if (trace_.contacts[other].sweep != sweep || start_s(other) > end_s(c) + 1) break;
      if (other != c && trace_.contacts[other].tool != Tool::palm) visit(other);
    }
  }

  const Report& during(std::uint32_t other, double t_s) const {
    const auto begin = trace_.reports.begin() + trace_.contacts[other].first;
    const auto end = begin + trace_.contacts[other].count;
    const auto found = std::lower_bound(begin, end, t_s, [](const Report& r, double t) { return static_cast<double>(r.t_us) * 1e-6 < t; });
    return found == end ? *(end - 1) : *found;
  }

  double distance_during(std::uint32_t other, std::uint32_t c) const {
    const Report& r = during(other, start_s(c));
    return length(r.x - first(c).x, r.y - first(c).y);
  }

  double nearest_mm(std::uint32_t other, std::uint32_t c) const {
    const auto from = [&](const Report& r) { return length(r.x - first(c).x, r.y - first(c).y); };
    return std::min({from(first(other)), from(last(other)), from(during(other, start_s(c)))});
  }

  const Trace& trace_;
  double longest_contact_s_ = 0;
};

int most_at_once(const Trace& trace, const std::vector<std::uint8_t>& counts, const Looker& look) {
  std::priority_queue<double, std::vector<double>, std::greater<>> ends;
  std::size_t most = 0;
  std::uint32_t sweep = 0;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    if (trace.contacts[c].sweep != sweep) ends = {}, sweep = trace.contacts[c].sweep;
    while (!ends.empty() && ends.top() < look.start_s(c)) ends.pop();
    ends.push(look.end_s(c));
    most = std::max(most, ends.size());
  }
  return static_cast<int>(most);
}

}  // namespace

Roles contact_roles(const Trace& trace) {
  Roles roles;
  roles.counts.assign(trace.contacts.size(), 0);
  bool finger = false, pen = false;
  for (const Contact& contact : trace.contacts) {
    finger |= contact.tool == Tool::finger;
    pen |= contact.tool == Tool::pen;
    roles.palms += contact.tool == Tool::palm;
  }
  roles.pen_only = pen && !finger;
  const Tool counted = roles.pen_only ? Tool::pen : Tool::finger;
  const Looker look(trace);
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (trace.contacts[c].tool != counted) continue;
    if (!roles.pen_only && trace.contacts[c].ending == Ending::lifted && look.ghost(c)) {
      if (look.palm(c)) {
        ++roles.palms;
        continue;
      }
      const Report& r = look.first(c);
      roles.ghosts.push_back({static_cast<int>(trace.contacts[c].sweep), round_s(look.start_s(c)), round_mm(r.x), round_mm(r.y)});
    } else {
      roles.counts[c] = 1;
    }
  }
  roles.most_at_once = most_at_once(trace, roles.counts, look);
  return roles;
}

}  // namespace paneproof
