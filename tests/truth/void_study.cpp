#include "tests/truth/void_study.hpp"

#include <algorithm>

#include "analyzer/measure/coverage.hpp"
#include "analyzer/measure/recordings.hpp"
#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/report_rate.hpp"
#include "analyzer/measure/roles.hpp"
#include "analyzer/measure/silence.hpp"
#include "analyzer/measure/voids.hpp"
#include "tests/truth/mixes.hpp"
#include "tests/truth/parallel.hpp"
#include "tests/truth/rehearsed_case.hpp"

namespace paneproof {
namespace {

constexpr double dead_from = 0.3;
constexpr std::size_t fewest_arrivals = 2;

// Share of each void's pixels that lie in a dead place.
std::vector<double> dead_shares(const Voids& voids, const Raster& raster, const Truth& truth) {
  std::vector<double> dead(voids.found.size(), 0), all(voids.found.size(), 0);
  for (int row = 0; row < raster.rows; ++row)
    for (int column = 0; column < raster.columns; ++column) {
      const auto label = static_cast<std::size_t>(voids.regions.labels[raster.index(column, row)]);
      if (label == 0) continue;
      const Vec at{raster.centre_mm(column), raster.centre_mm(row)};
      ++all[label];
      dead[label] += std::any_of(truth.dead_places.begin(), truth.dead_places.end(),
                                 [&](const DeadPlace& place) { return inside(place, at); });
    }
  for (std::size_t k = 1; k < dead.size(); ++k) dead[k] /= std::max(all[k], 1.0);
  return dead;
}

// The analysis as far as its voids (analysis.cpp).
Voids voids_of(const Trace& trace, const Raster& raster, double fingertip_mm) {
  const Roles roles = contact_roles(trace);
  const std::vector<std::uint8_t> logs = of_logs(trace, roles.counts);
  const std::vector<Silence> silent = silences(trace, usual_intervals_s(trace, report_rate(trace)), logs);
  const ReportField field(trace, raster, roles.counts);
  const std::vector<Repeat> repeated = repeats(trace, silent, field, fingertip_mm);
  return voids(trace, logs, silent, repeated, field, judged_pixels(raster, trace.panel), fingertip_mm);
}

std::vector<StudiedVoid> study(const std::string& mix, std::uint64_t case_seed) {
  const Rehearsed rehearsed = rehearse(spec_of_mix(mix, case_seed));
  const Trace trace = trace_of(rehearsed);
  const Raster raster = raster_over(trace.panel);
  const Voids voids = voids_of(trace, raster, default_limits().fingertip_mm);
  const std::vector<double> shares = dead_shares(voids, raster, rehearsed.truth);
  std::vector<StudiedVoid> out;
  for (std::size_t k = 1; k < voids.found.size(); ++k) {
    const Void& v = voids.found[k];
    const bool touched = v.crossings > 0 || v.arrivals.size() >= fewest_arrivals || v.barriers_log_chance < 0;
    if (!touched || (shares[k] < dead_from && rehearsed.truth.faulty)) continue;
    out.push_back({case_seed, shares[k] >= dead_from, v.dead, v.crossings, signs(v)});
  }
  return out;
}

}  // namespace

std::vector<StudiedVoid> study_voids(const std::string& mix, std::uint64_t seed, int cases,
                                     unsigned threads) {
  const auto lists =
      in_parallel<std::vector<StudiedVoid>>(static_cast<std::size_t>(cases), threads,
                                            [&](std::size_t k) { return study(mix, first_seed(seed) + k); });
  std::vector<StudiedVoid> out;
  for (const auto& list : lists) out.insert(out.end(), list.begin(), list.end());
  return out;
}

}  // namespace paneproof
