#include "analyzer/measure/company.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double merging_mm = 20.0;          // two fingertips closer than this may be seen as one
constexpr std::int64_t merging_us = 40'000;  // and then one of them ends, or begins, within a few scans
constexpr std::int64_t together_us = 25'000;
constexpr std::int64_t crowd_us = 100'000;
constexpr std::uint32_t most_in_crowd = 5;
constexpr double detour = 1.1;  // of the straight way, at a place between them
constexpr std::uint32_t most_at_once = 16;

Point at(const Report& report) { return {report.x, report.y}; }
double distance(Point a, Point b) { return length(b.x_mm - a.x_mm, b.y_mm - a.y_mm); }

bool between(Point one, Point middle, Point other) {
  const double whole_mm = distance(one, other);
  return whole_mm < merging_mm && distance(one, middle) + distance(middle, other) < detour * whole_mm;
}

}  // namespace

// Of the same sweep, those before c that may still be down and those that land until then.
template <class Test>
bool Company::any_beside(std::uint32_t c, std::int64_t until_us, const Test& test) const {
  for (std::uint32_t other = c > most_at_once ? c - most_at_once : 0; other < trace_.contacts.size();
       ++other) {
    if (trace_.contacts[other].sweep != trace_.contacts[c].sweep) continue;
    if (other > c && first(other).t_us > until_us) break;
    if (other != c && test(other)) return true;
  }
  return false;
}

// Another that is down then, beside it, and of which test(it) holds.
template <class Test>
bool Company::near_at(std::uint32_t c, std::int64_t t_us, Point place, const Test& test) const {
  return any_beside(c, t_us, [&](std::uint32_t other) {
    if (last(other).t_us < t_us || first(other).t_us > t_us || !test(other)) return false;
    const auto begin = trace_.reports.begin() + trace_.contacts[other].first;
    const auto found = std::lower_bound(begin, begin + trace_.contacts[other].count, t_us,
                                        [](const Report& r, std::int64_t t) { return r.t_us < t; });
    return found != begin + trace_.contacts[other].count && distance(at(*found), place) < merging_mm;
  });
}

bool Company::another_near(std::uint32_t c, std::int64_t t_us, Point place) const {
  return near_at(c, t_us, place, [](std::uint32_t) { return true; });
}

bool Company::another_stays(std::uint32_t c) const {
  const Report& end = last(c);
  return near_at(c, end.t_us, at(end),
                 [&](std::uint32_t other) { return last(other).t_us > end.t_us + together_us; });
}

bool Company::another_was(std::uint32_t c) const {
  const Report& start = first(c);
  return near_at(c, start.t_us, at(start),
                 [&](std::uint32_t other) { return first(other).t_us < start.t_us - together_us; });
}

bool Company::crowded(std::uint32_t c) const {
  const std::int64_t end_us = last(c).t_us;
  std::uint32_t down = 0;
  return any_beside(c, end_us + crowd_us, [&](std::uint32_t other) {
    return last(other).t_us >= end_us - crowd_us && ++down > most_in_crowd;
  });
}

bool Company::exchanged(std::uint32_t i) const {
  const Report &a = trace_.reports[i], &b = trace_.reports[i + 1];
  return another_near(a.contact, a.t_us, at(a)) || another_near(b.contact, b.t_us, at(b)) || merged(a, b);
}

// Two contacts become one: it leaps to a place between them as the other ends; and back as they part.
bool Company::merged(const Report& a, const Report& b) const {
  return any_beside(a.contact, b.t_us + merging_us, [&](std::uint32_t other) {
    if (!counts_[other]) return false;
    return (std::abs(last(other).t_us - a.t_us) <= merging_us && between(at(a), at(b), at(last(other)))) ||
           (std::abs(first(other).t_us - b.t_us) <= merging_us && between(at(b), at(a), at(first(other))));
  });
}

}  // namespace paneproof
