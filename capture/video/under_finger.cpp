#include "capture/video/under_finger.hpp"

#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

constexpr int alike = 6;              // levels
constexpr double least_contrast = 6;  // levels
constexpr double least_shows = 0.1;   // of the plate

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
  double mean = 0;
  for (const Place& place : places_) mean += place.level / static_cast<double>(places_.size());
  for (const Place& place : places_)
    contrast_ += std::abs(place.level - mean) / static_cast<double>(places_.size());
  // What has no drawing is not known from the ground.
  if (shows_ < least_shows || contrast_ < least_contrast) places_.clear();
}

double BesideFinger::misfit(const Plane& plane, double x, double y) const {
  if (places_.empty()) return -1;
  std::vector<double> off;
  double mean = 0;
  for (const Place& place : places_) {
    const double px = x + place.x, py = y + place.y;
    if (!(px >= 0 && py >= 0 && px < plane.width && py < plane.height)) continue;
    off.push_back(plane.row(static_cast<int>(py))[static_cast<int>(px)] - static_cast<double>(place.level));
    mean += off.back();
  }
  if (2 * off.size() <= places_.size()) return -1;
  mean /= static_cast<double>(off.size());  // glare, and the finger's shadow
  double sum = 0;
  for (const double o : off) sum += std::min(2 * contrast_, std::abs(o - mean));
  return sum / static_cast<double>(off.size()) / contrast_;
}

std::optional<std::size_t> gone_after(const std::vector<Sample>& samples, std::size_t from) {
  constexpr std::int64_t while_us = 150'000, least_us = 90'000;
  constexpr double there = 0.5, gone = 0.8;  // of its contrast: bare ground misfits by all of it
  std::vector<std::size_t> told;
  for (std::size_t k = from; k < samples.size(); ++k)
    if (samples[k].known && samples[k].beside >= 0) told.push_back(k);
  const auto over = [&](std::size_t a, std::size_t b) {
    std::vector<double> misfits;
    for (std::size_t k = a; k < b; ++k) misfits.push_back(samples[told[k]].beside);
    return median(misfits);
  };
  std::optional<std::size_t> best;
  double most = 0, half_way = 0;
  for (std::size_t k = 2; k + 1 < told.size(); ++k) {
    const std::int64_t t_us = samples[told[k]].t_us;
    std::size_t a = k, b = k + 1;
    while (a > 0 && t_us - samples[told[a - 1]].t_us < while_us) --a;
    while (b < told.size() && samples[told[b]].t_us - t_us <= while_us) ++b;
    if (samples[told[b - 1]].t_us - t_us < least_us || t_us - samples[told[a]].t_us < least_us) continue;
    const double before = over(a, k + 1), after = over(k + 1, b), later = over(k + 1, told.size());
    const double rise = std::min(after, later) - before;
    if (before < there && std::min(after, later) > gone && rise > most)
      most = rise, best = k, half_way = (before + after) / 2;
  }
  if (!best) return {};
  // A middle value turns when half of its pictures have.
  std::size_t k = *best;
  while (k + 1 < told.size() && samples[told[k + 1]].beside < half_way) ++k;
  while (k > 0 && samples[told[k]].beside >= half_way) --k;
  return told[k];
}

}  // namespace paneproof::video
