#include "capture/video/vacated.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "capture/video/outline.hpp"

namespace paneproof::video {
namespace {

constexpr std::size_t at_a_time = 5, apart = 3;  // pictures that are asked what lies still, and to the next
// What counts as changed, of the mean over 3 x 3: as many times its grain, within bounds.
constexpr double beyond_grain = 5, least_levels = 2, most_levels = 10;
constexpr double least_side = 0.08, most_side = 0.6;  // of the width: a thing that a finger can take up

cv::Mat matrix(const Plane& plane) {
  return {plane.height, plane.width, CV_8U, const_cast<std::uint8_t*>(plane.luma.data())};
}

// The middle of those that are most alike, more than half of them.
Plane most_alike(const Plane* const* pictures, std::size_t n) {
  const std::size_t most = n / 2 + 1;
  Plane out{pictures[0]->width, pictures[0]->height, {}};
  out.luma.resize(pictures[0]->luma.size());
  for (std::size_t k = 0; k < out.luma.size(); ++k) {
    std::array<std::uint8_t, at_a_time> v{};
    for (std::size_t i = 0; i < n; ++i) {
      std::size_t to = i;
      for (; to > 0 && v[to - 1] > pictures[i]->luma[k]; --to) v[to] = v[to - 1];
      v[to] = pictures[i]->luma[k];
    }
    std::size_t best = 0;
    for (std::size_t i = 1; i + most <= n; ++i)
      if (v[i + most - 1] - v[i] < v[best + most - 1] - v[best]) best = i;
    out.luma[k] = v[best + most / 2];
  }
  return out;
}

float middle_of(const cv::Mat& levels) {
  std::vector<float> some;
  for (std::size_t k = 0; k < levels.total(); k += 7) some.push_back(levels.ptr<float>()[k]);
  const auto half = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
  std::nth_element(some.begin(), half, some.end());
  return *half;
}

struct Change {
  cv::Mat by;        // levels, without what the camera's exposure makes all of it differ
  double limit = 0;  // what differs by more than this has changed
  cv::Mat set;       // 255 there, but for single px
};

Change changed(const Plane& a, const Plane& b) {
  Change change;
  cv::subtract(matrix(b), matrix(a), change.by, cv::noArray(), CV_32F);
  cv::blur(change.by, change.by, {3, 3}, {-1, -1}, cv::BORDER_REPLICATE);
  change.by = cv::abs(change.by - middle_of(change.by));
  const double grain = 1.48 * middle_of(change.by);
  change.limit = std::clamp(beyond_grain * grain, least_levels, most_levels);
  cv::Mat one = (change.by > change.limit) / 255, about;
  cv::boxFilter(one, about, CV_8U, {5, 5}, {-1, -1}, false, cv::BORDER_CONSTANT);
  change.set = about >= 12;
  return change;
}

// A place where something changed that reaches no side of the picture, px.
struct Spot {
  cv::Rect box;
  std::vector<std::size_t> pairs;  // that show it
  bool is(const cv::Rect& other) const {
    constexpr double moved = 4, grew = 8;
    return std::abs(2 * (box.x - other.x) + box.width - other.width) < 2 * moved &&
           std::abs(2 * (box.y - other.y) + box.height - other.height) < 2 * moved &&
           std::abs(box.width - other.width) < grew && std::abs(box.height - other.height) < grew;
  }
  double merit() const { return static_cast<double>(pairs.size()) * std::sqrt(box.area()); }
};

void add_spots(const cv::Mat& set, std::size_t pair, std::vector<Spot>& spots) {
  cv::Mat closed, labels, parts, middles;
  cv::morphologyEx(set, closed, cv::MORPH_CLOSE, cv::Mat::ones(7, 7, CV_8U));
  const int count = cv::connectedComponentsWithStats(closed, labels, parts, middles, 4, CV_32S);
  const double width = set.cols;
  for (int k = 1; k < count; ++k) {
    const int* part = parts.ptr<int>(k);
    const cv::Rect box(part[cv::CC_STAT_LEFT], part[cv::CC_STAT_TOP], part[cv::CC_STAT_WIDTH],
                       part[cv::CC_STAT_HEIGHT]);
    const int shorter = std::min(box.width, box.height), longer = std::max(box.width, box.height);
    if (box.x <= 1 || box.y <= 1 || box.br().x >= set.cols - 1 || box.br().y >= set.rows - 1 ||
        shorter < 0.8 * least_side * width || longer > 1.2 * most_side * width || longer > 3 * shorter)
      continue;
    const auto same = std::find_if(spots.begin(), spots.end(), [&](const Spot& s) { return s.is(box); });
    if (same == spots.end())
      spots.push_back({box, {pair}});
    else
      same->pairs.push_back(pair);
  }
}

// The closed line about what changed; its label and its badge lie outside.
Plate plate_in(const Change& change, const cv::Rect& box) {
  constexpr double least_sure = 0.9, steep = 5, highest = 160;  // what changed much and little lie alike
  cv::Mat high = steep * (change.by - change.limit / 2);
  high = cv::min(cv::max(high, 0), highest);
  Plane level{high.cols, high.rows, {}};
  level.luma.resize(high.total());
  high.convertTo(matrix(level), CV_8U);
  const int shorter = std::min(box.width, box.height), longer = std::max(box.width, box.height),
            side = std::max(10, shorter * 7 / 10), x = box.x + (box.width - side) / 2,
            y = box.y + (box.height - side) / 2;
  Model model(level, {x, y, side, side}, longer / 2 + 8);
  model.take_as_known();
  Plate plate = find_plate(model, true);
  const double width = high.cols;
  if (plate.sure < least_sure || !plausible(plate, width) || std::hypot(plate.x, plate.y) > 0.5 * longer ||
      std::max(plate.width, plate.height) > most_side * width ||
      std::min(plate.width, plate.height) < least_side * width)
    return {};
  plate.x += x + side / 2.0, plate.y += y + side / 2.0;
  return plate;
}

// How much it differs across a plate's line, levels.
double edge(const Plane& plane, const Plate& plate) {
  constexpr double half = 2;  // px
  const cv::Mat levels = matrix(plane);
  const cv::Rect whole({}, levels.size());
  double sum = 0, n = 0;
  const Outline line{plate.x - plate.width / 2, plate.y - plate.height / 2, plate.x + plate.width / 2,
                     plate.y + plate.height / 2, plate.corner};
  go_round(line, 8, 4, 0.5, [&](double x, double y, double nx, double ny) {
    const cv::Point in(cvFloor(x - half * nx), cvFloor(y - half * ny)),
        out(cvFloor(x + half * nx), cvFloor(y + half * ny));
    if (whole.contains(in) && whole.contains(out))
      sum += std::abs(levels.at<std::uint8_t>(in) - levels.at<std::uint8_t>(out)), ++n;
    return true;
  });
  return n > 0 ? sum / n : 0;
}

Plate box_of(const Spot& spot) {
  Plate plate;
  plate.x = spot.box.x + spot.box.width / 2.0, plate.y = spot.box.y + spot.box.height / 2.0;
  plate.width = spot.box.width, plate.height = spot.box.height;
  return plate;
}

}  // namespace

std::vector<Plane> still(const std::vector<const Plane*>& pictures) {
  std::vector<Plane> looks;
  for (std::size_t k = 0; k + 2 < pictures.size(); k += apart)
    looks.push_back(most_alike(pictures.data() + k, std::min(at_a_time, pictures.size() - k)));
  return looks;
}

std::vector<Vacated> vacated(const std::vector<Plane>& before, const std::vector<Plane>& after,
                             const std::function<bool(const Vacated&)>& may_be) {
  constexpr std::size_t most_asked = 8, asked_of_each = 3;
  constexpr double same_place = 4;  // px
  constexpr double arrived = 1.5;   // as sharply as this against before, it has come and not gone
  std::vector<Change> changes;
  std::vector<Spot> spots;
  for (const Plane& a : before)
    for (const Plane& b : after) {
      changes.push_back(changed(a, b));
      add_spots(changes.back().set, changes.size() - 1, spots);
    }
  if (changes.size() > 2)  // what is on its way is seen there but once
    std::erase_if(spots, [](const Spot& spot) { return spot.pairs.size() < 2; });
  std::sort(spots.begin(), spots.end(), [](const Spot& a, const Spot& b) { return a.merit() > b.merit(); });
  std::vector<Vacated> places;
  std::size_t asked = 0;
  for (const Spot& spot : spots) {
    Vacated place{box_of(spot), static_cast<int>(spot.pairs.size()), &before[spot.pairs[0] / after.size()]};
    if (!may_be(place)) continue;
    if (++asked > most_asked) break;
    place = {};
    const std::size_t step = std::max<std::size_t>(1, spot.pairs.size() / asked_of_each);
    for (std::size_t k = 0; k < std::min(spot.pairs.size(), step * asked_of_each); k += step) {
      const std::size_t pair = spot.pairs[k];
      const Plate plate = plate_in(changes[pair], spot.box);
      const Plane &lay = before[pair / after.size()], &lies = after[pair % after.size()];
      if (plate.sure > place.plate.sure && edge(lies, plate) < arrived * edge(lay, plate))
        place.plate = plate, place.before = &lay;
    }
    if (!place.before) continue;
    place.pairs = static_cast<int>(spot.pairs.size());
    const auto same = std::find_if(places.begin(), places.end(), [&](const Vacated& other) {
      return std::hypot(other.plate.x - place.plate.x, other.plate.y - place.plate.y) < same_place;
    });
    if (same == places.end())
      places.push_back(place);
    else
      same->pairs += place.pairs;
  }
  std::stable_sort(places.begin(), places.end(),
                   [](const Vacated& a, const Vacated& b) { return a.pairs > b.pairs; });
  return places;
}

Covers::Covers(const Plane& before, const Plane& now) {
  cv::Mat middles;
  cv::connectedComponentsWithStats(changed(before, now).set, labels_, parts_, middles, 4, CV_32S);
}

Touched Covers::touched(const Plate& plate) const {
  constexpr int ways = 32;
  // About it, and beyond a finger that is larger.
  const double finger = 0.15 * labels_.cols, rx = std::max(0.85 * plate.width, finger),
               ry = std::max(0.85 * plate.height, finger);
  const cv::Rect own = cv::Rect(cvRound(plate.x - plate.width / 2), cvRound(plate.y - plate.height / 2),
                                cvRound(plate.width), cvRound(plate.height)) &
                       cv::Rect({}, labels_.size());
  std::vector<bool> on(static_cast<std::size_t>(parts_.rows), false);  // parts that lie on it
  int with = 0, all = 0;
  for (int y = own.y; y < own.br().y; ++y)
    for (int x = own.x; x < own.br().x; ++x)
      if (const int part = labels_.at<int>(y, x)) {
        ++with;
        if (!on[static_cast<std::size_t>(part)]) all += parts_.at<int>(part, cv::CC_STAT_AREA);
        on[static_cast<std::size_t>(part)] = true;
      }
  if (all - with < own.area() / 2) return {};
  Touched found;
  found.share = with / static_cast<double>(own.area());
  double n = 0, sx = 0, sy = 0;
  for (int k = 0; k < ways; ++k) {
    const double a = 2 * M_PI * k / ways, x = std::cos(a), y = std::sin(a);
    const cv::Point at(cvFloor(plate.x + rx * x), cvFloor(plate.y + ry * y));
    if (!cv::Rect({}, labels_.size()).contains(at) || !on[static_cast<std::size_t>(labels_.at<int>(at))])
      continue;
    ++n, sx += x, sy += y;
  }
  found.around = n / ways;
  found.one_sided = n > 0 ? std::hypot(sx, sy) / n : 1;
  return found;
}

}  // namespace paneproof::video
