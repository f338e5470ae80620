#include "analyzer/measure/edges.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/pace.hpp"

namespace paneproof {
namespace {

constexpr double border_cut_mm = 2.0;     // edge filters cut up to this by design (common practice, no source)
constexpr double moving_mm_s = 25.0;
constexpr double deepest_mm = 13.0;        // a band deeper than this is an area
constexpr double looked_at_mm = 30.0;
constexpr double nearer_mm = 3.0;          // a visit comes nearer by this much
constexpr double alike_mm = 1.0, about_mm = 4.0;
// Were hands to turn anywhere within 4 mm, a quarter would turn within this 1 mm; half as many more granted,
// as the fullest millimetre is looked for.
constexpr double chance_alike = 1.5 * alike_mm / about_mm, log_error = -6.2;  // 0.002: one sweep in 500
constexpr int fewest_alike = 5, fewest_stopped = 3, fewest_opposite = 3;
constexpr double share_nearer = 0.3, usual_share = 0.2;

struct Visit {
  Point place;
  double depth_mm = 0, along_mm = 0;
  bool stopped = false;  // the contact ended, or had begun, there in full motion
};

double depth_of(const Panel& panel, Side side, double x, double y) {
  switch (side) {
    case Side::left: return x;
    case Side::right: return panel.width_mm - x;
    case Side::top: return y;
    case Side::bottom: return panel.height_mm - y;
  }
  return 0;
}

double depth_of(const EdgeDepth& edges, Side side) {
  switch (side) {
    case Side::left: return edges.left_mm;
    case Side::right: return edges.right_mm;
    case Side::top: return edges.top_mm;
    case Side::bottom: return edges.bottom_mm;
  }
  return 0;
}

bool upright(Side side) { return side == Side::left || side == Side::right; }
Side opposite(Side side) { return static_cast<Side>(static_cast<int>(side) ^ 1); }

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
    return depth_of(trace_.panel, side_, trace_.reports[report].x, trace_.reports[report].y);
  }
  void keep(const Contact& contact, std::uint32_t nearest, std::vector<Visit>& visits) const {
    if (depth(nearest) > looked_at_mm) return;
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

// By depth.
std::vector<Visit> visits_to(const Trace& trace, const std::vector<std::uint8_t>& counts, Side side) {
  const Visits finder(trace, side);
  std::vector<Visit> visits;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c)
    if (counts[c]) finder.add(trace.contacts[c], visits);
  std::stable_sort(visits.begin(), visits.end(), [](const Visit& a, const Visit& b) { return a.depth_mm < b.depth_mm; });
  return visits;
}

// The fullest millimetre of depths that is shallow enough for a band: [first, last) of `visits`.
struct Alike {
  std::size_t first = 0, last = 0;
};

Alike fullest(const std::vector<Visit>& visits) {
  Alike best;
  for (std::size_t i = 0, j = 0; i < visits.size() && visits[i].depth_mm <= deepest_mm; ++i) {
    while (j < visits.size() && visits[j].depth_mm <= visits[i].depth_mm + alike_mm) ++j;
    if (j - i > best.last - best.first) best = {i, j};
  }
  return best;
}

// Is the fullest millimetre more than a hand's habit?
bool stands_clear(const std::vector<Visit>& visits, Alike alike) {
  const int here = static_cast<int>(alike.last - alike.first);
  if (here < fewest_alike || static_cast<double>(alike.first) > share_nearer * here) return false;
  const auto stopped = std::count_if(visits.begin() + static_cast<std::ptrdiff_t>(alike.first),
                                     visits.begin() + static_cast<std::ptrdiff_t>(alike.last),
                                     [](const Visit& v) { return v.stopped; });
  if (stopped < fewest_stopped) return false;
  int about = here;
  for (std::size_t i = alike.last; i < visits.size() && visits[i].depth_mm <= visits[alike.first].depth_mm + about_mm; ++i)
    ++about;
  return log_binomial_tail(here, about, chance_alike) <= log_error;
}

EdgeBand band_of(const std::vector<Visit>& visits, Alike alike, Side side) {
  EdgeBand band{side, visits[(alike.first + alike.last) / 2].depth_mm, 1e9, -1e9, static_cast<int>(alike.last - alike.first), {}};
  for (std::size_t i = alike.first; i < alike.last; ++i) {
    band.from_mm = std::min(band.from_mm, visits[i].along_mm);
    band.to_mm = std::max(band.to_mm, visits[i].along_mm);
    band.places.push_back(visits[i].place);
  }
  return band;
}

}  // namespace

Edges edges(const Trace& trace, const std::vector<std::uint8_t>& counts, double deeper_mm, const EdgeDepth* reference) {
  Edges out;
  double low_x = 1e9, high_x = -1e9, low_y = 1e9, high_y = -1e9;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    const Contact& contact = trace.contacts[c];
    for (std::uint32_t i = contact.first; i < contact.first + contact.count; ++i) {
      const Report& r = trace.reports[i];
      low_x = std::min(low_x, r.x), high_x = std::max(high_x, r.x);
      low_y = std::min(low_y, r.y), high_y = std::max(high_y, r.y);
    }
  }
  const double nearest[4] = {low_x, trace.panel.width_mm - high_x, low_y, trace.panel.height_mm - high_y};
  const auto printed = [](double mm) { return mm < 1e8 ? round_mm(mm) : 0.0; };
  out.nearest = {printed(nearest[0]), printed(nearest[1]), printed(nearest[2]), printed(nearest[3])};

  std::array<std::vector<Visit>, 4> visits;
  for (int s = 0; s < 4; ++s) visits[s] = visits_to(trace, counts, static_cast<Side>(s));
  for (int s = 0; s < 4; ++s) {
    const Alike alike = fullest(visits[s]);
    if (!stands_clear(visits[s], alike)) continue;
    const Side side = static_cast<Side>(s);
    const int other = static_cast<int>(opposite(side));
    const std::size_t few = static_cast<std::size_t>(usual_share * static_cast<double>(visits[other].size()));
    const double usual = reference                                 ? std::max(0.0, depth_of(*reference, side))
                         : visits[other].size() >= fewest_opposite ? std::max(border_cut_mm, visits[other][few].depth_mm)
                                                                   : std::max(border_cut_mm, nearest[other]);
    EdgeBand band = band_of(visits[s], alike, side);
    if (band.depth_mm >= usual + deeper_mm) out.bands.push_back(std::move(band));
  }
  return out;
}

}  // namespace paneproof
