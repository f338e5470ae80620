#include "analyzer/measure/edges.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/visits.hpp"

namespace paneproof {
namespace {

constexpr double border_cut_mm = 2.0;     // edge filters cut up to this by design (common practice, no source)
constexpr double deepest_mm = 13.0;        // a band deeper than this is an area
constexpr double log_error = -6.2;  // 0.002: one sweep in 500
constexpr double looked_at_mm = 30.0;
constexpr std::ptrdiff_t fewest_opposite = 3;
constexpr double share_nearer = 0.3, usual_share = 0.2;

double depth_of(const EdgeDepth& edges, Side side) {
  switch (side) {
    case Side::left: return edges.left_mm;
    case Side::right: return edges.right_mm;
    case Side::top: return edges.top_mm;
    case Side::bottom: return edges.bottom_mm;
  }
  return 0;
}

Side opposite(Side side) { return static_cast<Side>(static_cast<int>(side) ^ 1); }

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
  if (static_cast<double>(alike.first) > share_nearer * here) return false;
  return log_alike(visits, alike.first, alike.last) <= log_error;
}

// How near visits usually come to a side: a fifth of those that come near it at all come so near or nearer.
double usual_depth(const std::vector<Visit>& visits, double nearest_mm) {
  const auto near = std::find_if(visits.begin(), visits.end(), [](const Visit& v) { return v.depth_mm > looked_at_mm; });
  const auto count = near - visits.begin();
  return count < fewest_opposite ? nearest_mm
                                 : visits[static_cast<std::size_t>(usual_share * static_cast<double>(count))].depth_mm;
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
    const double usual = reference ? std::max(0.0, depth_of(*reference, side))
                                   : std::max(border_cut_mm, usual_depth(visits[other], nearest[other]));
    EdgeBand band = band_of(visits[s], alike, side);
    if (band.depth_mm >= usual + deeper_mm) out.bands.push_back(std::move(band));
  }
  return out;
}

}  // namespace paneproof
