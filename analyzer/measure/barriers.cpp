#include "analyzer/measure/barriers.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double off_side_mm = 3.5;
// No report within clear_mm of some point so far beyond: contacts that begin there are reported late, and
// those that turn come nearer.
constexpr double beyond_mm = 3.5, most_beyond_mm = 7.5, clear_mm = 2.5;
constexpr double clear_share = 0.8;
// A hand that aims at one line again and again puts 0.4 of its ends within 1 mm (standard deviation of 1 mm).
constexpr double aimed_share = 0.5;
constexpr double log_enough = -3.0;  // 0.05: to be taken together with others

bool clear_beyond(const ReportField& field, const Visit& visit, Side side) {
  for (double mm = beyond_mm; mm <= most_beyond_mm; mm += 1) {
    const Point p = beyond(visit.place, side, mm);
    if (!field.any_within(p.x_mm, p.y_mm, clear_mm)) return true;
  }
  return false;
}

}  // namespace

Point beyond(Point place, Side towards, double mm) {
  switch (towards) {
    case Side::left:
      return {place.x_mm - mm, place.y_mm};
    case Side::right:
      return {place.x_mm + mm, place.y_mm};
    case Side::top:
      return {place.x_mm, place.y_mm - mm};
    case Side::bottom:
      return {place.x_mm, place.y_mm + mm};
  }
  return place;
}

std::vector<Barrier> barriers(const Trace& trace, const std::vector<std::uint8_t>& counts,
                              const ReportField& field) {
  std::vector<Barrier> found;
  for (int s = 0; s < 4; ++s) {
    const Side side = static_cast<Side>(s);
    const std::vector<Visit> all = visits_to(trace, counts, side, Ends::all);
    for (int k = 0; k < visit_kinds; ++k) {
      const std::vector<Visit> visits = of_kind(all, static_cast<Visit::Kind>(k));
      Alike alike;
      for (; alike.first < visits.size(); ++alike.first) {
        const double depth_mm = visits[alike.first].depth_mm;
        while (alike.last < visits.size() && visits[alike.last].depth_mm <= depth_mm + alike_mm) ++alike.last;
        if (depth_mm < off_side_mm) continue;
        Barrier barrier{side, {}, log_alike(visits, alike)};
        if (barrier.log_chance > log_enough || share_alike(visits, alike) < aimed_share ||
            !some_in_motion(all, depth_mm))
          continue;
        for (std::size_t i = alike.first; i < alike.last; ++i)
          if (clear_beyond(field, visits[i], side)) barrier.places.push_back(visits[i].place);
        if (static_cast<double>(barrier.places.size()) < clear_share * static_cast<double>(alike.count()))
          continue;
        found.push_back(std::move(barrier));
        alike.first = alike.last - 1;
      }
    }
  }
  return found;
}

}  // namespace paneproof
