// Marks on a picture in luma and, where it has them, chroma planes of half the size.
#pragma once

#include <cstdint>
#include <vector>

#include "capture/video/frames.hpp"

namespace paneproof::video {

struct Ink {
  int luma, u, v;  // ITU-R BT.601, full range; u and v 128: grey
};
constexpr Ink ink_path{150, 60, 60}, ink_now{255, 128, 128}, ink_drop{110, 100, 230}, ink_dark{0, 128, 128};

struct Picture {
  Plane luma;
  std::vector<std::uint8_t> u, v;  // (width + 1) / 2 by (height + 1) / 2 each
  explicit Picture(Plane plane);
  // share of the ink, 0..1
  void dot(int x, int y, const Ink& ink, double share = 1, bool coloured = true);
  void tint(int x0, int y0, int x1, int y1, const Ink& ink, double share);
  void ring(double x, double y, double radius, double thick, const Ink& ink);
  void line(double x0, double y0, double x1, double y1, const Ink& ink);
};

}  // namespace paneproof::video
