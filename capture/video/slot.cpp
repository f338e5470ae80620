#include "capture/video/slot.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/follow.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

constexpr int differs = 8;  // levels: more than grain and glare do

}  // namespace

bool same_there(const Plane& a, const Plane& b, const Plate& plate) {
  int all = 0, same = 0;
  for (int y = std::max(0, static_cast<int>(plate.y - plate.height / 2));
       y < std::min<int>(a.height, static_cast<int>(plate.y + plate.height / 2)); ++y)
    for (int x = std::max(0, static_cast<int>(plate.x - plate.width / 2));
         x < std::min<int>(a.width, static_cast<int>(plate.x + plate.width / 2)); ++x)
      ++all, same += std::abs(a.row(y)[x] - b.row(y)[x]) <= differs;
  return all > 0 && same * 20 > all * 19;
}

bool lies_as_before(const Plane& now, const std::vector<const Plane*>& before, const Plate& slot) {
  const auto same =
      std::count_if(before.begin(), before.end(), [&](const Plane* b) { return same_there(now, *b, slot); });
  return 2 * static_cast<std::size_t>(same) > before.size();
}

std::optional<Plate> lying(const std::vector<const Plane*>& before, double x, double y) {
  constexpr double least_sure = 0.9, agree = 1.3;  // agree: px
  std::vector<Plate> found;
  const std::size_t every = std::max<std::size_t>(1, before.size() / 7);
  for (std::size_t k = 0; k < before.size(); k += every) {
    const double width = before[k]->width;
    const int side = static_cast<int>(0.11 * width), x0 = static_cast<int>(x) - side / 2,
              y0 = static_cast<int>(y) - side / 2;
    Model model(*before[k], {x0, y0, side, side}, static_cast<int>(0.13 * width));
    model.take_as_known();
    Plate plate = find_plate(model, true);
    if (plate.sure < least_sure || !plausible(plate, width) || std::hypot(plate.x, plate.y) > 0.12 * width)
      continue;
    plate.x += x0 + side / 2.0, plate.y += y0 + side / 2.0;
    found.push_back(plate);
  }
  std::optional<Plate> best;
  double most = 0;
  for (const Plate& plate : found) {
    Plate mean = plate;
    double n = 0, sx = 0, sy = 0;
    for (const Plate& other : found)
      if (std::hypot(other.x - plate.x, other.y - plate.y) < agree) {
        const double w = other.sure * other.sure;
        n += w, sx += w * other.x, sy += w * other.y;
      }
    if (n > most) most = n, mean.x = sx / n, mean.y = sy / n, best = mean;
  }
  return most > 1.7 ? best : std::nullopt;
}

std::optional<Plate> seen_lying(const Track& track) {
  std::vector<const Plane*> before;
  for (const Plane& picture : track.lay.pictures) before.push_back(&picture);
  if (before.size() < 2) return {};
  const auto plate = lying(before, track.lay.x, track.lay.y);
  return plate && plate->sure > 1 ? plate : std::nullopt;
}

// For seen_lying, which takes long and is seldom asked.
void Follow::keep_lying(Track& track) {
  const Sample& lift = track.samples[track.grab];
  if (!lift.known) return;
  track.lay.x = lift.pose.x, track.lay.y = lift.pose.y;
  track.lay.pictures.clear();
  for (const std::int64_t frames : {3, 8})
    if (const Kept* kept = kept_at(lift.frame - frames); kept && lift.t_us - kept->t_us < 300'000)
      track.lay.pictures.push_back(kept->plane);
}

std::pair<double, double> middle_from(const std::vector<Sample>& samples, std::size_t grab,
                                      const Plate& slot) {
  constexpr double still = 2.5;  // px
  std::vector<double> xs, ys;
  for (std::size_t i = grab; i < samples.size() && far(samples[i].pose, samples[grab].pose) < still; ++i)
    if (samples[i].known) xs.push_back(samples[i].pose.x), ys.push_back(samples[i].pose.y);
  if (xs.empty()) xs.push_back(samples[grab].pose.x), ys.push_back(samples[grab].pose.y);
  return {slot.x - median(xs), slot.y - median(ys)};
}

}  // namespace paneproof::video
