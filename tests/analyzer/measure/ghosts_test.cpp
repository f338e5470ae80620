#include "analyzer/measure/roles.hpp"

#include <catch2/catch.hpp>

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
