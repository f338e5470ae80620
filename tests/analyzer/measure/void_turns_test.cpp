// No outside source: where the finger turned is known, as it was made.
#include "analyzer/measure/void_turns.hpp"

#include <catch2/catch.hpp>
#include <functional>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "analyzer/measure/silence.hpp"
#include "analyzer/measure/voids.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

constexpr double turn_s = 0.1, speed_mm_s = 100;

// Rows there and back with a turn at the right side each, seen all the way but for those about y = 70, which
// end 20 mm short of the side and come back from there after `away_s(k)`.
Trace rows_short_of_side(const std::function<double(int)>& away_s) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 11);
  int k = 0;
  for (double y = 2; y < 140; y += 8) {
    if (y > 50 && y < 90) {
      maker.lift(away_s(k++)).stroke({{2, y}, {48, y}}).lift(turn_s).stroke({{48, y + 4}, {2, y + 4}});
      continue;
    }
    maker.stroke({{2, y}, {67.5, y}});
    maker.hold_then(turn_s, {{67.5, y + 4}, {2, y + 4}}).lift(turn_s);
  }
  return maker.trace();
}

double turned_in(const Trace& trace) {
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  const std::vector<double> usual_s = usual_intervals_s(trace, report_rate(trace));
  const Raster raster = raster_over(trace.panel);
  const ReportField field(trace, raster, counts);
  const std::vector<Silence> silent = silences(trace, usual_s, counts);
  const Voids empty = voids(trace, counts, silent, repeats(trace, silent, field, 8), field,
                            judged_pixels(raster, trace.panel), 8);
  double most = 0, least = 0;
  for (const Void& v : empty.found)
    most = std::max(most, v.log_turned), least = std::min(least, v.log_turned);
  return most > 0 ? most : least;
}

}  // namespace

TEST_CASE("fingers that come back when a turn at the side takes them speak for a dead place") {
  const double way_s = 2 * 20 / speed_mm_s;
  CHECK(turned_in(rows_short_of_side([&](int) { return way_s + turn_s; })) > 2);
}

TEST_CASE("fingers that come back in the hand's own time speak against a dead place") {
  CHECK(turned_in(rows_short_of_side([](int k) { return 0.16 + 0.04 * (k % 3); })) < -2);
}

TEST_CASE("a turn's usual time is what turns took beyond their way") {
  const Trace trace = rows_short_of_side([](int) { return 0.3; });
  const UsualTurn usual = usual_turn(trace, std::vector<std::uint8_t>(trace.contacts.size(), 1));
  CHECK(usual.beyond_s == Approx(turn_s).margin(0.05));
}

TEST_CASE("where no turn was seen a common one is taken") {
  const UsualTurn usual = usual_turn(SweepMaker(68, 142).stroke({{5, 20}, {60, 20}}).trace(), {1});
  CHECK(usual.beyond_s == UsualTurn{}.beyond_s);
  CHECK(usual.scatter_s == UsualTurn{}.scatter_s);
}

TEST_CASE("no single turn speaks by more than a stray does, for a dead place or against it") {
  const double way_s = GENERATE(0.0, 0.1, 0.4, 1.0, 3.0), gap_s = GENERATE(0.001, 0.05, 0.2, 0.6, 1.5);
  CHECK(std::abs(log_turned(way_s, gap_s, {})) <= std::log(5.01));
  CHECK(std::isfinite(log_turned(way_s, gap_s, {})));
}

}  // namespace paneproof
