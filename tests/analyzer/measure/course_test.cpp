// Reference: circles and lines, as they are. No outside source.
#include "analyzer/measure/course.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace paneproof {
namespace {

// A finger on a circle of this radius at 100 mm/s, gone from 0 rad over a gap of `gap_s`: the gap and the
// pace on either side, as measured over a stretch whose middle is 0.09 s away.
struct Arc {
  Silence gap;
  Pace before, after;
};
Arc arc_of(double radius_mm, double gap_s, double turned_back = 1) {
  const double rate = 100 / radius_mm;  // rad/s
  const auto place = [&](double t_s) {
    return Point{radius_mm * std::sin(rate * t_s), -radius_mm * std::cos(rate * t_s)};
  };
  const auto pace = [&](double t_s, double since_s, double sign) {
    Pace p{100, std::cos(rate * t_s), std::sin(rate * t_s)};
    p.turn_rad_s = sign * rate, p.since_s = since_s;
    return p;
  };
  Arc out;
  out.gap.kind = Silence::Kind::loss;
  out.gap.from = place(0), out.gap.to = place(gap_s);
  out.gap.gap_mm = std::hypot(out.gap.to.x_mm - out.gap.from.x_mm, out.gap.to.y_mm - out.gap.from.y_mm);
  out.gap.gap_s = gap_s, out.gap.interval_s = 0.008, out.gap.speed_mm_s = 100;
  out.before = pace(-0.09, 0.09, 1);
  out.after = pace(gap_s + 0.09, 0.09, turned_back);
  return out;
}

}  // namespace

TEST_CASE("a finger that goes on round a circle goes on, and its way is the chord") {
  for (const double radius : {9.0, 12.0, 20.0, 40.0, 200.0}) {
    const Arc arc = arc_of(radius, 0.12);
    const Course told = course(arc.gap, arc.before, arc.after);
    CAPTURE(radius);
    CHECK(told.goes == Course::Goes::on);
    CHECK(told.way_mm == Approx(arc.gap.gap_mm).epsilon(0.05));
  }
}

TEST_CASE("a finger that turned the other way on each side does not go on round a tight circle") {
  const Arc arc = arc_of(9, 0.12, -1);
  CHECK(course(arc.gap, arc.before, arc.after).goes == Course::Goes::elsewhere);
}

TEST_CASE("a gap quicker than hands goes on whatever way it went") {
  Arc arc = arc_of(9, 0.03, -1);
  CHECK(course(arc.gap, arc.before, arc.after).goes == Course::Goes::on);
}

}  // namespace paneproof
