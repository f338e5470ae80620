// No outside source: absences are where they were made; how many hands make is common practice.
#include "analyzer/measure/bursts.hpp"

#include <catch2/catch.hpp>

#include "analyzer/measure/analysis.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "tests/support/trace_builder.hpp"

namespace paneproof {
namespace {

// A finger that comes along a row, turns upwards while it is not told for so long, and goes on there.
void turn_unseen(SweepMaker& maker, Spot corner, double gap_s) {
  const double way_mm = 100 * gap_s;  // at the maker's own pace
  maker.lift(gap_s)
      .stroke({{corner.x - 15, corner.y}, {corner.x, corner.y}})
      .lift(0.5)
      .stroke({{corner.x + way_mm / 2, corner.y - way_mm / 2},
               {corner.x + way_mm / 2, corner.y - way_mm / 2 - 8}});
}

// Whether bursts are told of so many such turns, each in another part of a panel of 68 x 142 mm.
// Rows all over the panel follow, unless it is left alone around them.
bool tells_bursts(int count, double gap_s, bool one_place = false, bool swept = true) {
  SweepMaker maker(68, 142);
  maker.noise(0.03, 7);
  for (int k = 0; k < count; ++k)
    turn_unseen(maker, one_place ? Spot{34, 70} : Spot{25.0 + 20 * (k % 2), 22.0 + 13 * k}, gap_s);
  maker.lift(0.5);
  if (swept) maker.rows(5);
  const Trace trace = maker.trace();
  const std::vector<std::uint8_t> counts(trace.contacts.size(), 1);
  const ReportField field(trace, raster_over(trace.panel), counts);
  return bursts(trace, {}, {}, brief_absences(trace, usual_intervals_s(trace, report_rate(trace)), counts),
                field)
             .lost > 0;
}

}  // namespace

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

TEST_CASE("absences as long as a hand's lift are no bursts") { CHECK_FALSE(tells_bursts(9, 0.25)); }

}  // namespace paneproof
