#include "tests/truth/discs.hpp"

#include <algorithm>
#include <cmath>

#include "tests/truth/mixes.hpp"
#include "tests/truth/parallel.hpp"

namespace paneproof {
namespace {

constexpr std::size_t sizes = std::size(disc_sizes_mm), rows = std::size(row_distances_mm), styles = 6;
constexpr double inset_mm = 10;  // from the border, where a sweep is the same everywhere

FaultSpec disc_of(const RehearsalSpec& spec, double size_mm) {
  Random random(spec.seed, 778);
  FaultSpec fault;
  fault.kind = FaultKind::dead_area;
  fault.size_mm = size_mm;
  fault.centre = {random.uniform(inset_mm, spec.width_mm - inset_mm),
                  random.uniform(inset_mm, spec.height_mm - inset_mm)};
  return fault;
}

bool over(const DeadZone& zone, const FaultSpec& disc) {
  const double x = std::clamp(disc.centre.x, zone.x_mm, zone.x_mm + zone.width_mm);
  const double y = std::clamp(disc.centre.y, zone.y_mm, zone.y_mm + zone.height_mm);
  return std::hypot(x - disc.centre.x, y - disc.centre.y) <= disc.size_mm / 2 + 5;
}

}  // namespace

std::vector<DiscResult> plant_discs(std::uint64_t seed, int repeats, unsigned threads) {
  const std::size_t count = sizes * rows * styles * static_cast<std::size_t>(repeats);
  const Limits limits = default_limits();
  return in_parallel<DiscResult>(count, threads, [&](std::size_t k) {
    DiscResult result;
    result.size = k % sizes;
    result.row = k / sizes % rows;
    result.style = static_cast<SweepStyle>(k / sizes / rows % styles);
    RehearsalSpec spec = random_spec(first_seed(seed) + k, Mix::good_complete);
    spec.hand.style = result.style;
    spec.hand.row_distance_mm = row_distances_mm[result.row];
    spec.faults = {disc_of(spec, disc_sizes_mm[result.size])};
    const RehearsedCase c = run_case(spec, 0, limits);
    result.outcome = c.verdict.outcome;
    result.found = result.outcome == Outcome::fail &&
                   std::any_of(c.findings.dead_zones.begin(), c.findings.dead_zones.end(),
                               [&](const DeadZone& zone) { return over(zone, spec.faults[0]); });
    return result;
  });
}

}  // namespace paneproof
