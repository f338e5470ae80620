#include "analyzer/measure/pace.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double near_mm = 4.0, far_mm = 14.0, shortest_mm = 1.5;
constexpr double wound_up_mm = 16.0;            // along the way, where it winds
constexpr std::int64_t longest_us = 1'000'000;  // beyond it the finger may have rested

double apart(const Report& a, const Report& b) { return length(b.x - a.x, b.y - a.y); }

// The angle between the two halves of a stretch; 0 where a half is too short to tell.
double turn(const Trace& trace, std::uint32_t near, std::uint32_t far, int step) {
  const Report &n = trace.reports[near], &f = trace.reports[far];
  const double half_mm = apart(n, f) / 2;
  std::uint32_t middle = near;
  while (middle != far && apart(trace.reports[middle], n) < half_mm)
    middle += static_cast<std::uint32_t>(step);
  const Report& m = trace.reports[middle];
  if (apart(m, n) < shortest_mm || apart(m, f) < shortest_mm) return 0;
  const double ax = m.x - n.x, ay = m.y - n.y, bx = f.x - m.x, by = f.y - m.y;
  return std::atan2(ax * by - ay * bx, ax * bx + ay * by);
}

// Walks from `report` by `step` (-1 or 1) to the contact's end `last`, and measures the stretch.
std::optional<Pace> pace_along(const Trace& trace, std::uint32_t report, std::uint32_t last, int step) {
  const Report& here = trace.reports[report];
  std::uint32_t near = report, far = report;
  double wound_mm = 0;
  while (far != last && apart(trace.reports[far], here) < far_mm && wound_mm < wound_up_mm &&
         std::abs(trace.reports[far].t_us - here.t_us) < longest_us) {
    const std::uint32_t next = far + static_cast<std::uint32_t>(step);
    wound_mm += apart(trace.reports[far], trace.reports[next]);
    far = next;
    if (apart(trace.reports[near], here) < near_mm) near = far;
  }
  // A short contact: all of it.
  if (apart(trace.reports[near], trace.reports[far]) < shortest_mm) near = report;
  const Report &n = trace.reports[near], &f = trace.reports[far];
  const double way = apart(n, f);
  const std::uint32_t steps = step < 0 ? near - far : far - near;
  const double took_s = static_cast<double>(std::abs(f.t_us - n.t_us)) * 1e-6;
  if (steps < 2 || way < shortest_mm || took_s <= 0) return std::nullopt;
  Pace pace{way / took_s, (f.x - n.x) / way * step, (f.y - n.y) / way * step};
  pace.whole = near != report;
  pace.since_s = static_cast<double>(std::abs(n.t_us + f.t_us - 2 * here.t_us)) * 0.5e-6;
  pace.turn_rad_s = step * turn(trace, near, far, step) / (took_s / 2);
  // Along an arc, not its chord.
  const double half = std::min(1.2, std::abs(pace.turn_rad_s) * took_s / 2);
  if (half > 0.01) pace.speed_mm_s *= half / std::sin(half);
  return pace;
}

}  // namespace

std::optional<Pace> pace_before(const Trace& trace, std::uint32_t report) {
  return pace_along(trace, report, trace.contacts[trace.reports[report].contact].first, -1);
}

std::optional<Pace> pace_after(const Trace& trace, std::uint32_t report) {
  const Contact& contact = trace.contacts[trace.reports[report].contact];
  return pace_along(trace, report, contact.first + contact.count - 1, 1);
}

double pace_between_mm_s(const std::optional<Pace>& before, const std::optional<Pace>& after) {
  if (before && after) return (before->speed_mm_s + after->speed_mm_s) / 2;
  return (before ? before : after)->speed_mm_s;
}

}  // namespace paneproof
