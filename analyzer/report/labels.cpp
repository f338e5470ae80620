#include "analyzer/report/labels.hpp"

#include <algorithm>

#include "analyzer/report/colours.hpp"
#include "analyzer/report/lettering.hpp"

namespace paneproof {
namespace {

constexpr double size = 12, height = 18, padding = 5, distance = 4;

bool overlap(const Rectangle& a, const Rectangle& b) {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

}  // namespace

bool Labels::is_free(const Rectangle& place) const {
  if (place.x < bounds_.x || place.y < bounds_.y) return false;
  if (place.x + place.width > bounds_.x + bounds_.width) return false;
  if (place.y + place.height > bounds_.y + bounds_.height) return false;
  return std::none_of(taken_.begin(), taken_.end(),
                      [&](const Rectangle& other) { return overlap(place, other); });
}

bool Labels::place(Sketch& sketch, const std::string& words, const Rectangle& target, const Colour& ink) {
  const double width = lettering_width(words, size, true) + 2 * padding;
  const double right = target.x + target.width + distance, left = target.x - distance - width;
  const double above = target.y - distance - height, below = target.y + target.height + distance;
  std::vector<Spot> corners;
  // Along a tall or wide target at a third, at a half, at two thirds, then at its ends.
  for (const double share : {0.33, 0.5, 0.67, 0.12, 0.88}) {
    const double x = target.x + target.width * share - width / 2;
    const double y = target.y + target.height * share - height / 2;
    corners.insert(corners.end(), {{right, y}, {left, y}, {x, above}, {x, below}});
  }
  corners.push_back({target.x + (target.width - width) / 2, target.y + (target.height - height) / 2});
  for (const Spot& corner : corners) {
    const Rectangle plate{corner.x, corner.y, width, height, 3};
    if (!is_free(plate)) continue;
    taken_.push_back(plate);
    sketch.box("label", plate, colours::page, Pen{ink, 1.2});
    sketch.text("label", {plate.x + padding, plate.y + 13, size, words, true, Anchor::start}, ink);
    return true;
  }
  return false;
}

}  // namespace paneproof
