#include "analyzer/measure/void_turns.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "analyzer/measure/contact_spans.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/side.hpp"

namespace paneproof {
namespace {

constexpr std::array<Side, 4> sides = {Side::left, Side::right, Side::top, Side::bottom};
constexpr double straight_to = 0.85;  // cosine
constexpr double longest_turn_s = 1.5, at_side_mm = 6.0, seen_from_mm = 12.0;
constexpr std::size_t fewest_known = 5;
constexpr double least_beyond_s = 0.02, most_beyond_s = 0.4, quartiles_share = 0.35;
constexpr double look_mm = 9.0, look_step_mm = 0.5;

// Reports lag behind the finger and keep to the living side: the way is a little shorter than it seems.
constexpr double way_share = 0.8, timing_s = 0.035, timing_per_s = 0.2, strays = 0.2;
// Hands in the air: two of log-normal times.
constexpr double slow_hand_s = 0.33, slow_hand_sd = 0.5, quick_hand_s = 0.2, quick_hand_sd = 0.6;

double normal(double z, double sd) {
  const double by = z / sd;
  return 0.3989422804 / sd * std::exp(-by * by / 2);
}

double in_the_air(double gap_s) {
  return (normal(std::log(gap_s / slow_hand_s), slow_hand_sd) +
          normal(std::log(gap_s / quick_hand_s), quick_hand_sd)) /
         (2 * gap_s);
}

struct Turn {
  Side side;
  double way_s, gap_s;
  std::uint32_t before, after;  // the reports on either side
};

class Turns {
 public:
  Turns(const Trace& trace, const std::vector<std::uint8_t>& counts) : trace_(trace), counts_(counts) {}

  // From the report before to the report after, where they lead to one side and back.
  std::optional<Turn> between(std::uint32_t before, std::uint32_t after) const {
    const double gap_s = static_cast<double>(trace_.reports[after].t_us - trace_.reports[before].t_us) * 1e-6;
    if (gap_s <= 0 || gap_s > longest_turn_s) return std::nullopt;
    const auto to = pace_before(trace_, before), from = pace_after(trace_, after);
    if (!to || !from) return std::nullopt;
    for (const Side side : sides)
      if (towards(side, to->direction_x, to->direction_y) >= straight_to &&
          towards(side, from->direction_x, from->direction_y) <= -straight_to)
        return Turn{side, (depth(side, before) + depth(side, after)) / pace_between_mm_s(to, from), gap_s,
                    before, after};
    return std::nullopt;
  }

  // Turns at the very side within contact `c`, seen all the way.
  void seen(std::uint32_t c, std::vector<double>& beyond_s) const {
    constexpr std::uint32_t none = ~0u;
    const std::uint32_t first = trace_.contacts[c].first, end = first + trace_.contacts[c].count;
    for (const Side side : sides) {
      std::uint32_t in = none;
      bool reached = false;
      for (std::uint32_t i = first; i + 1 < end; ++i) {
        const double here_mm = depth(side, i), then_mm = depth(side, i + 1);
        if (here_mm >= seen_from_mm && then_mm < seen_from_mm) in = i, reached = false;
        reached = reached || then_mm < at_side_mm;
        if (here_mm >= seen_from_mm || then_mm < seen_from_mm || in == none || !reached) continue;
        const auto turn = between(in, i + 1);
        if (turn && turn->side == side) beyond_s.push_back(turn->gap_s - turn->way_s);
        in = none;
      }
    }
  }

  // From the end of c to the next finger's landing.
  std::optional<Turn> after(std::uint32_t c) const {
    const auto next = next_finger(trace_, counts_, c, longest_turn_s);
    if (!next) return std::nullopt;
    return between(trace_.contacts[c].first + trace_.contacts[c].count - 1, trace_.contacts[*next].first);
  }

  double depth(Side side, std::uint32_t report) const {
    return depth_from(side, trace_.panel, trace_.reports[report].x, trace_.reports[report].y);
  }

 private:
  const Trace& trace_;
  const std::vector<std::uint8_t>& counts_;
};

// The void that begins within 9 mm of a report, straight to the side.
std::int32_t void_ahead(const Raster& raster, const std::vector<std::int32_t>& empty, const Report& at,
                        Side side) {
  const double out = side == Side::left || side == Side::top ? -1 : 1;
  for (double mm = look_step_mm; mm <= look_mm; mm += look_step_mm) {
    const int column = raster.at(at.x + (upright(side) ? out * mm : 0)),
              row = raster.at(at.y + (upright(side) ? 0 : out * mm));
    if (!raster.holds(column, row)) return 0;
    if (const std::int32_t label = empty[raster.index(column, row)]) return label;
  }
  return 0;
}

}  // namespace

UsualTurn usual_turn(const Trace& trace, const std::vector<std::uint8_t>& counts) {
  const Turns turns(trace, counts);
  std::vector<double> beyond_s;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    turns.seen(c, beyond_s);
    const auto turn = turns.after(c);
    if (turn && turns.depth(turn->side, turn->before) < at_side_mm &&
        turns.depth(turn->side, turn->after) < at_side_mm)
      beyond_s.push_back(turn->gap_s - turn->way_s);
  }
  UsualTurn usual;
  if (beyond_s.size() < fewest_known) return usual;
  std::sort(beyond_s.begin(), beyond_s.end());
  const std::size_t n = beyond_s.size();
  usual.beyond_s = std::clamp(beyond_s[n / 2], least_beyond_s, most_beyond_s);
  usual.scatter_s = quartiles_share * (beyond_s[n * 3 / 4] - beyond_s[n / 4]);
  return usual;
}

double log_turned(double way_s, double gap_s, const UsualTurn& usual) {
  const double sd_s = timing_s + timing_per_s * way_s + usual.scatter_s;
  const double on_glass = normal(gap_s - way_share * way_s - usual.beyond_s, sd_s);
  return std::min(std::log((1 - strays) * on_glass / in_the_air(gap_s) + strays), -std::log(strays));
}

void measure_turns(const Trace& trace, const std::vector<std::uint8_t>& counts, const Raster& raster,
                   const std::vector<std::int32_t>& empty, std::vector<Void>& found) {
  const UsualTurn usual = usual_turn(trace, counts);
  const Turns turns(trace, counts);
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    const auto turn = turns.after(c);
    if (!turn) continue;
    const std::int32_t label = void_ahead(raster, empty, trace.reports[turn->before], turn->side);
    if (label == 0 || label != void_ahead(raster, empty, trace.reports[turn->after], turn->side)) continue;
    found[static_cast<std::size_t>(label)].log_turned += log_turned(turn->way_s, turn->gap_s, usual);
  }
}

}  // namespace paneproof
