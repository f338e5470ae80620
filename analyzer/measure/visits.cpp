#include "analyzer/measure/visits.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/pace.hpp"

namespace paneproof {
namespace {

constexpr double moving_mm_s = 25.0;
constexpr double nearer_mm = 3.0;
constexpr double about_mm = 4.0;
// Were hands to turn anywhere within 4 mm, a quarter would turn within this 1 mm; half as many more granted,
// as the fullest millimetre is looked for.
constexpr double chance_alike = 1.5 * alike_mm / about_mm;
constexpr std::ptrdiff_t fewest_alike = 5, fewest_stopped = 3;

// Visits of one contact to a side, one after the other: the nearest point of each.
class Visits {
 public:
  Visits(const Trace& trace, Side side) : trace_(trace), side_(side) {}

  void add(const Contact& contact, std::vector<Visit>& visits) const {
    const std::uint32_t last = contact.first + contact.count - 1;
    std::uint32_t nearest = contact.first;
    double from_mm = depth(nearest);  // the furthest off before `nearest`
    bool leaving = false;             // since the last visit it only went away
    for (std::uint32_t i = contact.first; i <= last; ++i) {
      const double here_mm = depth(i);
      if (here_mm < depth(nearest)) nearest = i, leaving = false;
      if (here_mm >= from_mm) {
        from_mm = here_mm;
        if (leaving) nearest = i;
      }
      if (here_mm <= depth(nearest) + nearer_mm) continue;
      if (from_mm - depth(nearest) >= nearer_mm) keep(contact, nearest, visits);
      nearest = i, from_mm = here_mm, leaving = true;
    }
    if (from_mm - depth(nearest) >= nearer_mm) keep(contact, nearest, visits);
  }

 private:
  double depth(std::uint32_t report) const {
    return depth_from(side_, trace_.panel, trace_.reports[report].x, trace_.reports[report].y);
  }
  void keep(const Contact& contact, std::uint32_t nearest, std::vector<Visit>& visits) const {
    const std::uint32_t last = contact.first + contact.count - 1;
    const Report& r = trace_.reports[nearest];
    const bool began = nearest <= contact.first + 1 && moving(pace_after(trace_, contact.first));
    const bool ended = nearest + 1 >= last && contact.ending == Ending::lifted && moving(pace_before(trace_, last));
    visits.push_back({{r.x, r.y}, depth(nearest), upright(side_) ? r.y : r.x, began || ended});
  }
  static bool moving(const std::optional<Pace>& pace) { return pace && pace->speed_mm_s >= moving_mm_s; }

  const Trace& trace_;
  Side side_;
};

}  // namespace

std::vector<Visit> visits_to(const Trace& trace, const std::vector<std::uint8_t>& counts, Side side) {
  const Visits finder(trace, side);
  std::vector<Visit> visits;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c)
    if (counts[c]) finder.add(trace.contacts[c], visits);
  std::stable_sort(visits.begin(), visits.end(), [](const Visit& a, const Visit& b) { return a.depth_mm < b.depth_mm; });
  return visits;
}

double log_alike(const std::vector<Visit>& visits, std::size_t first, std::size_t last) {
  const auto begin = visits.begin() + static_cast<std::ptrdiff_t>(first);
  const auto end = visits.begin() + static_cast<std::ptrdiff_t>(last);
  if (end - begin < fewest_alike) return 0;
  if (std::count_if(begin, end, [](const Visit& v) { return v.stopped; }) < fewest_stopped) return 0;
  const auto about = std::find_if(end, visits.end(), [&](const Visit& v) { return v.depth_mm > begin->depth_mm + about_mm; });
  return log_binomial_tail(static_cast<int>(end - begin), static_cast<int>(about - begin), chance_alike);
}

}  // namespace paneproof
