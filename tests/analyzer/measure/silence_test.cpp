// What is no silence of the panel: what sound panels and common hands do.
#include "analyzer/measure/silence.hpp"

#include <catch2/catch.hpp>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "analyzer/measure/roles.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

std::vector<Silence> silences_of(const SweepMaker& maker) {
  const Trace trace = maker.trace();
  return silences(trace, usual_intervals_s(trace, report_rate(trace)), contact_roles(trace).counts);
}

// A sweep that gives a sweep's own rate, over the lower half only.
SweepMaker lower_half() {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 21);
  for (double y = 80; y < 140; y += 4) maker.stroke({{1, y}, {67, y}});
  return maker;
}

}  // namespace

TEST_CASE("a plain sweep holds no silence") {
  const double rate_hz = GENERATE(60.0, 120.0, 240.0);
  const double speed_mm_s = GENERATE(40.0, 120.0, 180.0);
  INFO("rate " << rate_hz << ", speed " << speed_mm_s);
  CHECK(silences_of(SweepMaker(68, 142).pace(rate_hz, speed_mm_s).noise(0.05, 3, 0.07).rows(4)).empty());
}

// The kernel sends nothing while nothing changes (multi-touch protocol, B): a resting finger is silent.
TEST_CASE("a finger that rests and goes on is no silence") {
  const double seconds = GENERATE(0.2, 1.0, 5.0);
  SweepMaker maker = lower_half();
  maker.stroke({{5, 40}, {30, 40}}).hold_then(seconds, {{30, 40}, {63, 40}});
  CHECK(silences_of(maker).empty());
}

// Firmware holds a landing for up to 0.13 s, then leaps to where the finger is.
TEST_CASE("a landing that is held and then leaps is no silence") {
  const double held_s = GENERATE(0.05, 0.1, 0.13);
  INFO("held " << held_s);
  SweepMaker maker = lower_half();
  const auto frames = static_cast<std::size_t>(held_s * 120);
  for (double y = 10; y < 60; y += 5) maker.stroke({{20, y}, {67, y}}).lose_frames(1, frames, Lost::reports);
  CHECK(silences_of(maker).empty());
}

TEST_CASE("a controller that scans at a third of its rate until it is awake makes no silence") {
  SweepMaker maker = lower_half();
  maker.pace(120, 150);
  for (double y = 10; y < 60; y += 5) {
    maker.stroke({{1, y}, {67, y}});
    for (std::size_t kept = 0; kept < 10; ++kept) maker.lose_frames(kept + 1, 2, Lost::reports);
  }
  CHECK(silences_of(maker).empty());
}

TEST_CASE("lifts at the ends of rows are no silence, in mid-glass as little as at the edge") {
  SweepMaker maker = lower_half();
  maker.lift(0.2);
  for (int i = 0; i < 8; ++i) {
    const double y = 10 + 4 * i;
    maker.stroke(i % 2 ? std::vector<Spot>{{45, y}, {12, y}} : std::vector<Spot>{{12, y}, {45, y}});
  }
  CHECK(silences_of(maker).empty());
}

TEST_CASE("rows all in one direction are no silence") {
  SweepMaker maker = lower_half();
  maker.lift(0.25);
  for (int i = 0; i < 8; ++i) maker.stroke({{10, 10.0 + 4 * i}, {50, 10.0 + 4 * i}});
  CHECK(silences_of(maker).empty());
}

TEST_CASE("a finger that leaves the glass and comes back elsewhere is no silence") {
  SweepMaker maker = lower_half();
  maker.lift(0.1).stroke({{20, 40}, {67.5, 40}}).stroke({{67.5, 46}, {20, 46}});
  CHECK(silences_of(maker).empty());
}

// SYN_DROPPED (kernel event-codes): the capture lost events, not the panel.
TEST_CASE("what the capture lost is no silence of the panel") {
  SweepMaker maker = lower_half();
  for (double y = 10; y < 60; y += 5) {
    const double t_s = maker.now_s();
    maker.stroke({{1, y}, {67, y}}).break_capture(t_s + 0.3, 0.1);
  }
  CHECK(silences_of(maker).empty());
}

TEST_CASE("a contact that the system took back is no silence") {
  SweepMaker maker = lower_half();
  maker.lift(0.05);
  for (double y = 10; y < 60; y += 5)
    maker.stroke({{1, y}, {30, y}}, Ending::cancelled).stroke({{36, y}, {67, y}});
  CHECK(silences_of(maker).empty());
}

TEST_CASE("two fingers that exchange their numbers where they meet are no silence") {
  SweepMaker maker = lower_half();
  maker.lift(0);
  const double t_s = maker.now_s() + 0.5;
  maker.at(t_s).stroke({{5, 40}, {63, 40}}).at(t_s).stroke({{63, 52}, {5, 52}});
  maker.swap_last_two(t_s + 0.29);
  CHECK(silences_of(maker).empty());
}

TEST_CASE("a finger that merges with another leaps to a place between them, and that is no silence") {
  const bool another = GENERATE(false, true);
  SweepMaker maker = lower_half();
  const double t_s = maker.now_s() + 0.5;
  if (another) maker.at(t_s).rest({34, 53}, 0.23);
  maker.at(t_s).stroke({{34, 20}, {34, 43}}).hold_then(1.0 / 120, {{34, 48}, {34, 65}});
  CHECK(silences_of(maker).size() == (another ? 0 : 1));
}

// Near a resting finger a moving one is taken for it: the one ends, and the other is told anew where it
// rests.
TEST_CASE("a finger that ends beside a resting one has not been lost to it") {
  SweepMaker maker = lower_half();
  maker.lift(0.03).stroke({{20, 12}, {38, 22}}).rest({39, 32}, 0.6).stroke({{47, 14}, {62, 30}});
  CHECK(silences_of(maker).empty());
}

TEST_CASE("among touches that come and go no finger's way is told") {
  const bool noise = GENERATE(false, true);
  SweepMaker maker = lower_half();
  for (double y = 12; y < 60; y += 12) {
    maker.stroke({{10, y}, {30, y}});
    const double ended_s = maker.now_s() - 0.35;
    if (noise)
      for (int k = 0; k < 8; ++k)
        maker.at(ended_s - 0.08 + 0.02 * k).rest({60.0 - 2 * k, y + (k % 2 ? 25 : -8)}, 0.02);
    maker.at(ended_s + 0.1).stroke({{40, y}, {60, y}});
  }
  CHECK(silences_of(maker).empty() == noise);
}

TEST_CASE("a finger partly off the glass is told right at the border, and its leap there is no silence") {
  const bool inside = GENERATE(false, true);
  const double y = inside ? 60 : 142;
  SweepMaker maker = lower_half();
  maker.stroke({{34, y - 30}, {34, y - 6}}).hold_then(1.0 / 120, {{34, y - 0.5}, {60, y - 0.5}});
  CHECK(silences_of(maker).size() == (inside ? 1 : 0));
}

TEST_CASE("a contact lost in full flight and taken up again is one silence, told where it was") {
  const auto how = GENERATE(Lost::contact, Lost::reports);
  SweepMaker maker = lower_half();
  maker.stroke({{3, 40}, {65, 40}});
  const double t_s = maker.now_s() - 0.35;
  maker.lose(box(30, 38, 39, 41), how);
  const std::vector<Silence> found = silences_of(maker);
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == (how == Lost::contact ? Silence::Kind::loss : Silence::Kind::hole));
  CHECK(found[0].from.x_mm == Approx(30).margin(1));
  CHECK(found[0].to.x_mm == Approx(38).margin(1));
  CHECK(found[0].from.y_mm == Approx(40).margin(0.2));
  CHECK(found[0].gap_mm == Approx(8.3).margin(1));
  CHECK(found[0].gap_s == Approx(found[0].gap_mm / 100).margin(0.01));
  CHECK(found[0].speed_mm_s == Approx(100).epsilon(0.1));
  CHECK(found[0].missed() == Approx(found[0].gap_s * 120 - 1).margin(1));
  CHECK(found[0].t_s < t_s);
}

TEST_CASE("a contact that ends at one fault and comes back at another is a hand's flight, no break") {
  const Trace trace = SweepMaker(68, 142)
                          .noise(0.03, 9)
                          .lift(0.3)
                          .stroke({{5, 40}, {60, 40}})
                          .stroke({{8, 60}, {60, 60}})
                          .trace();
  const auto breaks = [&](const std::function<bool(double, double)>& faulty) {
    return breaks_at(trace, usual_intervals_s(trace, report_rate(trace)), contact_roles(trace).counts, {},
                     faulty)
        .size();
  };
  CHECK(breaks([](double x, double) { return x < 12 || x > 56; }) == 0);
  CHECK(breaks([](double, double y) { return y > 38 && y < 62; }) == 1);
}

TEST_CASE("silences stand in order of time, one file after another") {
  const auto part = [](std::uint64_t seed) {
    return SweepMaker(68, 142).noise(0.03, seed).rows(5).lose(box(20, 28, 0, 142), Lost::contact).trace();
  };
  std::vector<Trace> sweeps;
  sweeps.push_back(part(1));
  sweeps.push_back(part(2));
  const Trace both = merge(std::move(sweeps));
  const auto found = silences(both, usual_intervals_s(both, report_rate(both)), contact_roles(both).counts);
  REQUIRE(found.size() > 20);
  for (std::size_t i = 1; i < found.size(); ++i) {
    CHECK(found[i - 1].sweep <= found[i].sweep);
    if (found[i - 1].sweep == found[i].sweep) CHECK(found[i - 1].t_s <= found[i].t_s);
  }
  CHECK(found.back().sweep == 1);
}

}  // namespace paneproof
