#include "analyzer/measure/alignment.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

#include "analyzer/measure/thinned.hpp"

namespace paneproof {
namespace {

constexpr std::array<double, 5> electrodes_mm = {0.1, 0.15, 0.22, 0.33, 0.5};
constexpr std::array<double, 5> hands_mm = {0.7, 1.0, 1.4, 2.0, 2.8};
constexpr double off_side_mm = 8.0;
constexpr double along_axis = 2.0;  // it goes so much further along its axis than across
constexpr double stray_share = 0.1, anywhere_mm = 12.0;
constexpr std::size_t enough_arrivals = 200;  // of one group
constexpr double border_step_mm = 0.1, around_mm = 2.0;

using Groups = std::vector<std::vector<double>>;

// ln of the mean of values given as logarithms.
double log_mean(const std::vector<double>& logs) {
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0;
  for (const double l : logs) sum += std::exp(l - most);
  return most + std::log(sum / static_cast<double>(logs.size()));
}

// ln of the likelihood of one group, its border anywhere about it.
double log_group(const std::vector<double>& group, double sd_mm) {
  const auto [low, high] = std::minmax_element(group.begin(), group.end());
  const double peak = (1 - stray_share) / (sd_mm * std::sqrt(2 * std::numbers::pi));
  std::vector<double> logs;
  for (double border_mm = *low - around_mm; border_mm <= *high + around_mm; border_mm += border_step_mm) {
    double log_likelihood = 0;
    for (const double end_mm : group) {
      const double z = (end_mm - border_mm) / sd_mm;
      log_likelihood += std::log(peak * std::exp(-z * z / 2) + stray_share / anywhere_mm);
    }
    logs.push_back(log_likelihood);
  }
  return log_mean(logs) + std::log(static_cast<double>(logs.size()) * border_step_mm / anywhere_mm);
}

double log_likelihood(const Groups& groups, const std::array<double, 5>& sds_mm, double step_mm) {
  std::vector<double> logs;
  for (const double sd_mm : sds_mm) {
    double log_likelihood = 0;
    for (const auto& group : groups)
      log_likelihood += log_group(group, std::sqrt(sd_mm * sd_mm + step_mm * step_mm / 12));
    logs.push_back(log_likelihood);
  }
  return log_mean(logs);
}

Groups groups_of(const std::vector<Arrival>& arrivals, const Panel& panel) {
  Groups groups(8);
  for (const Arrival& a : arrivals) {
    const auto side = headed_for(a);
    if (!side) continue;
    const double depth_mm = depth_from(*side, panel, a.place.x_mm, a.place.y_mm);
    if (depth_mm > off_side_mm) groups[2 * static_cast<std::size_t>(*side) + a.began].push_back(depth_mm);
  }
  std::erase_if(groups, [](const std::vector<double>& group) { return group.size() < 2; });
  for (auto& group : groups) group = thinned(std::move(group), enough_arrivals);
  return groups;
}

}  // namespace

std::optional<Side> headed_for(const Arrival& a) {
  const double x = std::abs(a.towards_x), y = std::abs(a.towards_y);
  if (x >= along_axis * y) return a.towards_x < 0 ? Side::left : Side::right;
  if (y >= along_axis * x) return a.towards_y < 0 ? Side::top : Side::bottom;
  return std::nullopt;
}

double log_aligned(const std::vector<Arrival>& arrivals, const Panel& panel, double step_mm) {
  const Groups groups = groups_of(arrivals, panel);
  if (groups.empty()) return 0;
  return log_likelihood(groups, electrodes_mm, step_mm) - log_likelihood(groups, hands_mm, step_mm);
}

}  // namespace paneproof
