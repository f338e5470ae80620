#include "analyzer/measure/turnarounds.hpp"

#include <catch2/catch.hpp>
#include <random>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/edges.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

std::vector<std::uint8_t> all_of(const Trace& trace) {
  return std::vector<std::uint8_t>(trace.contacts.size(), 1);
}

// Rows there and back that turn at x = 67; nothing right of x = 60 is felt. Fast for
// its 60 Hz: the last reports lie up to 4 mm before that.
Trace deaf_at_right() {
  SweepMaker maker(68, 142);
  maker.pace(60, 220).noise(0.05, 4);
  for (double y = 10; y < 130; y += 10) maker.stroke({{3 + 0.06 * y, y}, {67, y}, {67, y + 5}, {3, y + 5}});
  return maker.lose(box(60, 90, -9, 200), Lost::contact).trace();
}

// A hand that lifts before the right border as it likes and comes back as long after as it likes.
Trace lifted_at_right(std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> start_mm(2, 6), stop_mm(54, 60), away_s(0.1, 0.7);
  SweepMaker maker(68, 142);
  maker.pace(60, 220).noise(0.05, 4);
  for (double y = 10; y < 130; y += 10) {
    maker.stroke({{start_mm(random), y}, {stop_mm(random), y}}).lift(away_s(random));
    maker.stroke({{stop_mm(random), y + 5}, {3, y + 5}}).lift(0.4);
  }
  return maker.trace();
}

std::size_t bands_of(const Trace& trace) {
  return edges(trace, all_of(trace), AnalysisOptions{}.edge_deeper_mm, nullptr).bands.size();
}

}  // namespace

TEST_CASE("pace and time tell where a finger turned that was not felt") {
  const Trace trace = deaf_at_right();
  const auto turned = turnarounds_at(trace, all_of(trace), Side::right);
  REQUIRE(turned.size() == 12);
  for (const Turnaround& t : turned) {
    CHECK(t.turned_mm == Approx(1).margin(0.5));
    CHECK(t.depth_mm >= 7.8);
    CHECK(t.depth_mm <= 8.2 + t.step_mm);
  }
  CHECK(turned_alike(turned).turnarounds.size() == 12);
}

TEST_CASE("strokes that vanish a step apart and turn at one place out of sight make an edge band") {
  CHECK(bands_of(deaf_at_right()) == 1);
}

TEST_CASE("a hand that lifts short of a side for as long as it likes turns nowhere alike and makes no band") {
  const auto seed = GENERATE(range(1, 41));
  INFO("seed " << seed);
  const Trace trace = lifted_at_right(static_cast<std::uint64_t>(seed));
  REQUIRE(turnarounds_at(trace, all_of(trace), Side::right).size() == 12);
  CHECK(turned_alike(turnarounds_at(trace, all_of(trace), Side::right)).log_chance > -8);
  CHECK(bands_of(trace) == 0);
}

TEST_CASE("fewer than five turnarounds say nothing") {
  std::vector<Turnaround> turned(4, Turnaround{{60, 10}, 8, 1, -2});
  CHECK(turned_alike(turned).log_chance == 0);
  turned.push_back(turned.front());
  CHECK(turned_alike(turned).log_chance < -5);
  CHECK(turned_alike({}).log_chance == 0);
}

}  // namespace paneproof
