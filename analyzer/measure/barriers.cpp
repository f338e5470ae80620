#include "analyzer/measure/barriers.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double off_side_mm = 3.5;
constexpr double beyond_mm = 3.5, clear_mm = 2.5;  // no report within this of a point so far beyond
constexpr double clear_share = 0.8;
constexpr double log_enough = -6.2;                 // 0.002

bool clear_beyond(const ReportField& field, const Visit& visit, Side side) {
  const Point p = beyond(visit.place, side, beyond_mm);
  return !field.any_within(p.x_mm, p.y_mm, clear_mm);
}

}  // namespace

Point beyond(Point place, Side towards, double mm) {
  switch (towards) {
    case Side::left: return {place.x_mm - mm, place.y_mm};
    case Side::right: return {place.x_mm + mm, place.y_mm};
    case Side::top: return {place.x_mm, place.y_mm - mm};
    case Side::bottom: return {place.x_mm, place.y_mm + mm};
  }
  return place;
}

std::vector<Barrier> barriers(const Trace& trace, const std::vector<std::uint8_t>& counts, const ReportField& field) {
  std::vector<Barrier> found;
  for (int s = 0; s < 4; ++s) {
    const Side side = static_cast<Side>(s);
    const std::vector<Visit> visits = visits_to(trace, counts, side);
    std::size_t last = 0;
    for (std::size_t first = 0; first < visits.size(); ++first) {
      while (last < visits.size() && visits[last].depth_mm <= visits[first].depth_mm + alike_mm) ++last;
      if (visits[first].depth_mm < off_side_mm) continue;
      const double log_chance = log_alike(visits, first, last);
      if (log_chance > log_enough) continue;
      Barrier barrier{side, {}, log_chance};
      for (std::size_t i = first; i < last; ++i)
        if (clear_beyond(field, visits[i], side)) barrier.places.push_back(visits[i].place);
      if (static_cast<double>(barrier.places.size()) < clear_share * static_cast<double>(last - first)) continue;
      found.push_back(std::move(barrier));
      first = last - 1;
    }
  }
  return found;
}

}  // namespace paneproof
