// From a sweep to its verdict: a good panel is not failed, a dead zone is not passed, doubt is resweep.
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "tests/support/check.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// A whole sweep of a sound panel by some hand.
SweepMaker sound_sweep(std::uint64_t seed, double width_mm = 68, double height_mm = 142) {
  std::mt19937_64 random(seed);
  const auto draw = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  constexpr double rates[] = {60, 90, 120, 180, 240};
  SweepMaker maker(width_mm, height_mm);
  maker.pace(rates[random() % 5], draw(40, 130))
      .noise(draw(0, 0.12), seed, draw(0, 0.07))
      .lift(draw(0.15, 0.7));
  maker.rows(draw(3, 5.2), draw(0.5, 1.2));
  if (random() % 2) maker.columns(draw(4, 6));
  return maker;
}

}  // namespace

TEST_CASE("a sound panel, swept all over, passes") {
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    const Checked checked = check(sound_sweep(seed).trace());
    INFO("seed " << seed << "\n" << checked.reasons());
    CHECK(checked.verdict.outcome == Outcome::pass);
  }
}

TEST_CASE("a sound panel, swept in part, is to be swept again, never failed") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.05, seed, 0.05);
    const double from = static_cast<double>(random() % 60), to = from + 40;
    for (double y = from; y < to; y += 4) maker.stroke({{1, y}, {67, y}});
    const Checked checked = check(maker.trace());
    INFO("seed " << seed << "\n" << checked.reasons());
    CHECK(checked.verdict.outcome == Outcome::resweep);
    CHECK(checked.has("untested_area"));
    CHECK_FALSE(checked.findings.quality.left.empty());
  }
}

// The guarantee: every disc about a judged place c that is wider than the printed diameter holds a
// report. So wherever all reports in a disc of radius r > d/2 are gone, the print is at least 2r, and
// the panel does not pass, however the panel went about it.
TEST_CASE("no dead disc wider than a fingertip passes, wherever it lies, and its width is told") {
  const double d = default_limits().fingertip_mm;
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    std::mt19937_64 random(seed);
    const auto draw = [&](double low, double high) {
      return std::uniform_real_distribution<double>(low, high)(random);
    };
    SweepMaker maker =
        sound_sweep(seed, 40 + static_cast<double>(random() % 30), 50 + static_cast<double>(random() % 40));
    maker.panel().rim_mm = random() % 2 ? 1.5 : 0;
    const double rim = maker.panel().rim_mm;
    const double x = draw(rim, *maker.panel().width_mm - rim), y = draw(rim, *maker.panel().height_mm - rim);
    const double r = d / 2 + draw(0.01, 9);
    maker.lose(disc(x, y, r + 0.001),
               random() % 2 ? Lost::contact : Lost::reports);  // a report is rounded to 0.001
    const bool attested = random() % 4 == 0;
    const Checked checked = check(maker.trace(), attested);
    INFO("seed " << seed << ", disc at " << x << ", " << y << ", radius " << r << "\n" << checked.reasons());
    CHECK(checked.findings.coverage.largest_untested.diameter_mm >= 2 * r);
    CHECK(checked.verdict.outcome != Outcome::pass);
    if (attested && r > d / 2 + 1) CHECK(checked.verdict.outcome == Outcome::fail);
    const Grid& grid = checked.findings.grid;
    for (int row = 0; row < grid.rows; ++row)
      for (int column = 0; column < grid.columns; ++column) {
        double furthest = 0;
        for (const int right : {0, 1})
          for (const int down : {0, 1})
            furthest = std::max(
                furthest, std::hypot((column + right) * grid.cell_mm - x, (row + down) * grid.cell_mm - y));
        if (furthest < r - d / 2 && !grid.masked[static_cast<std::size_t>(row) * grid.columns + column])
          CHECK(grid.at(column, row) != CellState::proven);
      }
  }
}

TEST_CASE("a dead column that every row crosses fails as a line") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    std::mt19937_64 random(seed);
    const double x = 10 + static_cast<double>(random() % 45),
                 width = 5 + static_cast<double>(random() % 30) / 10;
    SweepMaker maker(68, 142);
    maker.noise(0.04, seed, 0.05)
        .rows(5)
        .lose(box(x, x + width, -9, 200), random() % 2 ? Lost::contact : Lost::reports);
    const Checked checked = check(maker.trace());
    INFO("seed " << seed << ", column " << x << " to " << x + width << "\n" << checked.reasons());
    CHECK(checked.verdict.outcome == Outcome::fail);
    CHECK(checked.has("dead_line"));
  }
}

TEST_CASE("a dead area that rows and columns cross fails as an area") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    std::mt19937_64 random(seed);
    const double x = 20 + static_cast<double>(random() % 25), y = 25 + static_cast<double>(random() % 90);
    SweepMaker maker(68, 142);
    maker.noise(0.04, seed, 0.05)
        .rows(4)
        .columns(4)
        .lose(disc(x, y, 7 + static_cast<double>(random() % 5)),
              random() % 2 ? Lost::contact : Lost::reports);
    const Checked checked = check(maker.trace());
    INFO("seed " << seed << ", about " << x << ", " << y << "\n" << checked.reasons());
    CHECK(checked.verdict.outcome == Outcome::fail);
    CHECK(checked.has("dead_area"));
  }
}

TEST_CASE("one loss in flight is a doubt: resweep, with the step to drag there again") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.04, seed, 0.05).rows(5);
    const double y = 20 + static_cast<double>(random() % 100), x = 15 + static_cast<double>(random() % 25);
    // A hand that re-grips in flight: 12 mm at 100 mm/s. Rows 5 mm apart: only one lies in the band.
    maker.lose(box(x, x + 12, y - 2.4, y + 2.4), Lost::contact);
    const Checked checked = check(maker.trace());
    INFO("seed " << seed << ", about " << x << ", " << y << "\n" << checked.reasons());
    CHECK(checked.verdict.outcome == Outcome::resweep);
    CHECK(checked.has("doubtful_loss"));
    CHECK_FALSE(checked.verdict.next_steps.empty());
    CHECK(checked.findings.dead_zones.empty());
  }
}

// The repeats' stated error rate is 0.002 a sweep, so more than one fault in 80 sweeps is no chance.
TEST_CASE("a host that stalls now and then fails no sound panel, though some stalls fall near each other") {
  int failed = 0, stalls = 0;
  std::string told;
  for (std::uint64_t seed = 1; seed <= 80; ++seed) {
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.04, seed, 0.05);
    for (double y = 1; y < 142; y += 4) {
      maker.stroke({{1, y}, {67, y}});
      if (random() % 4) continue;
      maker.lose_frames(3 + random() % 70, 3 + random() % 7, Lost::reports);  // anywhere along the row
      ++stalls;
    }
    const Checked checked = check(maker.trace());
    if (checked.verdict.outcome != Outcome::fail) continue;
    ++failed;
    told += "seed " + std::to_string(seed) + "\n" + checked.reasons() + "\n";
  }
  INFO(told);
  CHECK(stalls > 500);
  CHECK(failed <= 1);
}

// A hand slows down, lifts for a quarter of a second, lands a little further on and goes on.
TEST_CASE("a hand that grips anew within its rows fails no sound panel") {
  int failed = 0;
  std::string told;
  for (std::uint64_t seed = 1; seed <= 80; ++seed) {
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.04, seed, 0.05);
    for (double y = 1; y < 142; y += 4) {
      maker.pace(120, 100).lift(0.35);
      if (random() % 4) {
        maker.stroke({{1, y}, {67, y}});
        continue;
      }
      const double x = 15 + static_cast<double>(random() % 35), further = static_cast<double>(random() % 6);
      maker.stroke({{1, y}, {x - 4, y}})
          .pace(120, 25)
          .lift(0.15 + static_cast<double>(random() % 30) / 100)
          .hold_then(0, {{x - 4, y}, {x, y}});
      maker.stroke({{x + further, y}, {x + further + 3, y}})
          .lift(0.35)
          .pace(120, 100)
          .hold_then(0, {{x + further + 3, y}, {67, y}});
    }
    const Checked checked = check(maker.trace());
    if (checked.verdict.outcome != Outcome::fail) continue;
    ++failed;
    told += "seed " + std::to_string(seed) + "\n" + checked.reasons() + "\n";
  }
  INFO(told);
  CHECK(failed <= 1);
}

TEST_CASE("an edge that rows along it did not reach is swept again, and is a fault when attested") {
  SweepMaker maker(68, 142);
  maker.noise(0.04, 3).columns(4).lose(box(-9, 9, -9, 200),
                                       Lost::contact);  // columns run lengthwise: no passage crossed it
  const Checked plain = check(maker.trace());
  INFO(plain.reasons());
  CHECK(plain.verdict.outcome == Outcome::resweep);
  CHECK(plain.findings.coverage.silent == 0);
  const Checked attested = check(maker.trace(), true);
  INFO(attested.reasons());
  CHECK(attested.verdict.outcome == Outcome::fail);
  CHECK(attested.has("attested_dead_zone"));
}

TEST_CASE("rows that all end in full motion short of one edge fail it, short of both alike they do not") {
  SweepMaker one(68, 142);
  one.noise(0.04, 3).rows(4).lose(box(-9, 8, -9, 200), Lost::contact);
  const Checked deaf = check(one.trace());
  INFO(deaf.reasons());
  CHECK(deaf.verdict.outcome == Outcome::fail);
  CHECK(deaf.has("insensitive_edge"));
  SweepMaker both(68, 142);  // edge filters stop short by design
  both.noise(0.04, 3)
      .rows(4)
      .lose(box(-9, 2.5, -9, 200), Lost::contact)
      .lose(box(65.5, 80, -9, 200), Lost::contact);
  CHECK(check(both.trace()).verdict.outcome == Outcome::pass);
}

TEST_CASE("an attested sweep without a hole passes as it would without") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    INFO("seed " << seed);
    CHECK(check(sound_sweep(seed).trace(), true).verdict.outcome == Outcome::pass);
  }
}

TEST_CASE("a second sweep over what was left completes the first") {
  SweepMaker upper(68, 142), lower(68, 142);
  upper.noise(0.04, 1), lower.noise(0.04, 2);
  for (double y = 1; y < 72; y += 4) upper.stroke({{1, y}, {67, y}});
  for (double y = 70; y < 142; y += 4) lower.stroke({{1, y}, {67, y}});
  lower.stroke({{1, 141}, {67, 141}});
  CHECK(check(upper.trace()).verdict.outcome == Outcome::resweep);
  CHECK(check(lower.trace()).verdict.outcome == Outcome::resweep);
  std::vector<Trace> both;
  both.push_back(upper.trace());
  both.push_back(lower.trace());
  const Checked checked = check(merge(std::move(both)));
  INFO(checked.reasons());
  CHECK(checked.verdict.outcome == Outcome::pass);
}

TEST_CASE("nothing reported is no verdict on the panel") {
  const Checked checked = check(SweepMaker(68, 142).trace());
  CHECK(checked.verdict.outcome == Outcome::resweep);
  CHECK(checked.has("too_few_reports"));
}

TEST_CASE("what ghosts and palms touched is not proven by them") {
  SweepMaker maker(68, 142);
  maker.noise(0.04, 1);
  for (double y = 1; y < 100; y += 4) maker.stroke({{1, y}, {67, y}});
  for (double y = 104; y < 142; y += 4) maker.stroke({{1, y}, {67, y}}, Ending::lifted, Tool::palm);
  const Checked checked = check(maker.trace());
  INFO(checked.reasons());
  CHECK(checked.verdict.outcome == Outcome::resweep);
  CHECK(checked.findings.grid.at(6, 25) == CellState::unswept);
}

}  // namespace paneproof
