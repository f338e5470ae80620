#include "analyzer/measure/company.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double merging_mm = 20.0;          // two fingertips closer than this may be seen as one
constexpr std::int64_t merging_us = 40'000;  // and then one of them ends, or begins, within a few scans
constexpr double detour = 1.1;               // of the straight way, at a place between them
constexpr std::uint32_t most_at_once = 16;

Point at(const Report& report) { return {report.x, report.y}; }
double distance(Point a, Point b) { return length(b.x_mm - a.x_mm, b.y_mm - a.y_mm); }

bool between(Point one, Point middle, Point other) {
  const double whole_mm = distance(one, other);
  return whole_mm < merging_mm && distance(one, middle) + distance(middle, other) < detour * whole_mm;
}

}  // namespace

bool Company::another_near(std::uint32_t c, std::int64_t t_us, Point place) const {
  for (std::uint32_t other = c > most_at_once ? c - most_at_once : 0; other < trace_.contacts.size();
       ++other) {
    if (trace_.contacts[other].sweep != trace_.contacts[c].sweep) continue;
    if (other > c && first(other).t_us > t_us) break;
    if (other == c || last(other).t_us < t_us || first(other).t_us > t_us) continue;
    const auto begin = trace_.reports.begin() + trace_.contacts[other].first;
    const auto found = std::lower_bound(begin, begin + trace_.contacts[other].count, t_us,
                                        [](const Report& r, std::int64_t t) { return r.t_us < t; });
    if (found != begin + trace_.contacts[other].count && distance(at(*found), place) < merging_mm)
      return true;
  }
  return false;
}

bool Company::exchanged(std::uint32_t i) const {
  const Report &a = trace_.reports[i], &b = trace_.reports[i + 1];
  return another_near(a.contact, a.t_us, at(a)) || another_near(b.contact, b.t_us, at(b)) || merged(a, b);
}

// Two contacts become one: it leaps to a place between them as the other ends; and back as they part.
bool Company::merged(const Report& a, const Report& b) const {
  const std::uint32_t c = a.contact;
  for (std::uint32_t other = c > most_at_once ? c - most_at_once : 0; other < trace_.contacts.size();
       ++other) {
    if (trace_.contacts[other].sweep != trace_.contacts[c].sweep) continue;
    if (other > c && first(other).t_us > b.t_us + merging_us) break;
    if (other == c || !counts_[other]) continue;
    if (std::abs(last(other).t_us - a.t_us) <= merging_us && between(at(a), at(b), at(last(other))))
      return true;
    if (std::abs(first(other).t_us - b.t_us) <= merging_us && between(at(b), at(a), at(first(other))))
      return true;
  }
  return false;
}

}  // namespace paneproof
