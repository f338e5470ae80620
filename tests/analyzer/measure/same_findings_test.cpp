// What must not change the findings: how often a format repeats a position, which way the panel lies,
// how many decimals a machine keeps.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <cstdlib>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/decimals.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// Sweeps with something on them: a dead column, a dead place, single losses, a finger that rests.
// 70 x 140: whole cells, so that a mirrored panel has mirrored cells.
SweepMaker sweep(std::uint64_t seed) {
  std::mt19937_64 random(seed);
  SweepMaker maker(70, 140);
  maker.noise(0.04, seed, 0.05).pace(random() % 2 ? 120 : 90, 70 + static_cast<double>(random() % 60));
  maker.rows(4 + static_cast<double>(random() % 3));
  if (random() % 2) maker.columns(5);
  maker.stroke({{10, 30}, {30, 31}}).hold_then(0.8, {{30, 31}, {60, 33}});
  const auto how = random() % 2 ? Lost::contact : Lost::reports;
  switch (random() % 4) {
    case 0:
      maker.lose(box(20.3, 26.9, -9, 200), how);
      break;
    case 1:
      maker.lose(disc(31.7, 83.1, 9.3), how);
      break;
    case 2:
      maker.lose(disc(50.2, 40.9, 3.1), how);
      break;
    default:
      break;
  }
  return maker;
}

bool same(const Point& a, const Point& b) { return a.x_mm == b.x_mm && a.y_mm == b.y_mm; }

void check_same(const Findings& a, const Findings& b) {
  CHECK(a.grid.cells == b.grid.cells);
  CHECK(a.grid.masked == b.grid.masked);
  CHECK(a.coverage.proven == b.coverage.proven);
  CHECK(a.coverage.silent == b.coverage.silent);
  CHECK(a.coverage.largest_untested.diameter_mm == b.coverage.largest_untested.diameter_mm);
  CHECK(a.coverage.largest_untested.x_mm == b.coverage.largest_untested.x_mm);
  REQUIRE(a.dead_zones.size() == b.dead_zones.size());
  for (std::size_t i = 0; i < a.dead_zones.size(); ++i) {
    CHECK(a.dead_zones[i].kind == b.dead_zones[i].kind);
    CHECK(a.dead_zones[i].x_mm == b.dead_zones[i].x_mm);
    CHECK(a.dead_zones[i].lost == b.dead_zones[i].lost);
    CHECK(a.dead_zones[i].passages == b.dead_zones[i].passages);
  }
  REQUIRE(a.dropouts.size() == b.dropouts.size());
  for (std::size_t i = 0; i < a.dropouts.size(); ++i) {
    CHECK(a.dropouts[i].t_s == b.dropouts[i].t_s);
    CHECK(same(a.dropouts[i].regained, b.dropouts[i].regained));
  }
  CHECK(a.doubts.size() == b.doubts.size());
  CHECK(a.ghosts.size() == b.ghosts.size());
  CHECK(a.jitter.rms_mm == b.jitter.rms_mm);
  CHECK(a.jitter.resting_rms_mm == b.jitter.resting_rms_mm);
  CHECK(a.rate.rate_hz == b.rate.rate_hz);
  CHECK(a.quality.contact_share == b.quality.contact_share);
  CHECK(a.reports == b.reports);
}

// b is a as seen after places moved by `turn`; cells likewise.
template <class TurnCell>
void check_mirrored(const Findings& a, const Findings& b, TurnCell turn) {
  int differing = 0;
  for (int r = 0; r < a.grid.rows; ++r)
    for (int c = 0; c < a.grid.columns; ++c) {
      const auto [column, row] = turn(c, r);
      differing += a.grid.at(c, r) != b.grid.at(column, row);
    }
  // A pixel's centre at exactly half a fingertip, or a cell of equal shares, may fall either way. So may the
  // pixels along the border of a dead void, which are told by the nearest report's pixel.
  CHECK(differing <= (a.dead_zones.empty() ? 2 : 4));
  CHECK(std::abs(a.coverage.proven - b.coverage.proven) <= 0.002);
  CHECK(std::abs(a.coverage.silent - b.coverage.silent) <= 0.004);
  CHECK(std::abs(a.coverage.largest_untested.diameter_mm - b.coverage.largest_untested.diameter_mm) <=
        0.0201);
  CHECK(a.dead_zones.size() == b.dead_zones.size());
  for (std::size_t i = 0; i < std::min(a.dead_zones.size(), b.dead_zones.size()); ++i)
    CHECK(a.dead_zones[i].kind == b.dead_zones[i].kind);
  CHECK(a.dropouts.size() == b.dropouts.size());
  CHECK(a.doubts.size() == b.doubts.size());
  CHECK(a.ghosts.size() == b.ghosts.size());
  CHECK(a.jumps.size() == b.jumps.size());
  CHECK(std::abs(a.jitter.rms_mm - b.jitter.rms_mm) <= 0.001);
  CHECK(a.rate.rate_hz == b.rate.rate_hz);
}

// The decimals that are printed, read again.
bool printed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return std::strtod(text, nullptr) == value;
}

}  // namespace

TEST_CASE("positions that are sent again unchanged change nothing") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    INFO("seed " << seed);
    SweepMaker maker = sweep(seed);
    const Findings once = analyse(maker.trace(), {});
    check_same(once, analyse(maker.repeat_unchanged(3).trace(), {}));
  }
}

TEST_CASE("the same trace gives the same findings again") {
  const Trace trace = sweep(3).trace();
  check_same(analyse(trace, {}), analyse(trace, {}));
}

TEST_CASE("the sweeps of these tests have faults to tell of and sound panels among them") {
  std::size_t zones = 0, dropouts = 0, sound = 0;
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    const Findings f = analyse(sweep(seed).trace(), {});
    zones += f.dead_zones.size(), dropouts += f.dropouts.size(), sound += f.dead_zones.empty();
  }
  CHECK(zones >= 4);
  CHECK(dropouts >= 40);
  CHECK(sound >= 3);
}

TEST_CASE("a mirrored sweep has mirrored findings") {
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    INFO("seed " << seed);
    const SweepMaker maker = sweep(seed);
    const Findings plain = analyse(maker.trace(), {});
    check_mirrored(plain, analyse(maker.mirrored_x().trace(), {}),
                   [&](int c, int r) { return std::pair(plain.grid.columns - 1 - c, r); });
    check_mirrored(plain, analyse(maker.mirrored_y().trace(), {}),
                   [&](int c, int r) { return std::pair(c, plain.grid.rows - 1 - r); });
  }
}

TEST_CASE("a sweep on its side has findings on their side") {
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    INFO("seed " << seed);
    const SweepMaker maker = sweep(seed);
    const Findings plain = analyse(maker.trace(), {}), turned = analyse(maker.transposed().trace(), {});
    CHECK(turned.panel_width_mm == plain.panel_height_mm);
    check_mirrored(plain, turned, [](int c, int r) { return std::pair(r, c); });
    for (std::size_t i = 0; i < std::min(plain.dead_zones.size(), turned.dead_zones.size()); ++i) {
      const Along expected = plain.dead_zones[i].along == Along::row      ? Along::column
                             : plain.dead_zones[i].along == Along::column ? Along::row
                                                                          : Along::none;
      CHECK(turned.dead_zones[i].along == expected);
    }
  }
}

TEST_CASE("whatever is decided on has the decimals that are printed") {
  for (std::uint64_t seed = 1; seed <= 16; ++seed) {
    INFO("seed " << seed);
    const Findings f = analyse(sweep(seed).trace(), {});
    CHECK(printed(f.coverage.largest_untested.diameter_mm, 2));
    for (const double share : {f.coverage.proven, f.coverage.silent, f.coverage.intermittent,
                               f.coverage.unswept, f.quality.contact_share, f.rate.missed_share})
      CHECK(printed(share, 4));
    for (const double mm : {f.jitter.rms_mm, f.jitter.p95_mm, f.panel_width_mm, f.edges.left_mm,
                            f.coverage.largest_untested.x_mm})
      CHECK(printed(mm, 3));
    CHECK(printed(f.rate.rate_hz, 1));
    for (const DeadZone& z : f.dead_zones) {
      for (const double mm : {z.x_mm, z.y_mm, z.width_mm, z.height_mm}) CHECK(printed(mm, 3));
      CHECK(printed(z.confidence, 4));
    }
    for (const Dropout& d : f.dropouts) {
      CHECK(printed(d.t_s, 6));
      CHECK(printed(d.gap_s, 6));
      CHECK(printed(d.gap_mm, 3));
      CHECK(printed(d.confidence, 4));
    }
  }
}

TEST_CASE("a rounded value survives printing and reading, and rounding again") {
  std::mt19937_64 random(9);
  for (int i = 0; i < 20'000; ++i) {
    const double value = std::uniform_real_distribution<double>(0, 400)(random);
    if (!(printed(round_mm(value), 3) && printed(round_s(value), 6) && printed(round_share(value), 4) &&
          printed(round_hz(value), 1) && printed(ceil_mm(value), 2))) {
      CAPTURE(value);
      FAIL_CHECK("printed and read again it is another value");
    }
    if (round_mm(round_mm(value)) != round_mm(value) || ceil_mm(ceil_mm(value)) != ceil_mm(value) ||
        ceil_mm(value) < value - 1e-10) {
      CAPTURE(value);
      FAIL_CHECK("rounding is not settled");
    }
  }
}

TEST_CASE("a trace without contacts gives the findings of an unswept panel") {
  const Findings f = analyse(SweepMaker(68, 142).trace(), {});
  CHECK(f.coverage.unswept == 1);
  CHECK(f.dead_zones.empty());
  CHECK(f.reports == 0);
  for (const CellState cell : f.grid.cells) CHECK(cell == CellState::unswept);
}

}  // namespace paneproof
