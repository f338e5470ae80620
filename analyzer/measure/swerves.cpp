#include "analyzer/measure/swerves.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double half_mm = 9.0, most_half_mm = 15.0;  // reports may lie some mm apart
constexpr double straight_share = 0.9;                // of the chord to the way round by the report
constexpr double out_mm = 8.0, shortest_out_mm = 5.0;
constexpr double along_chord = 0.985;

class Finder {
 public:
  Finder(const Trace& trace, const Contact& contact)
      : reports_(trace.reports), first_(contact.first), last_(contact.first + contact.count - 1) {}

  void add(double least_mm, std::vector<Swerve>& found) {
    std::optional<Swerve> deepest;
    std::uint32_t before = first_, after = first_;
    for (std::uint32_t i = first_; i <= last_; ++i) {
      while (before + 1 < i && apart(before + 1, i) >= half_mm) ++before;
      after = std::max(after, i);
      while (after < last_ && apart(after, i) < half_mm) ++after;
      const std::optional<Swerve> here = swerve(before, i, after, least_mm);
      if (here && (!deepest || here->mm > deepest->mm)) deepest = here;
      if (!here && deepest && apart(deepest->report, i) > half_mm) {
        found.push_back(*deepest);
        deepest.reset();
      }
    }
    if (deepest) found.push_back(*deepest);
  }

 private:
  double apart(std::uint32_t i, std::uint32_t k) const {
    return length(reports_[i].x - reports_[k].x, reports_[i].y - reports_[k].y);
  }

  std::optional<Swerve> swerve(std::uint32_t before, std::uint32_t i, std::uint32_t after,
                               double least_mm) const {
    const double back_mm = apart(before, i), on_mm = apart(i, after);
    if (back_mm < half_mm || on_mm < half_mm || back_mm > most_half_mm || on_mm > most_half_mm)
      return std::nullopt;
    const Report &p = reports_[before], &r = reports_[i], &q = reports_[after];
    const double chord_mm = apart(before, after);
    if (chord_mm < straight_share * 2 * half_mm) return std::nullopt;
    const double ux = (q.x - p.x) / chord_mm, uy = (q.y - p.y) / chord_mm;
    const double off_mm = (r.y - p.y) * ux - (r.x - p.x) * uy;
    if (std::abs(off_mm) < least_mm) return std::nullopt;
    const Way in = further(before, first_, -1, ux, uy), out = further(after, last_, 1, ux, uy);
    if (in == Way::turns || out == Way::turns || (in == Way::unknown && out == Way::unknown))
      return std::nullopt;
    const double side = off_mm > 0 ? 1 : -1;
    return Swerve{i, r.x, r.y, -uy * side, ux * side, std::abs(off_mm)};
  }

  enum class Way { unknown, straight, turns };

  // How the stroke runs beyond `from`, outward by `step` up to `end`, against the chord's direction.
  Way further(std::uint32_t from, std::uint32_t end, int step, double ux, double uy) const {
    std::uint32_t to = from;
    while (to != end && apart(to, from) < out_mm) to += static_cast<std::uint32_t>(step);
    const double way_mm = apart(to, from);
    if (way_mm < shortest_out_mm) return Way::unknown;
    const double along_mm =
        step * ((reports_[to].x - reports_[from].x) * ux + (reports_[to].y - reports_[from].y) * uy);
    return along_mm >= along_chord * way_mm ? Way::straight : Way::turns;
  }

  const std::vector<Report>& reports_;
  std::uint32_t first_, last_;
};

}  // namespace

std::vector<Swerve> swerves(const Trace& trace, const std::vector<std::uint8_t>& counts, double least_mm) {
  std::vector<Swerve> found;
  for (std::size_t c = 0; c < trace.contacts.size(); ++c)
    if (counts[c]) Finder(trace, trace.contacts[c]).add(least_mm, found);
  return found;
}

}  // namespace paneproof
