#include "capture/video/draw_on.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace paneproof::video {

Picture::Picture(Plane plane) : luma(std::move(plane)) {
  const auto size = static_cast<std::size_t>((luma.width + 1) / 2) * ((luma.height + 1) / 2);
  u.assign(size, 128), v.assign(size, 128);
}

void Picture::dot(int x, int y, const Ink& ink, double share, bool coloured) {
  if (x < 0 || y < 0 || x >= luma.width || y >= luma.height) return;
  const auto mix = [&](std::uint8_t& under, int over) {
    under = static_cast<std::uint8_t>(std::lround(under + (over - under) * share));
  };
  mix(luma.row(y)[x], ink.luma);
  if (!coloured) return;
  const std::size_t k =
      static_cast<std::size_t>(y / 2) * ((luma.width + 1) / 2) + static_cast<std::size_t>(x / 2);
  mix(u[k], ink.u), mix(v[k], ink.v);
}

void Picture::tint(int x0, int y0, int x1, int y1, const Ink& ink, double share) {
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x)
      dot(x, y, ink, share, x % 2 == 0 && y % 2 == 0);  // four px share one of colour
}

void Picture::ring(double x, double y, double radius, double thick, const Ink& ink) {
  const double reach = radius + thick;
  if (!(std::abs(x) < 1e6 && std::abs(y) < 1e6)) return;
  for (int j = static_cast<int>(y - reach) - 1; j <= static_cast<int>(y + reach) + 1; ++j)
    for (int i = static_cast<int>(x - reach) - 1; i <= static_cast<int>(x + reach) + 1; ++i)
      if (std::abs(std::hypot(i + 0.5 - x, j + 0.5 - y) - radius) < thick / 2) dot(i, j, ink);
}

void Picture::line(double x0, double y0, double x1, double y1, const Ink& ink) {
  const double length = std::hypot(x1 - x0, y1 - y0);
  if (!(length < 1e5)) return;
  for (double d = 0; d <= length; d += 0.5) {
    const double f = length > 0 ? d / length : 0;
    const int x = static_cast<int>(x0 + f * (x1 - x0)), y = static_cast<int>(y0 + f * (y1 - y0));
    dot(x, y, ink), dot(x + 1, y, ink);
  }
}

}  // namespace paneproof::video
