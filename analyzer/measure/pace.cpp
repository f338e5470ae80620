#include "analyzer/measure/pace.hpp"

#include <cmath>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double near_mm = 4.0, far_mm = 14.0, shortest_mm = 1.5;
constexpr std::int64_t longest_us = 1'000'000;  // beyond it the finger may have rested

double apart(const Report& a, const Report& b) { return length(b.x - a.x, b.y - a.y); }

// Walks from `report` by `step` (-1 or 1) to the contact's end `last`, and measures the stretch.
std::optional<Pace> pace_along(const Trace& trace, std::uint32_t report, std::uint32_t last, int step) {
  const Report& here = trace.reports[report];
  std::uint32_t near = report, far = report;
  while (far != last && apart(trace.reports[far], here) < far_mm &&
         std::abs(trace.reports[far].t_us - here.t_us) < longest_us) {
    far += static_cast<std::uint32_t>(step);
    if (apart(trace.reports[near], here) < near_mm) near = far;
  }
  // A short contact: all of it.
  if (apart(trace.reports[near], trace.reports[far]) < shortest_mm) near = report;
  const Report &n = trace.reports[near], &f = trace.reports[far];
  const double way = apart(n, f);
  const std::uint32_t steps = step < 0 ? near - far : far - near;
  const double took_s = static_cast<double>(std::abs(f.t_us - n.t_us)) * 1e-6;
  if (steps < 2 || way < shortest_mm || took_s <= 0) return std::nullopt;
  return Pace{way / took_s, (f.x - n.x) / way * step, (f.y - n.y) / way * step, near != report};
}

}  // namespace

std::optional<Pace> pace_before(const Trace& trace, std::uint32_t report) {
  return pace_along(trace, report, trace.contacts[trace.reports[report].contact].first, -1);
}

std::optional<Pace> pace_after(const Trace& trace, std::uint32_t report) {
  const Contact& contact = trace.contacts[trace.reports[report].contact];
  return pace_along(trace, report, contact.first + contact.count - 1, 1);
}

}  // namespace paneproof
