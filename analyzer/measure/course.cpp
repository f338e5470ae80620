#include "analyzer/measure/course.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

constexpr double no_hand_s = 0.045, quick_hand_s = 0.1;       // no hand lifts and lands faster; few do
constexpr double same_course = 0.7, right_along = 0.95;       // cosines: within 45 and 18 degrees
constexpr double on_the_arc = 0.87, sharpest_turn_rad = 1.7;  // 30 degrees; further ahead no turn is foretold

// Cosine between the gap and a pace's direction, turned.
double along(const Silence& gap, const Pace& pace, double turned_rad) {
  const double x = (gap.to.x_mm - gap.from.x_mm) / gap.gap_mm, y = (gap.to.y_mm - gap.from.y_mm) / gap.gap_mm;
  const double cosine = std::cos(turned_rad), sine = std::sin(turned_rad);
  return x * (pace.direction_x * cosine - pace.direction_y * sine) +
         y * (pace.direction_x * sine + pace.direction_y * cosine);
}

// Both ends run along it, or one of them where the gap is shorter than hands take; a gap that no hand makes
// needs neither. One end that runs right along it is weaker: the other may have turned, or been bent by the
// dead place.
Course::Goes straight_on(const Silence& gap, const std::optional<Pace>& before,
                         const std::optional<Pace>& after) {
  const double b = before ? along(gap, *before, 0) : 0, a = after ? along(gap, *after, 0) : 0;
  const double net_s = gap.gap_s - gap.interval_s;
  if (net_s < no_hand_s) return Course::Goes::on;
  if (net_s < quick_hand_s && (b >= same_course || a >= same_course)) return Course::Goes::on;
  if (b >= same_course && a >= same_course) return Course::Goes::on;
  if (b >= right_along && (!after || !after->whole)) return Course::Goes::on;
  if (a >= right_along && (!before || !before->whole)) return Course::Goes::on;
  return b >= right_along || a >= right_along ? Course::Goes::one_sided : Course::Goes::elsewhere;
}

// Chord of the arc that leads from one end to the other, both turning the same way: it leaves the first end
// turned by half of its whole turn, and so it meets the other. 0 for none.
double arc_mm(const Silence& gap, const Pace& before, const Pace& after) {
  if (!before.whole || !after.whole || before.turn_rad_s * after.turn_rad_s <= 0) return 0;
  const double b_rad = before.turn_rad_s * (before.since_s + gap.gap_s / 2);
  const double a_rad = -after.turn_rad_s * (after.since_s + gap.gap_s / 2);
  if (std::max(std::abs(a_rad), std::abs(b_rad)) > sharpest_turn_rad) return 0;
  if (along(gap, before, b_rad) < on_the_arc || along(gap, after, a_rad) < on_the_arc) return 0;
  const double half_rad = std::abs(before.turn_rad_s + after.turn_rad_s) / 4 * gap.gap_s;
  return gap.speed_mm_s * gap.gap_s * (half_rad > 0.01 ? std::sin(half_rad) / half_rad : 1.0);
}

}  // namespace

Course course(const Silence& gap, const std::optional<Pace>& before, const std::optional<Pace>& after) {
  const Course out{straight_on(gap, before, after), gap.speed_mm_s * gap.gap_s};
  if (out.goes == Course::Goes::on || !before || !after) return out;
  if (const double way_mm = arc_mm(gap, *before, *after); way_mm > 0) return {Course::Goes::on, way_mm};
  return out;
}

}  // namespace paneproof
