// A picture between its pixel centres, and a pose's turn and size.
#pragma once

#include <cmath>

#include "capture/video/model.hpp"

namespace paneproof::video {

// Between pixel centres; the caller keeps x and y inside [0.5, size - 0.5).
inline float sample(const Plane& plane, float x, float y) {
  x -= 0.5f, y -= 0.5f;
  const int i = static_cast<int>(x), j = static_cast<int>(y);
  const float a = x - static_cast<float>(i), b = y - static_cast<float>(j);
  const std::uint8_t* p = plane.row(j) + i;
  const std::uint8_t* q = p + plane.width;
  const float top = static_cast<float>(p[0]) + a * static_cast<float>(p[1] - p[0]);
  const float low = static_cast<float>(q[0]) + a * static_cast<float>(q[1] - q[0]);
  return top + b * (low - top);
}

struct Turned {
  float c, s;
  explicit Turned(const Pose& pose)
      : c(static_cast<float>(pose.scale * std::cos(pose.turn))),
        s(static_cast<float>(pose.scale * std::sin(pose.turn))) {}
};

}  // namespace paneproof::video
