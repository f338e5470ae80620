#include "capture/video/under_finger.hpp"

#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

constexpr int alike = 6;             // levels
constexpr double cap = 40;           // levels
constexpr double least_shows = 0.1;  // of the plate

}  // namespace

BesideFinger::BesideFinger(const Plane& lay, const Plane& taken, const Plate& slot) {
  constexpr double rim = 2;  // px
  const double half_width = slot.width / 2 - rim, half_height = slot.height / 2 - rim;
  for (int y = std::max(1, static_cast<int>(slot.y - half_height));
       y < std::min<int>(lay.height - 1, static_cast<int>(slot.y + half_height)); ++y)
    for (int x = std::max(1, static_cast<int>(slot.x - half_width));
         x < std::min<int>(lay.width - 1, static_cast<int>(slot.x + half_width)); ++x)
      if (std::abs(lay.row(y)[x] - taken.row(y)[x]) <= alike)
        places_.push_back({static_cast<float>(x + 0.5 - slot.x), static_cast<float>(y + 0.5 - slot.y),
                           static_cast<float>(lay.row(y)[x])});
  shows_ = static_cast<double>(places_.size()) / (slot.width * slot.height);
  if (shows_ < least_shows) places_.clear();
}

double BesideFinger::misfit(const Plane& plane, double x, double y) const {
  if (places_.empty()) return -1;
  double sum = 0, n = 0;
  for (const Place& place : places_) {
    const double px = x + place.x, py = y + place.y;
    if (!(px >= 0 && py >= 0 && px < plane.width && py < plane.height)) continue;
    sum += std::min(cap, std::abs(plane.row(static_cast<int>(py))[static_cast<int>(px)] -
                                  static_cast<double>(place.level)));
    ++n;
  }
  return 2 * n > static_cast<double>(places_.size()) ? sum / n : -1;
}

std::optional<std::size_t> gone_after(const std::vector<Sample>& samples, std::size_t from) {
  constexpr std::int64_t while_us = 150'000, least_us = 90'000;
  constexpr double steps = 2, by = 4;  // so many times what it was, and so many levels more
  std::vector<std::size_t> told;
  for (std::size_t k = from; k < samples.size(); ++k)
    if (samples[k].known && samples[k].beside >= 0) told.push_back(k);
  const auto over = [&](std::size_t a, std::size_t b) {
    std::vector<double> misfits;
    for (std::size_t k = a; k < b; ++k) misfits.push_back(samples[told[k]].beside);
    return median(misfits);
  };
  std::optional<std::size_t> best;
  double most = 0;
  for (std::size_t k = 2; k + 1 < told.size(); ++k) {
    const std::int64_t t_us = samples[told[k]].t_us;
    std::size_t a = k, b = k + 1;
    while (a > 0 && t_us - samples[told[a - 1]].t_us < while_us) --a;
    while (b < told.size() && samples[told[b]].t_us - t_us <= while_us) ++b;
    if (samples[told[b - 1]].t_us - t_us < least_us || t_us - samples[told[a]].t_us < least_us) continue;
    const double before = over(a, k + 1), after = over(k + 1, b), later = over(k + 1, told.size());
    const double rise = std::min(after, later) - (steps * before + by);
    if (rise > most) most = rise, best = told[k];
  }
  return best;
}

}  // namespace paneproof::video
