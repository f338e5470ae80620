#include "analyzer/measure/alignment.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace paneproof {
namespace {

constexpr std::array<double, 5> electrodes_mm = {0.1, 0.15, 0.22, 0.33, 0.5};
constexpr std::array<double, 5> hands_mm = {0.7, 1.0, 1.4, 2.0, 2.8};
constexpr double off_side_mm = 3.5;
constexpr double along_axis = 2.0;  // a crossing goes so much further along its axis than across
constexpr double stray_share = 0.1, anywhere_mm = 12.0;
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
  return log_mean(logs) +
         std::log(static_cast<double>(logs.size()) * border_step_mm / anywhere_mm);
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

// Ends of crossings along one axis: vanished and came back, low and high side.
Groups groups_of(const std::vector<Point>& ends, bool x, double extent_mm) {
  Groups groups(4);
  for (std::size_t k = 0; k + 1 < ends.size(); k += 2) {
    const double dx = std::abs(ends[k + 1].x_mm - ends[k].x_mm), dy = std::abs(ends[k + 1].y_mm - ends[k].y_mm);
    if (x ? dx < along_axis * dy : dy < along_axis * dx) continue;
    const double from = x ? ends[k].x_mm : ends[k].y_mm, to = x ? ends[k + 1].x_mm : ends[k + 1].y_mm;
    const std::size_t onward = to > from;
    const auto inside = [&](double mm) { return mm > off_side_mm && mm < extent_mm - off_side_mm; };
    if (inside(from)) groups[onward].push_back(from);
    if (inside(to)) groups[2 + onward].push_back(to);
  }
  std::erase_if(groups, [](const std::vector<double>& group) { return group.size() < 2; });
  return groups;
}

}  // namespace

double log_aligned(const std::vector<Point>& ends, const Panel& panel, double step_mm) {
  double log_factor = 0;
  for (const bool x : {true, false}) {
    const Groups groups = groups_of(ends, x, x ? panel.width_mm : panel.height_mm);
    if (groups.empty()) continue;
    log_factor +=
        log_likelihood(groups, electrodes_mm, step_mm) - log_likelihood(groups, hands_mm, step_mm);
  }
  return log_factor;
}

}  // namespace paneproof
