#include "analyzer/measure/crossings.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace paneproof {
namespace {

// Excess of the gap over the way, mm.
constexpr double dead_mm = 8.5, dead_sd_mm = 3.0, less_per_mm = 0.2, from_mm = 10, sd_per_mm = 0.1,
                 longest_mm = 40;
// A hand that takes its time hops as far as it likes.
constexpr double quick_hand_strays = 0.7, slow_hand_strays = 0.9, strays_span_mm = 60;
// A finger that takes its time may turn on a dead place.
constexpr double quick_strays = 0.05, slow_strays = 0.7, quick_s = 0.15, slow_s = 0.4;
constexpr double hand_reach_mm = 6, hand_reach_s = 0.09, log_no_hand = 3;
constexpr double another_mm = 30;
constexpr double hand_mm = 0.5, hand_sd_mm = 3.0;

double log_normal(double x, double mean, double sd) {
  const double z = (x - mean) / sd;
  return std::log(0.3989422804 / sd) - z * z / 2;
}

double between(double quick, double slow, double gap_s) {
  return quick + std::clamp((gap_s - quick_s) / (slow_s - quick_s), 0.0, 1.0) * (slow - quick);
}

double normal(double x, double mean, double sd) { return std::exp(log_normal(x, mean, sd)); }

// Of the excess about its own mean, mm: on the glass, where pace and the reports' grid scatter; in the air.
constexpr std::array<double, 3> glass_sds_mm = {0.4, 0.7, 1.2}, glass_per_mm = {0.02, 0.04, 0.06},
                                air_sds_mm = {4, 7, 11};
constexpr double least_way_mm = 3, agree_strays = 0.1, agree_strays_sd_mm = 12;
constexpr double lowest_mean_mm = 2, highest_mean_mm = 13, glass_step_mm = 0.5;
constexpr double lowest_air_mm = -12, highest_air_mm = 6, air_step_mm = 3;

// ln of the mean of e to the power of these.
double log_mean(const std::vector<double>& logs) {
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0;
  for (const double l : logs) sum += std::exp(l - most);
  return most + std::log(sum / static_cast<double>(logs.size()));
}

}  // namespace

bool by_another(const Crossing& crossing) { return crossing.gap_mm - crossing.way_mm >= another_mm; }

double log_agreeing(const std::vector<Crossing>& crossings) {
  if (crossings.size() < 2) return 0;
  std::vector<double> glass, air;
  for (std::size_t k = 0; k < glass_sds_mm.size(); ++k)
    for (double mean = lowest_mean_mm; mean <= highest_mean_mm; mean += glass_step_mm) {
      double sum = 0;
      for (const Crossing& c : crossings) {
        const double excess_mm = c.gap_mm - c.way_mm;
        const double sd_mm = std::hypot(glass_sds_mm[k], glass_per_mm[k] * std::max(least_way_mm, c.way_mm));
        sum += std::log((1 - agree_strays) * normal(excess_mm, mean, sd_mm) +
                        agree_strays * normal(excess_mm, 0, agree_strays_sd_mm));
      }
      glass.push_back(sum);
    }
  for (const double sd_mm : air_sds_mm)
    for (double mean = lowest_air_mm; mean <= highest_air_mm; mean += air_step_mm) {
      double sum = 0;
      for (const Crossing& c : crossings) sum += log_normal(c.gap_mm - c.way_mm, mean, sd_mm);
      air.push_back(sum);
    }
  return log_mean(glass) - log_mean(air);
}

double log_ahead(const std::vector<Crossing>& crossings) {
  double log_ratio = 0;
  for (const Crossing& c : crossings) {
    const double excess_mm = c.gap_mm - c.way_mm, way_mm = std::min(c.way_mm, longest_mm);
    if (c.gap_s < hand_reach_s && excess_mm > hand_reach_mm && !by_another(c)) {
      log_ratio += log_no_hand;
      continue;
    }
    const double dead = normal(excess_mm, dead_mm - less_per_mm * std::max(0.0, way_mm - from_mm),
                               dead_sd_mm + sd_per_mm * way_mm);
    const double hand = normal(excess_mm, hand_mm, hand_sd_mm);
    const double strays = between(quick_strays, slow_strays, c.gap_s),
                 hand_strays = between(quick_hand_strays, slow_hand_strays, c.gap_s);
    log_ratio += std::log(((1 - strays) * dead + strays / strays_span_mm) /
                          ((1 - hand_strays) * hand + hand_strays / strays_span_mm));
  }
  return log_ratio;
}

}  // namespace paneproof
