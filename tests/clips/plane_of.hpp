// A painted canvas as the picture that a decoder hands on: whole levels, 0 to 255.
#pragma once

#include <algorithm>
#include <cstdint>

#include "capture/video/frames.hpp"
#include "tests/clips/scene.hpp"

namespace paneproof::clips {

inline video::Plane plane_of(const Canvas& canvas) {
  video::Plane plane{canvas.width, canvas.height, {}};
  for (const float luma : canvas.luma)
    plane.luma.push_back(static_cast<std::uint8_t>(std::clamp(luma + 0.5F, 0.0F, 255.0F)));
  return plane;
}

}  // namespace paneproof::clips
