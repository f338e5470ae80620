#include "analyzer/measure/bends.hpp"

#include <algorithm>
#include <cmath>

#include "analyzer/measure/length.hpp"
#include "analyzer/measure/own_way.hpp"

namespace paneproof {
namespace {

constexpr double out_mm = 6.0, far_mm = 14.0, shortest_mm = 4.0;
constexpr double longest_mm = 90.0;  // beside a place longer than this nothing is straight
constexpr double along_way = 0.96;   // cosine: within 16 degrees of the line
constexpr double most_mm = 4.0;
constexpr double way_mm = 20.0, shortest_way_mm = 10.0, smooth_mm = 0.6, furthest_mm = 20.0;
constexpr double most_bow = 0.09;  // of the chord: radius 1.4 times the chord

double apart(const Report& a, const Report& b) { return length(b.x - a.x, b.y - a.y); }
Point at(const Report& r) { return {r.x, r.y}; }

// The first report beyond `mm` from `from`, outward by `step`; nullopt where the contact ends before.
std::optional<std::uint32_t> beyond(const Trace& trace, std::uint32_t from, std::uint32_t last, int step,
                                    double mm) {
  for (std::uint32_t i = from; i != last;) {
    i += static_cast<std::uint32_t>(step);
    if (apart(trace.reports[i], trace.reports[from]) >= mm) return i;
  }
  return std::nullopt;
}

// Does the contact run along (ux, uy) outside `at` as well? Yes where it is too short there to tell.
bool runs_along(const Trace& trace, std::uint32_t at, std::uint32_t last, int step, double ux, double uy) {
  const std::uint32_t out = beyond(trace, at, last, step, far_mm - out_mm).value_or(last);
  const Report &a = trace.reports[at], &b = trace.reports[out];
  const double way = apart(a, b);
  return way < shortest_mm || step * ((b.x - a.x) * ux + (b.y - a.y) * uy) >= along_way * way;
}

}  // namespace

std::optional<double> bend_mm(const Trace& trace, std::uint32_t c, std::uint32_t first, std::uint32_t last,
                              Point place) {
  const Contact& contact = trace.contacts[c];
  const std::uint32_t begin = contact.first, end = contact.first + contact.count - 1;
  const auto before = beyond(trace, first, begin, -1, out_mm), after = beyond(trace, last, end, 1, out_mm);
  if (!before || !after) return std::nullopt;
  const Report &p = trace.reports[*before], &q = trace.reports[*after];
  const double way = apart(p, q);
  if (way < 2 * out_mm || way > longest_mm) return std::nullopt;
  const double ux = (q.x - p.x) / way, uy = (q.y - p.y) / way;
  if (!runs_along(trace, *before, begin, -1, ux, uy) || !runs_along(trace, *after, end, 1, ux, uy))
    return std::nullopt;
  const auto across = [&](double x, double y) { return (y - p.y) * ux - (x - p.x) * uy; };
  const double side = across(place.x_mm, place.y_mm) > 0 ? -1 : 1;
  double most = 0;
  for (std::uint32_t i = first; i <= last; ++i) {
    const double away = side * across(trace.reports[i].x, trace.reports[i].y);
    if (std::abs(away) > std::abs(most)) most = away;
  }
  return std::clamp(most, -most_mm, most_mm);
}

std::optional<double> veer_mm(const Trace& trace, std::uint32_t c, std::uint32_t first, std::uint32_t last,
                              Point place) {
  const Contact& contact = trace.contacts[c];
  const bool ends = last == contact.first + contact.count - 1;
  const std::uint32_t from = ends ? first : last;
  const std::uint32_t outermost = ends ? contact.first : contact.first + contact.count - 1;
  const std::uint32_t out = beyond(trace, from, outermost, ends ? -1 : 1, way_mm).value_or(outermost);
  if (apart(trace.reports[out], trace.reports[from]) < shortest_way_mm) return std::nullopt;
  const auto way = own_way(trace, std::min(out, from), std::max(out, from), at(trace.reports[out]),
                           at(trace.reports[from]));
  if (!way || way->rest_mm() > smooth_mm || std::abs(way->bow_mm()) > most_bow * way->chord_mm())
    return std::nullopt;
  const Report& tip = trace.reports[ends ? last : first];
  const double ahead_mm = way->along_mm(tip.x, tip.y) - way->chord_mm();
  if (ahead_mm < 0 || ahead_mm > furthest_mm) return std::nullopt;
  const double off = way->off_mm(tip.x, tip.y);
  return std::clamp(way->off_mm(place.x_mm, place.y_mm) > 0 ? -off : off, -most_mm, most_mm);
}

}  // namespace paneproof
