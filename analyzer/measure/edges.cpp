#include "analyzer/measure/edges.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/pace.hpp"

namespace paneproof {
namespace {

constexpr double border_cut_mm = 2.0;     // edge filters cut up to this by design (common practice, no source)
constexpr double moving_mm_s = 25.0, towards = 0.8;
constexpr double deepest_mm = 12.0;        // a band deeper than this is an area
constexpr double looked_at_mm = 30.0;      // stops further in count against a band
constexpr double alike_mm = 1.2;          // stops of one band lie within this of their median
constexpr int fewest_stops = 5, fewest_opposite = 3;
constexpr double alike_share = 0.75;

struct Stop {
  Point place;
  double depth_mm = 0, along_mm = 0;
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

double outward(Side side, double dx, double dy) {
  switch (side) {
    case Side::left: return -dx;
    case Side::right: return dx;
    case Side::top: return -dy;
    case Side::bottom: return dy;
  }
  return 0;
}

using Stops = std::array<std::vector<Stop>, 4>;

// Where strokes ended while running towards a side, or began while running away from it.
Stops stops_of(const Trace& trace, const std::vector<std::uint8_t>& counts) {
  Stops stops;
  const auto consider = [&](const Report& r, const std::optional<Pace>& pace, double sign) {
    if (!pace || pace->speed_mm_s < moving_mm_s) return;
    for (int s = 0; s < 4; ++s) {
      const Side side = static_cast<Side>(s);
      if (sign * outward(side, pace->direction_x, pace->direction_y) < towards) continue;
      const double depth = depth_of(trace.panel, side, r.x, r.y);
      if (depth < looked_at_mm) stops[s].push_back({{r.x, r.y}, depth, upright(side) ? r.y : r.x});
    }
  };
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    const Contact& contact = trace.contacts[c];
    if (!counts[c] || contact.count < 4) continue;
    if (contact.ending == Ending::lifted) {
      const std::uint32_t last = contact.first + contact.count - 1;
      consider(trace.reports[last], pace_before(trace, last), 1);
    }
    consider(trace.reports[contact.first], pace_after(trace, contact.first), -1);
  }
  return stops;
}

double median_depth(std::vector<Stop> stops) {
  if (stops.empty()) return -1;
  const auto middle = stops.begin() + static_cast<std::ptrdiff_t>(stops.size() / 2);
  std::nth_element(stops.begin(), middle, stops.end(), [](const Stop& a, const Stop& b) { return a.depth_mm < b.depth_mm; });
  return middle->depth_mm;
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

  const Stops stops = stops_of(trace, counts);
  for (int s = 0; s < 4; ++s) {
    if (stops[s].size() < fewest_stops) continue;
    const Side side = static_cast<Side>(s);
    const double depth = median_depth(stops[s]);
    const int other = static_cast<int>(opposite(side));
    const double usual = reference                               ? std::max(0.0, depth_of(*reference, side))
                         : stops[other].size() >= fewest_opposite ? std::max(border_cut_mm, median_depth(stops[other]))
                                                                  : std::max(border_cut_mm, nearest[other]);
    if (depth > deepest_mm || depth < usual + deeper_mm || nearest[s] < depth - alike_mm - 0.5) continue;
    EdgeBand band{side, depth, 1e9, -1e9, 0, {}};
    for (const Stop& stop : stops[s])
      if (std::abs(stop.depth_mm - depth) <= alike_mm) {
        band.from_mm = std::min(band.from_mm, stop.along_mm);
        band.to_mm = std::max(band.to_mm, stop.along_mm);
        band.places.push_back(stop.place);
        ++band.stops;
      }
    if (band.stops >= fewest_stops && band.stops >= alike_share * static_cast<double>(stops[s].size()))
      out.bands.push_back(std::move(band));
  }
  return out;
}

}  // namespace paneproof
