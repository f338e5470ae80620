#include <catch2/catch.hpp>
#include <utility>
#include <vector>

#include "analyzer/measure/roles.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {

TEST_CASE("a short touch far from the finger that is down is a ghost and proves nothing") {
  SweepMaker maker(68, 142);
  maker.rows(5);
  const double t_s = maker.now_s();
  maker.stroke({{5, 20}, {65, 20}}).at(t_s + 0.25).rest({40, 110}, 0.06);
  const Trace trace = maker.trace();
  const Roles roles = contact_roles(trace);
  REQUIRE(roles.ghosts.size() == 1);
  CHECK(roles.ghosts[0].x_mm == 40);
  CHECK(roles.ghosts[0].y_mm == 110);
  CHECK(roles.ghosts[0].t_s == Approx(t_s + 0.25).margin(0.001));
  int uncounted = 0;
  for (const std::uint8_t counts : roles.counts) uncounted += counts == 0;
  CHECK(uncounted == 1);
}

TEST_CASE("a sweep without strange touches has no ghost") {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    INFO("seed " << seed);
    std::mt19937_64 random(seed);
    SweepMaker maker(68, 142);
    maker.noise(0.08, seed).lift(0.15 + static_cast<double>(random() % 40) / 100).rows(4);
    maker.lose(box(30, 36, 0, 142), Lost::contact);  // fragments of strokes are no ghosts
    CHECK(contact_roles(maker.trace()).ghosts.empty());
  }
}

TEST_CASE("two fingers that sweep together are no ghosts and are counted") {
  SweepMaker maker(68, 142);
  maker.stroke({{5, 20}, {65, 20}}).at(0).stroke({{5, 60}, {65, 60}}).at(0.1).stroke({{5, 100}, {65, 100}});
  const Roles roles = contact_roles(maker.trace());
  CHECK(roles.ghosts.empty());
  CHECK(roles.most_at_once == 3);
}

namespace {

// Rows of one finger, and touches beside them at these times after the first row's start.
SweepMaker row_with_touches(const std::vector<std::pair<double, Spot>>& touches) {
  SweepMaker maker(68, 142);
  const double t_s = maker.now_s();
  maker.stroke({{4, 20}, {64, 20}, {64, 26}, {4, 26}, {4, 32}, {64, 32}});
  const double after_s = maker.now_s();
  for (const auto& [at_s, place] : touches) maker.at(t_s + at_s).rest(place, 0.03);
  maker.at(after_s);
  return maker;
}

// A finger sweeps, and so many touches appear far off meanwhile.
SweepMaker touched_by_nobody(int touches) {
  SweepMaker maker(68, 142);
  maker.stroke({{4, 20}, {64, 20}, {64, 26}, {4, 26}, {4, 32}, {64, 32}, {64, 38}, {4, 38}});
  for (int k = 0; k < touches; ++k)
    maker.at(0.1 + 0.08 * k).rest({10 + 7.0 * (k % 8), 60 + 20.0 * (k % 3)}, 0.03);
  return maker;
}

}  // namespace

TEST_CASE("touches that chatter at one spot are ghosts, each of them") {
  const Trace trace = row_with_touches({{0.3, {40, 110}}, {0.4, {40.5, 110}}, {0.52, {39.6, 110.4}}}).trace();
  CHECK(contact_roles(trace).ghosts.size() == 3);
}

TEST_CASE("touches that follow one another along a way are a finger's") {
  const Trace trace =
      row_with_touches({{0.3, {40, 110}}, {0.4, {45, 110}}, {0.5, {50, 110}}, {0.6, {55, 110}}}).trace();
  CHECK(contact_roles(trace).ghosts.empty());
}

TEST_CASE("a touch while no finger is down is a ghost at a spot where ghosts were told twice") {
  SweepMaker maker = row_with_touches({{0.3, {40, 110}}, {0.9, {40, 110}}});
  const double free_s = maker.now_s();
  maker.at(free_s + 0.6).rest({40, 110}, 0.03);
  const Roles roles = contact_roles(maker.trace());
  REQUIRE(roles.ghosts.size() == 3);
  CHECK(roles.ghosts[2].t_s == Approx(free_s + 0.6).margin(0.001));
}

TEST_CASE("a touch while no finger is down is a ghost where the panel told two others, and not where one") {
  for (const bool twice : {false, true}) {
    SweepMaker maker = row_with_touches({{0.3, {40, 110}}, {0.9, {twice ? 15.0 : 40.0, 60}}});
    if (!twice) maker = row_with_touches({{0.3, {40, 110}}});
    maker.at(maker.now_s() + 1.4).rest({20, 90}, 0.03);
    CHECK(contact_roles(maker.trace()).ghosts.size() == (twice ? 3 : 1));
  }
}

TEST_CASE("a touch that no hand could have left for the next stroke in time is a ghost") {
  for (const double gap_s : {0.03, 0.18}) {  // 41.6 mm off: 1390 and 230 mm/s
    SweepMaker maker(68, 142);
    maker.stroke({{4, 20}, {64, 20}});
    const double t_s = maker.now_s() + 0.5;
    maker.at(t_s).rest({40, 60}, 0.004);
    maker.at(t_s + gap_s).stroke({{64, 26}, {4, 26}});
    CHECK(contact_roles(maker.trace()).ghosts.size() == (gap_s < 0.1 ? 1 : 0));
  }
}

TEST_CASE("a touch that trembles about one place is a ghost, one that moves on is not") {
  for (const double step_mm : {0.0, 0.6}) {
    SweepMaker maker(68, 142);
    const double t_s = maker.now_s();
    maker.stroke({{4, 20}, {64, 20}});
    std::vector<Spot> way;
    for (int k = 0; k < 24; ++k) way.push_back({40 + step_mm * k + (k % 2) * 1.5, 110 + (k % 3 - 1) * 0.8});
    maker.at(t_s + 0.1).stroke(way);
    CHECK(contact_roles(maker.trace()).ghosts.size() == (step_mm > 0 ? 0 : 1));
  }
}

TEST_CASE("a touch that darts about while a finger is down is a ghost where noise makes them by the dozen") {
  for (const int touches : {5, 24}) {
    SweepMaker maker = touched_by_nobody(touches);
    maker.pace(120, 900).at(2.2).stroke({{20, 80}, {40, 110}});
    const Roles roles = contact_roles(maker.trace());
    CHECK(roles.ghosts.size() == static_cast<std::size_t>(touches < 20 ? touches : touches + 1));
  }
}

TEST_CASE("a flash that no finger is near is a ghost where noise makes them by the dozen") {
  for (const int touches : {5, 24}) {
    SweepMaker maker = touched_by_nobody(touches);
    const double end_s = maker.now_s();
    // Of a hand as far as "alike" tells: it goes on from where the stroke ended.
    maker.pace(120, 900).at(end_s + 4.2).stroke({{20, 80}, {40, 98}});
    maker.pace(120, 100).at(end_s + 4.6).stroke({{40, 120}, {64, 120}});
    const Roles roles = contact_roles(maker.trace());
    CHECK(roles.ghosts.size() == static_cast<std::size_t>(touches < 20 ? touches : touches + 1));
  }
}

TEST_CASE("a flash of a stroke is its own even where noise makes them by the dozen") {
  SweepMaker maker = touched_by_nobody(24);
  maker.pace(120, 100).lift(1).stroke({{30, 100}, {64, 100}}).lift(0.02).rest({66, 100}, 0.03);
  CHECK(contact_roles(maker.trace()).ghosts.size() == 24);
}

// Noise of a supply enters at the finger and runs along its sense line (common practice, no source).
TEST_CASE("a touch that darts along the row of a finger is a ghost") {
  SweepMaker maker(68, 142);
  const double t_s = maker.now_s();
  maker.stroke({{4, 20}, {64, 20}});
  // 0.2 s on the finger is at x = 24.
  maker.pace(120, 1000).at(t_s + 0.2).stroke({{44, 20.5}, {60, 20.5}});
  CHECK(contact_roles(maker.trace()).ghosts.size() == 1);
}

TEST_CASE("a touch after which every finger is taken away in mid-stroke is a palm") {
  SweepMaker maker(68, 142);
  const double t_s = maker.now_s();
  maker.stroke({{4, 20}, {34, 20}});
  maker.at(t_s + 0.2).rest({40, 110}, 0.03);  // the stroke ends at 0.3 s, in motion
  const Roles roles = contact_roles(maker.trace());
  CHECK(roles.palms == 1);
  CHECK(roles.ghosts.empty());
}

TEST_CASE("a touch soon after which the finger comes to rest and lifts is a ghost, and no palm") {
  SweepMaker maker(68, 142);
  const double t_s = maker.now_s();
  maker.stroke({{4, 20}, {34, 20}});
  maker.at(t_s + 0.1).rest({40, 110}, 0.03);  // the stroke ends at 0.3 s
  CHECK(contact_roles(maker.trace()).ghosts.size() == 1);
}

TEST_CASE(
    "one touch after which the finger is taken away is a ghost among three of others, a palm by itself") {
  for (const int others : {0, 3}) {
    SweepMaker maker = touched_by_nobody(others);
    const double t_s = maker.now_s() + 2.5;
    maker.at(t_s).stroke({{4, 80}, {44, 80}});
    maker.at(maker.now_s() - 0.35 - 0.06).rest({30, 120}, 0.03);
    const Roles roles = contact_roles(maker.trace());
    CHECK(roles.ghosts.size() == static_cast<std::size_t>(others ? others + 1 : 0));
    CHECK(roles.palms == (others ? 0 : 1));
  }
}

TEST_CASE("a touch that stays far from the finger's way is a ghost where the panel told two others") {
  for (const int others : {0, 2}) {
    SweepMaker maker = touched_by_nobody(others);
    maker.noise(0.05, 1).at(0.8).rest({30, 120}, 0.8);
    CHECK(contact_roles(maker.trace()).ghosts.size() == static_cast<std::size_t>(others ? others + 1 : 0));
  }
}

TEST_CASE("a touch 10 mm from a stroke is a ghost where the panel told two others, one 6 mm from it is not") {
  for (const int others : {0, 2})
    for (const double off_mm : {6.0, 10.0}) {
      SweepMaker maker = touched_by_nobody(others);
      const double t_s = maker.now_s() + 1;
      maker.at(t_s).stroke({{4, 80}, {64, 80}});
      maker.at(t_s + 0.3).rest({34, 80 + off_mm}, 0.03);
      const bool told = others > 0 && off_mm > 8;
      CHECK(contact_roles(maker.trace()).ghosts.size() ==
            static_cast<std::size_t>(told ? others + 1 : others));
    }
}

TEST_CASE("a finger that grazes the border is no ghost") {
  CHECK(contact_roles(row_with_touches({{0.5, {67, 110}}}).trace()).ghosts.empty());
}

TEST_CASE("a palm is neither finger nor ghost") {
  SweepMaker maker(68, 142);
  maker.rows(5).stroke({{30, 30}, {33, 31}}, Ending::lifted, Tool::palm);
  const Roles roles = contact_roles(maker.trace());
  CHECK(roles.palms == 1);
  CHECK(roles.ghosts.empty());
  CHECK(roles.counts.back() == 0);
}

TEST_CASE("a log with a pen and no finger counts the pen, with a finger it does not") {
  SweepMaker pen(68, 142);
  pen.stroke({{5, 20}, {65, 20}}, Ending::lifted, Tool::pen);
  CHECK(contact_roles(pen.trace()).pen_only);
  CHECK(contact_roles(pen.trace()).counts == std::vector<std::uint8_t>{1});
  pen.stroke({{5, 40}, {65, 40}});
  CHECK_FALSE(contact_roles(pen.trace()).pen_only);
  CHECK(contact_roles(pen.trace()).counts == std::vector<std::uint8_t>{0, 1});
}

TEST_CASE("a trace without contacts has no roles") {
  const Roles roles = contact_roles(Trace{});
  CHECK(roles.counts.empty());
  CHECK(roles.most_at_once == 0);
  CHECK_FALSE(roles.pen_only);
}

}  // namespace paneproof
