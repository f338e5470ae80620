#include "analyzer/measure/pinches.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include "analyzer/measure/length.hpp"
#include "analyzer/measure/swerves.hpp"

namespace paneproof {
namespace {

constexpr double least_mm = 1.2, least_sum_mm = 2.6;
constexpr double nearest_mm = 4.0, furthest_mm = 14.0;  // between the strokes
constexpr double opposed = -0.7, across_share = 0.75;   // cosines
constexpr double empty_mm = 2.5;                        // no report this near the middle
constexpr double one_place_mm = 10.0;
constexpr double square_mm = 2.0;  // of the swerves within one of these only the deepest each way counts

struct Found {
  Pinch pinch;
  double depth_mm;
};

Point middle(const Pinch& p) { return {(p.from.x_mm + p.to.x_mm) / 2, (p.from.y_mm + p.to.y_mm) / 2}; }

class Pairs {
 public:
  Pairs(const Trace& trace, const ReportField& field) : trace_(trace), field_(field) {}

  void take(const Swerve& s) {
    const int way = (s.towards_x > 0 ? 1 : 0) + (s.towards_y > 0 ? 2 : 0);
    Swerve& kept = squares_[{square(s.x_mm), square(s.y_mm)}][way];
    if (s.mm > kept.mm) kept = s;
  }

  std::vector<Found> all() const {
    std::vector<Found> found;
    const int reach = square(furthest_mm) + 1;
    for (const auto& [at, ways] : squares_)
      for (int column = at.first; column <= at.first + reach; ++column)
        for (auto other = squares_.lower_bound({column, at.second - reach});
             other != squares_.end() && other->first <= std::pair(column, at.second + reach); ++other)
          for (const Swerve& a : ways)
            for (const Swerve& b : other->second) pair(a, b, found);
    return found;
  }

 private:
  static int square(double mm) { return static_cast<int>(std::floor(mm / square_mm)); }

  void pair(const Swerve& a, const Swerve& b, std::vector<Found>& found) const {
    if (a.mm == 0 || b.mm == 0 || a.mm + b.mm < least_sum_mm) return;
    const double x = b.x_mm - a.x_mm, y = b.y_mm - a.y_mm, apart_mm = length(x, y);
    if (apart_mm < nearest_mm || apart_mm > furthest_mm) return;
    if (a.towards_x * b.towards_x + a.towards_y * b.towards_y > opposed) return;
    if (-(x * a.towards_x + y * a.towards_y) < across_share * apart_mm) return;
    if (x * b.towards_x + y * b.towards_y < across_share * apart_mm) return;
    const Point between{(a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2};
    if (field_.any_within(between.x_mm, between.y_mm, empty_mm)) return;
    const Report& later = trace_.reports[std::max(a.report, b.report)];
    found.push_back({{{a.x_mm, a.y_mm},
                      {b.x_mm, b.y_mm},
                      static_cast<double>(later.t_us) * 1e-6,
                      trace_.contacts[later.contact].sweep},
                     a.mm + b.mm});
  }

  const Trace& trace_;
  const ReportField& field_;
  std::map<std::pair<int, int>, std::array<Swerve, 4>> squares_;
};

}  // namespace

std::vector<Pinch> pinches(const Trace& trace, const std::vector<std::uint8_t>& counts,
                           const ReportField& field) {
  Pairs pairs(trace, field);
  for (const Swerve& s : swerves(trace, counts, least_mm)) pairs.take(s);
  std::vector<Found> found = pairs.all();
  std::stable_sort(found.begin(), found.end(),
                   [](const Found& a, const Found& b) { return a.depth_mm > b.depth_mm; });
  std::vector<Pinch> out;
  for (const Found& f : found) {
    const Point here = middle(f.pinch);
    const bool known = std::any_of(out.begin(), out.end(), [&](const Pinch& p) {
      const Point there = middle(p);
      return length(there.x_mm - here.x_mm, there.y_mm - here.y_mm) < one_place_mm;
    });
    if (!known) out.push_back(f.pinch);
  }
  std::stable_sort(out.begin(), out.end(), [](const Pinch& a, const Pinch& b) {
    return a.sweep != b.sweep ? a.sweep < b.sweep : a.t_s < b.t_s;
  });
  return out;
}

}  // namespace paneproof
