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

// Is there a place without reports beyond a visit? Each visit is looked at once.
class Clear {
 public:
  Clear(const ReportField& field, Side side, const std::vector<Visit>& visits)
      : field_(field), side_(side), visits_(visits), known_(visits.size(), Known::no) {}

  bool beyond_visit(std::size_t i) {
    if (known_[i] == Known::no) known_[i] = look(visits_[i]) ? Known::clear : Known::reported;
    return known_[i] == Known::clear;
  }

 private:
  enum class Known : std::uint8_t { no, clear, reported };

  bool look(const Visit& visit) const {
    for (double mm = beyond_mm; mm <= most_beyond_mm; mm += 1) {
      const Point p = beyond(visit.place, side_, mm);
      if (!field_.any_within(p.x_mm, p.y_mm, clear_mm)) return true;
    }
    return false;
  }

  const ReportField& field_;
  Side side_;
  const std::vector<Visit>& visits_;
  std::vector<Known> known_;
};

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
    const double extent_mm = upright(side) ? trace.panel.width_mm : trace.panel.height_mm;
    const std::vector<Visit> all = visits_to(trace, counts, side, Ends::all);
    for (const Visit::Kind kind : {Visit::Kind::ended, Visit::Kind::began}) {
      const std::vector<Visit> visits = of_kind(all, kind);
      Clear clear(field, side, visits);
      Alike alike;
      for (; alike.first < visits.size(); ++alike.first) {
        const double depth_mm = visits[alike.first].depth_mm;
        while (alike.last < visits.size() && visits[alike.last].depth_mm <= depth_mm + alike_mm) ++alike.last;
        if (depth_mm < off_side_mm || depth_mm > extent_mm - off_side_mm) continue;
        Barrier barrier{side, {}, log_alike(visits, alike)};
        if (barrier.log_chance > log_enough || share_alike(visits, alike) < aimed_share ||
            !some_in_motion(all, depth_mm))
          continue;
        for (std::size_t i = alike.first; i < alike.last; ++i)
          if (clear.beyond_visit(i)) barrier.places.push_back(visits[i].place);
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
