#include "capture/video/on_ground.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <opencv2/imgproc.hpp>

namespace paneproof::video {
namespace {

constexpr int unlike = 3;            // levels from the ground
constexpr double least_share = 0.2;  // of the picture: less is no ground

using Luma = cv::Mat_<std::uint8_t>;

// Each px the mean of the nine about it, so that what a palette dithers is even.
Luma smoothed(const Plane& plane) {
  Luma even;
  cv::blur(Luma(plane.height, plane.width, const_cast<std::uint8_t*>(plane.luma.data())), even, {3, 3});
  return even;
}

// The lumas of which much of the picture is; of neighbours the most common one.
std::vector<int> grounds_of(const Luma& even) {
  std::array<std::size_t, 258> counts{};
  for (const std::uint8_t luma : even) ++counts[luma + 1U];
  std::vector<int> found;
  for (std::size_t l = 1; l < 257; ++l)
    if (counts[l] >= counts[l - 1] && counts[l] > counts[l + 1] &&
        static_cast<double>(counts[l - 1] + counts[l] + counts[l + 1]) >=
            least_share * static_cast<double>(even.total()))
      found.push_back(static_cast<int>(l) - 1);
  return found;
}

// Where along a box's side what is unlike the ground begins, px from that side: the share of the side, its
// ends left out, along which it does so near it.
double closed(const std::vector<int>& depths, double near) {
  const std::size_t end = depths.size() / 8;
  double with = 0;
  for (std::size_t i = end; i + end < depths.size(); ++i) with += depths[i] <= near;
  return with / static_cast<double>(depths.size() - 2 * end);
}

// A side's place, px from the first of the steps of luma that lead inwards across it: the outermost that is
// not much less than the steepest. Its shadow begins softly, and what is drawn on it lies within.
double side_at(const std::vector<double>& steps) {
  constexpr double much = 0.65;
  double most = 0;
  for (const double step : steps) most = std::max(most, step);
  if (most == 0) return 0;
  std::size_t at = 0;
  while (steps[at] < much * most) ++at;
  while (at + 1 < steps.size() && steps[at + 1] > steps[at]) ++at;
  double sum = 0, weight = 0;
  for (std::size_t i = at > 0 ? at - 1 : 0; i <= at + 1 && i < steps.size(); ++i)
    sum += steps[i] * static_cast<double>(i + 1), weight += steps[i];
  return sum / weight;
}

// How much luma changes from one line of px to the next, along most of them: what is drawn there spans a part
// alone.
double step_along(std::vector<int>& changes) {
  std::sort(changes.begin(), changes.end());
  double sum = 0;
  const std::size_t from = 2 * changes.size() / 5, to = changes.size() - from;
  for (std::size_t i = from; i < to; ++i) sum += changes[i];
  return std::abs(sum) / static_cast<double>(std::max<std::size_t>(1, to - from));
}

// The place of one side, px from the box's own inwards. `dx`, `dy`: inwards; `deep`: how far it is looked
// for.
double inset_of(const Plane& plane, const Box& box, int dx, int dy, int deep) {
  const bool across = dx != 0;
  const int from = across ? box.y + box.height / 5 : box.x + box.width / 5,
            to = across ? box.y + box.height - box.height / 5 : box.x + box.width - box.width / 5;
  const int side = dx > 0 ? box.x : dx < 0 ? box.x + box.width - 1 : dy > 0 ? box.y : box.y + box.height - 1;
  const int step = across ? dx : dy, most = across ? plane.width : plane.height;
  std::vector<double> steps;
  std::vector<int> changes;
  const bool at_picture = side - step < 0 || side - step >= most;
  for (int k = at_picture ? 0 : -1; k < deep; ++k) {
    const int a = side + k * step, b = a + step;
    changes.clear();
    for (int i = from; i < to; ++i)
      changes.push_back(across ? plane.row(i)[b] - plane.row(i)[a] : plane.row(b)[i] - plane.row(a)[i]);
    steps.push_back(step_along(changes));
  }
  return side_at(steps) - (at_picture ? 0 : 1);
}

Plate plate_of(const Plane& plane, const Box& box) {
  constexpr std::array<std::array<int, 2>, 4> inwards{{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
  const int deep = std::max(4, std::min(box.width, box.height) / 3);
  std::array<double, 4> inset{};
  for (std::size_t k = 0; k < 4; ++k) inset[k] = inset_of(plane, box, inwards[k][0], inwards[k][1], deep);
  // A shadow goes farther to one side, but not by much more: what lies deeper is drawn on the plate.
  std::array<double, 4> sorted = inset;
  std::sort(sorted.begin(), sorted.end());
  const int most = 3 + static_cast<int>(sorted[1] + sorted[2]);
  for (std::size_t k = 0; k < 4; ++k)
    if (inset[k] > most) inset[k] = inset_of(plane, box, inwards[k][0], inwards[k][1], std::min(deep, most));
  const double l = box.x + inset[0], r = box.x + box.width - inset[1], t = box.y + inset[2],
               b = box.y + box.height - inset[3];
  return {(l + r) / 2, (t + b) / 2, r - l, b - t, 0.1, 1, 1};
}

std::vector<OnGround> lying_on(const Plane& plane, const Luma& even, int ground) {
  std::vector<OnGround> found;
  Luma unlike_it;
  cv::absdiff(even, cv::Scalar(ground), unlike_it);
  cv::Mat_<int> labels, stats;
  cv::Mat centroids;
  const int count = cv::connectedComponentsWithStats(unlike_it >= unlike, labels, stats, centroids, 4);
  for (int k = 1; k < count; ++k) {
    const Box box{stats(k, cv::CC_STAT_LEFT), stats(k, cv::CC_STAT_TOP), stats(k, cv::CC_STAT_WIDTH),
                  stats(k, cv::CC_STAT_HEIGHT)};
    if (!plausible({0, 0, static_cast<double>(box.width), static_cast<double>(box.height)}, plane.width))
      continue;
    if (box.width < 12 || box.height < 12) continue;
    std::vector<int> left(box.height, plane.width), right = left, top(box.width, plane.height), bottom = top;
    for (int y = 0; y < box.height; ++y)
      for (int x = 0; x < box.width; ++x) {
        if (labels(box.y + y, box.x + x) != k) continue;
        left[y] = std::min(left[y], x), right[y] = std::min(right[y], box.width - 1 - x);
        top[x] = std::min(top[x], y), bottom[x] = std::min(bottom[x], box.height - 1 - y);
      }
    const double near = 0.15 * std::min(box.width, box.height);
    double least = 1;
    for (const auto& side : {left, right, top, bottom}) least = std::min(least, closed(side, near));
    if (least < 0.6) continue;
    const Plate plate = plate_of(plane, box);
    if (plausible(plate, plane.width)) found.push_back({box, plate});
  }
  // Between a dark shadow and a light card its edge is as light as the ground: the shadow holds the card.
  const auto holds = [](const Box& a, const Box& b) {
    return a.x <= b.x && a.y <= b.y && a.x + a.width >= b.x + b.width && a.y + a.height >= b.y + b.height &&
           10 * b.width * b.height > 6 * a.width * a.height;
  };
  const std::vector<OnGround> all = found;
  std::erase_if(found, [&](const OnGround& inner) {
    return std::any_of(all.begin(), all.end(), [&](const OnGround& outer) {
      return outer.box.width * outer.box.height > inner.box.width * inner.box.height &&
             holds(outer.box, inner.box);
    });
  });
  return found;
}

}  // namespace

// White cards may be more of a picture than what they lie on: the ground is that on which most lies.
std::vector<OnGround> on_ground(const Plane& plane) {
  const Luma even = smoothed(plane);
  std::vector<OnGround> most;
  double area = 0;
  for (const int ground : grounds_of(even)) {
    std::vector<OnGround> found = lying_on(plane, even, ground);
    double sum = 0;
    for (const OnGround& o : found) sum += o.plate.width * o.plate.height;
    if (sum > area) area = sum, most = std::move(found);
  }
  return most;
}

}  // namespace paneproof::video
