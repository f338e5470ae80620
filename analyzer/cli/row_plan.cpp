#include "analyzer/cli/row_plan.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof {
namespace {

// A hand wanders by about 1 mm to either side of a row (common practice, no source).
constexpr double wander_mm = 1.0;
// A comfortable drag; fingers slide at about 80 mm/s when they search a surface (Exp Brain Res,
// 10.1007/s00221-002-1240-4), and practised hands go twice as fast.
constexpr double comfortable_mm_s = 150.0;
constexpr double turn_s = 0.35;  // common practice, no source

int rows_over(double across_mm, double edge_mm, double row_mm) {
  return 1 + std::max(0, static_cast<int>(std::ceil((across_mm - 2 * edge_mm) / row_mm - 1e-9)));
}

double seconds_for(int rows, double length_mm, double pace_mm_s) {
  return rows * length_mm / pace_mm_s + (rows - 1) * turn_s;
}

}  // namespace

RowPlan row_plan(double width_mm, double height_mm, double rate_hz, double fingertip_mm) {
  // Between rows s apart with reports p apart, the furthest point lies sqrt(s^2 + p^2) / 2 from a report;
  // that must stay within d / 2, with a wander to either side and one frame in two dropped by the host.
  const double d = fingertip_mm, wander = std::min(wander_mm, d / 4);
  RowPlan plan;
  plan.row_mm = std::floor((d - 2 * wander) * 0.9 * 2) / 2;
  const double apart = plan.row_mm + 2 * wander;
  const double step_mm = std::sqrt(d * d - apart * apart);
  plan.top_mm_s = std::max(1.0, std::floor(step_mm / 2 * rate_hz / 5) * 5);
  plan.pace_mm_s = std::min(plan.top_mm_s, comfortable_mm_s);
  plan.edge_mm = d / 2 - wander;
  const double across = std::min(width_mm, height_mm), along = std::max(width_mm, height_mm);
  plan.rows = rows_over(across, plan.edge_mm, plan.row_mm);
  plan.seconds = seconds_for(plan.rows, along, plan.pace_mm_s);
  plan.crossing_rows = rows_over(along, plan.edge_mm, plan.row_mm);
  plan.crossing_seconds = seconds_for(plan.crossing_rows, across, plan.pace_mm_s);
  return plan;
}

std::string time_words(double seconds) {
  const long whole = std::lround(std::ceil(seconds - 1e-9));
  if (whole < 100) return std::to_string(whole) + " s";
  const long minutes = (whole + 59) / 60;
  if (minutes < 100) return std::to_string(minutes) + " min";
  return std::to_string(minutes / 60) + " h" +
         (minutes % 60 ? " " + std::to_string(minutes % 60) + " min" : "");
}

}  // namespace paneproof
