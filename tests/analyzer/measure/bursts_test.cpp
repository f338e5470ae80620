// No outside source: absences are where they were made; how many hands make is common practice.
#include "analyzer/measure/bursts.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// A finger that comes along a row, turns upwards while it is not told for so long, and goes on there, as far
// on as its pace takes it times `share`.
void turn_unseen(SweepMaker& maker, Spot corner, double gap_s, double share = 1) {
  const double way_mm = 100 * gap_s * share;  // at the maker's own pace
  maker.lift(gap_s)
      .stroke({{corner.x - 15, corner.y}, {corner.x, corner.y}})
      .lift(0.5)
      .stroke({{corner.x + way_mm / 2, corner.y - way_mm / 2},
               {corner.x + way_mm / 2, corner.y - way_mm / 2 - 8}});
}

bool nowhere(double, double) { return false; }

Bursts bursts_in(const Trace& trace, bool (*faulty)(double, double) = nowhere) {
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  const std::vector<double> usual_s = usual_intervals_s(trace, report_rate(trace));
  const ReportField field(trace, raster_over(trace.panel), counts);
  const std::vector<Silence> silent = silences(trace, usual_s, counts);
  return bursts(trace, silent, repeats(trace, silent, field, 8), absences(trace, usual_s, counts), field,
                faulty);
}

Spot turn_at(int k) { return {25.0 + 20 * (k % 2), 22.0 + 13 * k}; }

// Whether bursts are told of so many such turns, each in another part of a panel of 68 x 142 mm.
// Rows all over the panel follow, unless it is left alone around them.
bool tells_bursts(int count, double gap_s, bool one_place = false, bool swept = true) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < count; ++k) turn_unseen(maker, one_place ? Spot{34, 70} : turn_at(k), gap_s);
  maker.lift(0.5);
  if (swept) maker.rows(5);
  return bursts_in(maker.trace()).lost > 0;
}

// The same with so many losses on the pace, each in the middle of a row of its own, 0.1 s long.
bool tells_bursts_of_both(int turns, int straight) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < turns; ++k) turn_unseen(maker, turn_at(k), 0.12);
  maker.lift(0.5).rows(5);
  for (int k = 0; k < straight; ++k) {
    const double y = 19 + 11.0 * k;
    maker.stroke({{2, y}, {66, y}}).lose_frames(30 + 3 * static_cast<std::size_t>(k % 3), 12, Lost::contact);
  }
  return bursts_in(maker.trace()).lost > 0;
}

}  // namespace

TEST_CASE("losses on the pace and brief absences speak together where neither is enough") {
  CHECK_FALSE(tells_bursts_of_both(5, 0));
  CHECK_FALSE(tells_bursts_of_both(0, 4));
  CHECK(tells_bursts_of_both(5, 4));
}

TEST_CASE("brief absences all over the panel are bursts, whichever way the finger turned meanwhile") {
  CHECK(tells_bursts(9, 0.12));
}

TEST_CASE("as few brief absences as hands make are no bursts") { CHECK_FALSE(tells_bursts(6, 0.12)); }

TEST_CASE("absences shorter than a hand's weigh more than a hand's") {
  CHECK(tells_bursts(4, 0.05));
  CHECK_FALSE(tells_bursts(4, 0.12));
}

TEST_CASE("brief absences at one place are no bursts") { CHECK_FALSE(tells_bursts(9, 0.12, true)); }

TEST_CASE("a hand that hops over places which it leaves out makes no bursts") {
  CHECK(tells_bursts(9, 0.18));
  CHECK_FALSE(tells_bursts(9, 0.18, false, false));
}

TEST_CASE("what is as long as a hand's lift is a burst's where quick absences told bursts") {
  SweepMaker quick(68, 142), both(68, 142);
  for (SweepMaker* maker : {&quick, &both}) {
    maker->noise(0.03, 7);
    for (int k = 0; k < 9; ++k)
      if (k < 7 || maker == &both) turn_unseen(*maker, turn_at(k), k < 7 ? 0.06 : 0.25);
    maker->lift(0.5).rows(5);
  }
  const auto told = [](const Bursts& bursts) {
    return bursts.others.size() +
           static_cast<std::size_t>(std::count(bursts.of.begin(), bursts.of.end(), std::uint8_t{1}));
  };
  CHECK(bursts_in(quick.trace()).lost > 0);
  CHECK(told(bursts_in(both.trace())) == told(bursts_in(quick.trace())) + 2);
}

TEST_CASE("losses around a contact too short to have a pace count among bursts") {
  SweepMaker apart(68, 142), around(68, 142);
  for (SweepMaker* maker : {&apart, &around}) {
    maker->noise(0.03, 7).rows(5);
    for (int k = 0; k < 4; ++k) {
      const double y = 19 + 21.0 * k;
      maker->stroke({{2, y}, {66, y}}).lose_frames(30, 12, Lost::contact);
      if (maker == &around) maker->lose_frames(3, 12, Lost::contact);
    }
  }
  CHECK(bursts_in(apart.trace()).lost == 0);
  CHECK(bursts_in(around.trace()).lost > 0);
}

TEST_CASE("a hand that hops in flight, straight on, over places which it leaves out makes no bursts") {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < 9; ++k)
    for (int row = 0; row < 5; ++row) {  // around a place of its own; over it, once, in flight
      const double y = 6 + 15.0 * k + 3 * row, x = 12 + 4.0 * k;
      maker.lift(row == 2 ? 0.16 : 0.6).stroke({{2, y}, {x, y}}).lift(0.5).stroke({{x + 16, y}, {66, y}});
    }
  CHECK(bursts_in(maker.trace()).lost == 0);
}

TEST_CASE("absences at places that are known to be faulty are no bursts") {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < 9; ++k) turn_unseen(maker, turn_at(k), 0.12);
  const Trace trace = maker.lift(0.5).rows(5).trace();
  CHECK(bursts_in(trace).lost > 0);
  CHECK(bursts_in(trace, [](double x, double) { return x > 35; }).lost == 0);
}

TEST_CASE("two fingers lost together are one event, as a hand lifts them together") {
  for (const double apart_s : {0.0, 1.5}) {
    SweepMaker maker(68, 142);
    maker.noise(0.03, 7).rows(5);
    for (std::size_t k = 0; k < 3; ++k) {
      const double y = 15 + 22.0 * static_cast<double>(k), at_s = maker.now_s() + 1;
      maker.at(at_s).stroke({{6, y}, {62, y}}).lose_frames(16 + 5 * k, 12, Lost::contact);
      maker.at(at_s + apart_s).stroke({{6, y + 60}, {62, y + 60}}).lose_frames(16 + 5 * k, 12, Lost::contact);
    }
    CHECK((bursts_in(maker.trace()).lost > 0) == (apart_s > 0));
  }
}

TEST_CASE("two fingers side by side that vanish together are seen to be lost, those that merge are not") {
  for (const bool together : {true, false}) {
    SweepMaker maker(68, 142);
    maker.noise(0.03, 7);
    maker.at(1).stroke({{6, 60}, {62, 60}}).lose_frames(30, 12, Lost::contact);
    maker.at(1).stroke({{6, 75}, {62, 75}});
    if (together) maker.lose_frames(30, 12, Lost::contact);
    const Trace trace = maker.trace();
    const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
    CHECK(silences(trace, usual_intervals_s(trace, report_rate(trace)), counts).empty() != together);
  }
}

// Nine absences as long as a hand's lift; the finger comes down so much further than its pace, or nearer.
Bursts of_lifts(double first_share, double then_share) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < 9; ++k) turn_unseen(maker, turn_at(k), 0.25, k % 2 == 0 ? first_share : then_share);
  maker.lift(0.5).rows(5);
  return bursts_in(maker.trace());
}

TEST_CASE("absences as long as a hand's lift are bursts only where the finger kept its pace") {
  CHECK(of_lifts(1.2, 1.2).lost > 0);
  CHECK(of_lifts(0.8, 2).lost == 0);
}

TEST_CASE(
    "a hand that hops over a strip row after row makes no bursts, nor do its neighbours' reports there") {
  // Half of the rows end before the strip and begin again beyond it; the others go through.
  SweepMaker maker(100, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < 32; ++k) {
    const double y = 4 + 4.2 * k;
    if (k % 2 == 0)
      maker.lift(0.5).stroke({{2, y}, {98, y}});
    else
      maker.lift(0.15).stroke({{2, y}, {40.0 + k % 3, y}}).lift(0.5).stroke({{54.0 + k % 3, y}, {98, y}});
  }
  CHECK(bursts_in(maker.trace()).lost == 0);
}

TEST_CASE("absences that hands hardly make as often are a doubt before they are bursts") {
  const auto of = [](int count) {
    SweepMaker maker(68, 142);
    maker.noise(0.03, 7);
    for (int k = 0; k < count; ++k) turn_unseen(maker, turn_at(k), 0.12);
    maker.lift(0.5).rows(5);
    return analyse(maker.trace(), {});
  };
  const auto of_them = [](const Findings& f) {
    return std::count_if(f.doubts.begin(), f.doubts.end(), [](const Doubt& d) { return d.gap_s < 0.2; });
  };
  CHECK(of_them(of(2)) == 0);
  CHECK(of_them(of(6)) == 6);
  CHECK(of(6).dropouts.empty());
}

}  // namespace paneproof
