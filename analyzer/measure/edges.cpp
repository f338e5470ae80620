#include "analyzer/measure/edges.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/turnarounds.hpp"
#include "analyzer/measure/visits.hpp"

namespace paneproof {
namespace {

constexpr double border_cut_mm = 2.0;  // edge filters cut up to this by design (common practice, no source)
constexpr double deepest_mm = 22.0;    // reports begin up to 4 mm inside a band's border; deeper is an area
// 0.002, one sweep in 500, of the sum of three such logarithms (each at most -1 or left out).
constexpr double log_error = -10.4, log_some = -1.0;
constexpr double looked_at_mm = 30.0;
constexpr std::ptrdiff_t fewest_opposite = 3;
constexpr double living_mm = 1.2, living_bin_mm = 5.0, largest_living = 0.25;
// A dead line may end contacts at one depth to a fifth of a millimetre.
constexpr double exactly_mm = 0.2;
constexpr std::size_t enough_reports = 5000;
constexpr double share_nearer = 0.3, usual_share = 0.2;

double depth_of(const EdgeDepth& edges, Side side) {
  switch (side) {
    case Side::left:
      return edges.left_mm;
    case Side::right:
      return edges.right_mm;
    case Side::top:
      return edges.top_mm;
    case Side::bottom:
      return edges.bottom_mm;
  }
  return 0;
}

Side opposite(Side side) { return static_cast<Side>(static_cast<int>(side) ^ 1); }

// The fullest `width_mm` of depths that is shallow enough for a band.
Alike fullest(const std::vector<Visit>& visits, double width_mm) {
  Alike best, here;
  for (; here.first < visits.size() && visits[here.first].depth_mm <= deepest_mm; ++here.first) {
    while (here.last < visits.size() && visits[here.last].depth_mm <= visits[here.first].depth_mm + width_mm)
      ++here.last;
    if (here.count() > best.count()) best = here;
  }
  return best;
}

// The step of the positions told: the least that two of the first of them differ by.
double resolution_mm(const Trace& trace, Side side) {
  std::vector<double> at;
  for (std::size_t i = 0; i < std::min(trace.reports.size(), enough_reports); ++i)
    at.push_back(upright(side) ? trace.reports[i].x : trace.reports[i].y);
  std::sort(at.begin(), at.end());
  double least = about_mm;
  for (std::size_t k = 1; k < at.size(); ++k)
    if (at[k] > at[k - 1]) least = std::min(least, at[k] - at[k - 1]);
  return least;
}

// Visits that come to an end as a hand's would not.
struct Stops {
  std::vector<Visit> visits;  // by depth
  double log_chance = 0;
};

// Contacts that end or begin at one depth exactly, however few.
Stops exact_stops(const std::vector<Visit>& all, const Trace& trace, Side side) {
  std::vector<Visit> ends;
  std::copy_if(all.begin(), all.end(), std::back_inserter(ends),
               [](const Visit& v) { return v.kind != Visit::Kind::turned; });
  const Alike alike = fullest(ends, exactly_mm);
  if (log_alike(ends, alike, exactly_mm) > log_error) return {};
  return {{ends.begin() + static_cast<std::ptrdiff_t>(alike.first),
           ends.begin() + static_cast<std::ptrdiff_t>(alike.last)},
          log_alike(ends, alike, exactly_mm + resolution_mm(trace, side))};
}

// Kind by kind, to a millimetre.
Stops stops_of(const std::vector<Visit>& all) {
  Stops stops;
  for (int k = 0; k < visit_kinds; ++k) {
    const std::vector<Visit> visits = of_kind(all, static_cast<Visit::Kind>(k));
    const Alike alike = fullest(visits, alike_mm);
    const double log_chance = log_alike(visits, alike);
    if (log_chance > log_some) continue;
    stops.log_chance += log_chance;
    stops.visits.insert(stops.visits.end(), visits.begin() + static_cast<std::ptrdiff_t>(alike.first),
                        visits.begin() + static_cast<std::ptrdiff_t>(alike.last));
  }
  std::stable_sort(stops.visits.begin(), stops.visits.end(),
                   [](const Visit& a, const Visit& b) { return a.depth_mm < b.depth_mm; });
  return stops;
}

// Contacts that vanished and came back as fingers do that turned out of sight, beside those that stop alike.
Stops turned_stops(const TurnedAlike& turned, const Stops& alike, Side side) {
  Stops stops;
  stops.log_chance = alike.log_chance + turned.log_chance;
  for (const Turnaround& t : turned.turnarounds)
    stops.visits.push_back(
        {Visit::Kind::ended, t.from, t.depth_mm, upright(side) ? t.from.y_mm : t.from.x_mm, true});
  return stops;
}

// Are they more than a hand's habit?
bool stands_clear(const Stops& stops, const std::vector<Visit>& all) {
  if (stops.visits.empty() || stops.log_chance > log_error ||
      !some_in_motion(all, stops.visits.front().depth_mm))
    return false;
  const auto nearer = std::count_if(
      all.begin(), all.end(), [&](const Visit& v) { return v.depth_mm < stops.visits.front().depth_mm; });
  return static_cast<double>(nearer) <= share_nearer * static_cast<double>(stops.visits.size());
}

EdgeBand band_of(const Stops& stops, Side side) {
  EdgeBand band{side, stops.visits[stops.visits.size() / 4].depth_mm, 1e9,
                -1e9, static_cast<int>(stops.visits.size()),          {}};
  for (const Visit& visit : stops.visits) {
    band.from_mm = std::min(band.from_mm, visit.along_mm);
    band.to_mm = std::max(band.to_mm, visit.along_mm);
    band.places.push_back(visit.place);
  }
  return band;
}

// How much of the band's length holds reports nearer to the side than it, by more than a millimetre: there it
// lives.
double lives_along(const EdgeBand& band, const Trace& trace, const std::vector<std::uint8_t>& counts) {
  const auto bins = static_cast<std::size_t>(std::max(1.0, (band.to_mm - band.from_mm) / living_bin_mm));
  std::vector<std::uint8_t> lives(bins, 0);
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    const Contact& contact = trace.contacts[c];
    for (std::uint32_t i = contact.first; i < contact.first + contact.count; ++i) {
      const Report& r = trace.reports[i];
      if (depth_from(band.side, trace.panel, r.x, r.y) > band.depth_mm - living_mm) continue;
      const double along = ((upright(band.side) ? r.y : r.x) - band.from_mm) / living_bin_mm;
      if (along >= 0 && along < static_cast<double>(bins)) lives[static_cast<std::size_t>(along)] = 1;
    }
  }
  return static_cast<double>(std::count(lives.begin(), lives.end(), 1)) / static_cast<double>(bins);
}

// How near visits usually come to a side: a fifth of those that come near it at all come so near or nearer.
double usual_depth(const std::vector<Visit>& visits, double nearest_mm) {
  const auto near =
      std::find_if(visits.begin(), visits.end(), [](const Visit& v) { return v.depth_mm > looked_at_mm; });
  const auto count = near - visits.begin();
  return count < fewest_opposite
             ? nearest_mm
             : visits[static_cast<std::size_t>(usual_share * static_cast<double>(count))].depth_mm;
}

}  // namespace

Edges edges(const Trace& trace, const std::vector<std::uint8_t>& counts, double deeper_mm,
            const EdgeDepth* reference) {
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
    const Side side = static_cast<Side>(s);
    const Stops alike = stops_of(visits[s]);
    Stops stops = alike;
    if (!stands_clear(stops, visits[s])) stops = exact_stops(visits[s], trace, side);
    if (!stands_clear(stops, visits[s]))
      stops = turned_stops(turned_alike(turnarounds_at(trace, counts, side)), alike, side);
    if (!stands_clear(stops, visits[s])) continue;
    const int other = static_cast<int>(opposite(side));
    const double usual = reference ? std::max(0.0, depth_of(*reference, side))
                                   : std::max(border_cut_mm, usual_depth(visits[other], nearest[other]));
    EdgeBand band = band_of(stops, side);
    if (band.depth_mm < usual + deeper_mm || lives_along(band, trace, counts) > largest_living) continue;
    out.bands.push_back(std::move(band));
  }
  return out;
}

}  // namespace paneproof
