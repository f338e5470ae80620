#include "analyzer/measure/turnarounds.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "analyzer/measure/chance.hpp"
#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/thinned.hpp"

namespace paneproof {
namespace {

constexpr double straight_on = 0.8;  // cosine, to the side
constexpr double longest_away_s = 1.5, furthest_aside_mm = 25.0, deepest_mm = 18.0;
constexpr double place_mm = 2.0;  // either way
constexpr double depth_mm = 1.0;  // and a step
constexpr double nearest_turn_mm = -15.0, furthest_turn_mm = 3.0, looked_at_mm = 8.0;
constexpr std::size_t fewest = 5, enough = 1000;
// Of the turnarounds of hands, the fullest 4 mm hold three in ten (median of 31 sides that hands left out, of
// this model and of others that are not kept here).
constexpr double hands_share = 0.3;

double towards(Side side, const Pace& pace) { return towards(side, pace.direction_x, pace.direction_y); }

const Report& last_of(const Trace& trace, const Contact& c) { return trace.reports[c.first + c.count - 1]; }

std::optional<Turnaround> turnaround(const Trace& trace, Side side, const Contact& before,
                                     const Contact& after) {
  if (before.count < 2) return std::nullopt;
  const Report &from = last_of(trace, before), &to = trace.reports[after.first];
  const auto leaves = pace_before(trace, before.first + before.count - 1);
  const auto returns = pace_after(trace, after.first);
  if (!leaves || towards(side, *leaves) < straight_on || !returns || towards(side, *returns) > -straight_on)
    return std::nullopt;
  const double aside_mm = std::abs(upright(side) ? to.y - from.y : to.x - from.x);
  if (aside_mm > furthest_aside_mm) return std::nullopt;
  const double depth = depth_from(side, trace.panel, from.x, from.y);
  const double speed_mm_s = pace_between_mm_s(leaves, returns);
  const double way_mm = speed_mm_s * static_cast<double>(to.t_us - from.t_us) * 1e-6;
  const std::int64_t interval_us = from.t_us - trace.reports[before.first + before.count - 2].t_us;
  return Turnaround{{from.x, from.y},
                    depth,
                    speed_mm_s * static_cast<double>(interval_us) * 1e-6,
                    (depth + depth_from(side, trace.panel, to.x, to.y) + aside_mm - way_mm) / 2};
}

}  // namespace

std::vector<Turnaround> turnarounds_at(const Trace& trace, const std::vector<std::uint8_t>& counts,
                                       Side side) {
  std::vector<Turnaround> out;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    const Report& from = last_of(trace, trace.contacts[c]);
    if (!counts[c] || depth_from(side, trace.panel, from.x, from.y) > deepest_mm) continue;
    const auto next = next_finger(trace, counts, c, longest_away_s);
    if (!next) continue;
    if (const auto turned = turnaround(trace, side, trace.contacts[c], trace.contacts[*next]))
      out.push_back(*turned);
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const Turnaround& a, const Turnaround& b) { return a.depth_mm < b.depth_mm; });
  return thinned(std::move(out), enough);
}

TurnedAlike turned_alike(const std::vector<Turnaround>& turnarounds) {
  TurnedAlike best;
  if (turnarounds.empty()) return best;
  const double near_mm = turnarounds.front().depth_mm + looked_at_mm;
  const auto all = std::count_if(turnarounds.begin(), turnarounds.end(),
                                 [&](const Turnaround& t) { return t.depth_mm <= near_mm; });
  for (const Turnaround& about : turnarounds) {
    if (about.turned_mm < nearest_turn_mm || about.turned_mm > furthest_turn_mm) continue;
    std::vector<Turnaround> alike;
    for (const Turnaround& t : turnarounds) {
      if (std::abs(t.turned_mm - about.turned_mm) > place_mm) continue;
      if (!alike.empty() && t.depth_mm > alike.front().depth_mm + depth_mm + t.step_mm) continue;
      alike.push_back(t);
    }
    if (alike.size() > best.turnarounds.size()) best.turnarounds = std::move(alike);
  }
  if (best.turnarounds.size() >= fewest)
    best.log_chance = log_binomial_tail(
        static_cast<int>(best.turnarounds.size()),
        static_cast<int>(std::max<std::ptrdiff_t>(all, static_cast<std::ptrdiff_t>(best.turnarounds.size()))),
        hands_share);
  return best;
}

}  // namespace paneproof
