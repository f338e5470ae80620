#include "analyzer/measure/roundness.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "analyzer/measure/length.hpp"
#include "analyzer/measure/thinned.hpp"

namespace paneproof {
namespace {

constexpr std::array<double, 5> electrodes_mm = {0.2, 0.3, 0.45, 0.65, 0.9};
constexpr std::array<double, 5> hands_mm = {1.0, 1.4, 2.0, 2.8, 4.0};
constexpr double stray_share = 0.1, anywhere_mm = 12.0;
constexpr int unknowns = 3;
constexpr std::size_t fewest = 5, enough = 60;
constexpr double widest_mm = 45, about_mm = 8, smallest_mm = 2, largest_mm = 24;
constexpr double coarse_mm = 2, fine_mm = 0.1, usual_mm = 0.6;
constexpr double off_side_mm = 8;

// ln of the likelihood, but for a constant.
double log_likelihood(const std::vector<Point>& places, const Round& c, double sd_mm) {
  double log_sum = 0;
  for (const Point p : places) {
    const double z = (length(p.x_mm - c.middle.x_mm, p.y_mm - c.middle.y_mm) - c.radius_mm) / sd_mm;
    // 0.399: a normal density's peak times its standard deviation.
    log_sum +=
        std::log((1 - stray_share) * 0.3989422804 / sd_mm * std::exp(-z * z / 2) + stray_share / anywhere_mm);
  }
  return log_sum;
}

// ln of the mean likelihood over these scatters, the circle integrated out.
double log_evidence(const std::vector<Point>& places, const Round& c, const std::array<double, 5>& sds_mm,
                    double step_mm) {
  std::array<double, 5> logs{};
  for (std::size_t k = 0; k < logs.size(); ++k) {
    const double sd_mm = std::sqrt(sds_mm[k] * sds_mm[k] + step_mm * step_mm / 12);
    logs[k] = log_likelihood(places, c, sd_mm) + unknowns * std::log(sd_mm);
  }
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0;
  for (const double l : logs) sum += std::exp(l - most);
  return most + std::log(sum / static_cast<double>(logs.size()));
}

struct Box {
  double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
  explicit Box(const std::vector<Point>& places) {
    for (const Point p : places) {
      left = std::min(left, p.x_mm), right = std::max(right, p.x_mm);
      top = std::min(top, p.y_mm), bottom = std::max(bottom, p.y_mm);
    }
  }
};

Round refined(const std::vector<Point>& places, Round best) {
  for (double step = coarse_mm / 2; step >= fine_mm; step /= 2) {
    const Round from = best;
    double most = -std::numeric_limits<double>::infinity();
    for (int k = 0; k < 27; ++k) {
      const Round c{{from.middle.x_mm + (k % 3 - 1) * step, from.middle.y_mm + (k / 3 % 3 - 1) * step},
                    std::clamp(from.radius_mm + (k / 9 - 1) * step, smallest_mm, largest_mm)};
      const double here = log_likelihood(places, c, usual_mm);
      if (here > most) most = here, best = c;
    }
  }
  return best;
}

}  // namespace

Round circle_through(const std::vector<Point>& all) {
  const std::vector<Point> places = thinned(all, enough);
  const Box box(places);
  Round best;
  double most = -std::numeric_limits<double>::infinity();
  for (double x = box.left - about_mm; x <= box.right + about_mm; x += coarse_mm)
    for (double y = box.top - about_mm; y <= box.bottom + about_mm; y += coarse_mm)
      for (double radius = smallest_mm; radius <= largest_mm; radius += coarse_mm) {
        // Wide, so that no good circle falls through the coarse grid.
        const double here = log_likelihood(places, {{x, y}, radius}, coarse_mm / 2);
        if (here > most) most = here, best = {{x, y}, radius};
      }
  return refined(places, best);
}

double log_round(const std::vector<Arrival>& arrivals, const Panel& panel, double step_mm) {
  std::vector<Point> places;
  for (const Arrival& a : arrivals) {
    const auto side = headed_for(a);
    if (!side || depth_from(*side, panel, a.place.x_mm, a.place.y_mm) > off_side_mm)
      places.push_back(a.place);
  }
  if (places.size() < fewest) return 0;
  places = thinned(std::move(places), enough);
  const Box box(places);
  if (std::max(box.right - box.left, box.bottom - box.top) >= widest_mm) return 0;
  const Round circle = circle_through(places);
  return log_evidence(places, circle, electrodes_mm, step_mm) -
         log_evidence(places, circle, hands_mm, step_mm);
}

}  // namespace paneproof
