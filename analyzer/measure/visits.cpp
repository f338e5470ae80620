#include "analyzer/measure/visits.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/pace.hpp"

namespace paneproof {
namespace {

constexpr double moving_mm_s = 25.0;
constexpr double nearer_mm = 3.0;
// Were hands to turn anywhere within 4 mm, a quarter would turn within a certain 1 mm; half as many more
// granted, as the fullest millimetre is looked for.
constexpr double fullest_holds = 1.5;
constexpr std::size_t fewest_alike = 4;
constexpr int fewest_in_motion = 3;

// Visits of one contact to a side, one after the other: the nearest point of each.
class Visits {
 public:
  Visits(const Trace& trace, Side side, bool all_ends) : trace_(trace), side_(side), all_ends_(all_ends) {}

  void add(const Contact& contact, std::vector<Visit>& visits) const {
    const std::uint32_t last = contact.first + contact.count - 1;
    const std::size_t before = visits.size();
    turns(contact, visits);
    if (!all_ends_) return;
    bool began = false, ended = false;
    for (std::size_t k = before; k < visits.size(); ++k) {
      began |= visits[k].kind == Visit::Kind::began;
      ended |= visits[k].kind == Visit::Kind::ended;
    }
    if (!began) keep(contact, contact.first, visits);
    if (!ended && contact.ending == Ending::lifted && last > contact.first + 1) keep(contact, last, visits);
  }

 private:
  void turns(const Contact& contact, std::vector<Visit>& visits) const {
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

  double depth(std::uint32_t report) const {
    return depth_from(side_, trace_.panel, trace_.reports[report].x, trace_.reports[report].y);
  }
  void keep(const Contact& contact, std::uint32_t nearest, std::vector<Visit>& visits) const {
    const std::uint32_t last = contact.first + contact.count - 1;
    const Report& r = trace_.reports[nearest];
    Visit visit{Visit::Kind::turned, {r.x, r.y}, depth(nearest), upright(side_) ? r.y : r.x, false};
    if (nearest <= contact.first + 1) {
      visit.kind = Visit::Kind::began;
      visit.in_motion = moving(pace_after(trace_, contact.first));
    } else if (nearest + 1 >= last && contact.ending == Ending::lifted) {
      visit.kind = Visit::Kind::ended;
      visit.in_motion = moving(pace_before(trace_, last));
    }
    visits.push_back(visit);
  }
  static bool moving(const std::optional<Pace>& pace) { return pace && pace->speed_mm_s >= moving_mm_s; }

  const Trace& trace_;
  Side side_;
  bool all_ends_;
};

// Where visits of this depth, or more than it, begin.
std::ptrdiff_t from_depth(const std::vector<Visit>& visits, double depth_mm) {
  return std::lower_bound(visits.begin(), visits.end(), depth_mm,
                          [](const Visit& v, double mm) { return v.depth_mm < mm; }) -
         visits.begin();
}
std::ptrdiff_t past_depth(const std::vector<Visit>& visits, double depth_mm) {
  return std::upper_bound(visits.begin(), visits.end(), depth_mm,
                          [](double mm, const Visit& v) { return mm < v.depth_mm; }) -
         visits.begin();
}

// Visits from the first of `alike` to 4 mm further off.
std::ptrdiff_t count_about(const std::vector<Visit>& visits, Alike alike) {
  return past_depth(visits, visits[alike.first].depth_mm + about_mm) -
         static_cast<std::ptrdiff_t>(alike.first);
}

}  // namespace

std::vector<Visit> visits_to(const Trace& trace, const std::vector<std::uint8_t>& counts, Side side,
                             Ends ends) {
  const Visits finder(trace, side, ends == Ends::all);
  std::vector<Visit> visits;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c)
    if (counts[c]) finder.add(trace.contacts[c], visits);
  std::stable_sort(visits.begin(), visits.end(),
                   [](const Visit& a, const Visit& b) { return a.depth_mm < b.depth_mm; });
  return visits;
}

std::vector<Visit> of_kind(const std::vector<Visit>& visits, Visit::Kind kind) {
  std::vector<Visit> out;
  std::copy_if(visits.begin(), visits.end(), std::back_inserter(out),
               [&](const Visit& v) { return v.kind == kind; });
  return out;
}

double log_alike(const std::vector<Visit>& visits, Alike alike, double width_mm) {
  if (alike.count() < fewest_alike) return 0;
  return log_binomial_tail(static_cast<int>(alike.count()), static_cast<int>(count_about(visits, alike)),
                           std::min(0.5, fullest_holds * width_mm / about_mm));
}

double share_alike(const std::vector<Visit>& visits, Alike alike) {
  const double depth_mm = visits[alike.first].depth_mm;
  return static_cast<double>(alike.count()) / static_cast<double>(past_depth(visits, depth_mm + about_mm) -
                                                                  from_depth(visits, depth_mm - about_mm));
}

bool some_in_motion(const std::vector<Visit>& visits, double depth_mm) {
  const auto end = visits.begin() + past_depth(visits, depth_mm + about_mm);
  int some = 0;
  for (auto v = visits.begin() + from_depth(visits, depth_mm); v != end && some < fewest_in_motion; ++v)
    some += v->in_motion;
  return some >= fewest_in_motion;
}

}  // namespace paneproof
