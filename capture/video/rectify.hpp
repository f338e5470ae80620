// A filmed device: its panel is a quadrilateral in the picture, and is made upright by a homography before
// anything is followed on it. The camera may move a little: the corners are followed by what is about them.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/model.hpp"

namespace paneproof::video {

struct Corner {
  double x = 0, y = 0;
};
// Of the panel as it lies in the picture: top left, top right, bottom right, bottom left.
using Corners = std::array<Corner, 4>;

// Row by row; maps (x, y, 1) of the upright panel, 0..width by 0..height, to the picture.
using Homography = std::array<double, 9>;
// Nothing when three of the corners lie on a line.
std::optional<Homography> homography(const Corners& to, double width, double height);

// "X,Y,X,Y,X,Y,X,Y": px as displayed, in the order in which they lie in the picture, from its top left
// clockwise (a device that lies turned is turned afterwards, as a log is). Nothing when it is no convex
// quadrilateral of at least 40 px a side.
std::optional<Corners> corners_of(const std::string& text);

class Rectify {
 public:
  // Corners in px as displayed, of the first picture.
  Rectify(const Corners& corners, int shrink);
  int width() const { return width_; }
  int height() const { return height_; }
  // The panel as it is upright. Follows the corners on the way.
  void apply(const Plane& in, Plane& out);
  const Corners& corners() const { return corners_; }  // px of the plane

 private:
  void follow(const Plane& in);

  Corners corners_;
  int width_ = 0, height_ = 0;
  std::vector<Model> about_;  // each corner
  std::array<Pose, 4> at_{};
};

}  // namespace paneproof::video
