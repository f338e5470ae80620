// What touch.hpp compares each picture with, and what differs from it.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/touch.hpp"

namespace paneproof::video {

// The ground is what stayed the same for a quarter of a second, but not where a finger is.
void Touches::learn_ground(const Plane& plane) {
  const auto size = plane.luma.size();
  if (ground_.size() != size) {
    ground_ = last_ = plane.luma;
    quiet_.assign(size, 0), unrest_.assign(size, 0);
    width_ = plane.width, height_ = plane.height;
    return;
  }
  std::vector<std::uint8_t> kept_out(static_cast<std::size_t>(plane.width));
  for (int y = static_cast<int>(frames_ % 3); y < plane.height; y += 3) {
    std::fill(kept_out.begin(), kept_out.end(), std::uint8_t{0});
    for (const Contact& c : open_) {
      if (c.cross) {
        const int x0 = std::clamp(static_cast<int>(c.way.back().x) - 3, 0, plane.width),
                  x1 = std::clamp(static_cast<int>(c.way.back().x) + 4, 0, plane.width);
        if (std::abs(y + 0.5 - c.way.back().y) < 3.5)
          std::fill(kept_out.begin(), kept_out.end(), std::uint8_t{1});
        else
          std::fill(kept_out.begin() + x0, kept_out.begin() + x1, std::uint8_t{1});
        continue;
      }
      if (std::abs(y + 0.5 - c.way.back().y) > 0.8 * c.size + 2) continue;
      const int x0 = std::max(0, static_cast<int>(c.way.back().x - 0.8 * c.size - 2)),
                x1 = std::min(plane.width, static_cast<int>(c.way.back().x + 0.8 * c.size + 3));
      if (x0 < x1) std::fill(kept_out.begin() + x0, kept_out.begin() + x1, std::uint8_t{1});
    }
    const std::size_t row = static_cast<std::size_t>(y) * plane.width;
    for (int x = 0; x < plane.width; ++x) {
      const std::size_t k = row + static_cast<std::size_t>(x);
      const int now = plane.luma[k];
      const bool same = std::abs(now - last_[k]) < 4;
      last_[k] = static_cast<std::uint8_t>(now);
      quiet_[k] = same && !kept_out[static_cast<std::size_t>(x)]
                      ? static_cast<std::uint8_t>(std::min(quiet_[k] + 1, 250))
                      : 0;
      if (!kept_out[static_cast<std::size_t>(x)]) {
        const int off = std::min(60, std::abs(now - ground_[k]));
        unrest_[k] = static_cast<std::uint8_t>((7 * unrest_[k] + off + (off > unrest_[k] ? 7 : 0)) / 8);
      }
      if (quiet_[k] == (look_.ready() ? 3 : 6) && std::abs(now - ground_[k]) > telling)
        ground_[k] = static_cast<std::uint8_t>(now);
      else if (quiet_[k] >= 6)
        ground_[k] = static_cast<std::uint8_t>((3 * ground_[k] + now + (now > ground_[k] ? 3 : 0)) / 4);
    }
  }
}

std::vector<Touches::Spot> Touches::spots(const Plane& plane) {
  const int w = plane.width / step, h = plane.height / step;
  differs_.assign(static_cast<std::size_t>(w) * h, 0);
  std::size_t many = 0;
  for (int y = 0; y < h; ++y) {
    const std::size_t from = static_cast<std::size_t>(y * step) * plane.width;
    for (int x = 0; x < w; ++x) {
      const std::size_t k = from + static_cast<std::size_t>(x * step);
      const bool d = std::abs(plane.luma[k] - ground_[k]) > telling;
      differs_[static_cast<std::size_t>(y) * w + x] = d;
      many += d;
    }
  }
  crowded_ = static_cast<double>(many) / static_cast<double>(std::max<std::size_t>(1, differs_.size()));
  std::vector<Spot> found;
  if (crowded_ > 0.3) return found;
  std::vector<int> open, part;
  for (int start = 0; start < w * h; ++start) {
    if (differs_[static_cast<std::size_t>(start)] != 1) continue;
    open.assign(1, start);
    part.clear();
    differs_[static_cast<std::size_t>(start)] = 2;
    int x0 = w, y0 = h, x1 = 0, y1 = 0;
    while (!open.empty()) {
      const int k = open.back(), x = k % w, y = k / w;
      open.pop_back();
      part.push_back(k);
      x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
      for (int dy = -1; dy <= 1; ++dy)
        for (int dx = -1; dx <= 1; ++dx) {
          const int nx = x + dx, ny = y + dy;
          if (nx < 0 || ny < 0 || nx >= w || ny >= h) continue;
          std::uint8_t& d = differs_[static_cast<std::size_t>(ny) * w + nx];
          if (d == 1) d = 2, open.push_back(ny * w + nx);
        }
    }
    if (part.size() < 5) continue;
    Spot spot;
    spot.x0 = x0 * step, spot.y0 = y0 * step, spot.x1 = (x1 + 1) * step, spot.y1 = (y1 + 1) * step;
    spot.width = spot.x1 - spot.x0, spot.height = spot.y1 - spot.y0;
    spot.x = (spot.x0 + spot.x1) / 2.0, spot.y = (spot.y0 + spot.y1) / 2.0;
    const double a = (x1 - x0 + 1) / 2.0, b = (y1 - y0 + 1) / 2.0, cx = (x0 + x1) / 2.0, cy = (y0 + y1) / 2.0;
    const bool sized = std::min(a, b) * 2 * step > 0.8 * smallest * width_ &&
                       std::max(a, b) * 2 * step < 1.2 * largest * width_;
    if (sized && std::max(a, b) < 1.35 * std::min(a, b) + 0.6) {
      int outside = 0;
      unsigned sectors = 0;
      for (const int k : part) {
        const double u = (k % w - cx) / a, v = (k / w - cy) / b, r = u * u + v * v;
        outside += r > 1.17;
        if (r > 0.36) sectors |= 1u << static_cast<int>((std::atan2(v, u) + 3.1416) / 6.2833 * 7.99);
      }
      spot.round = sectors == 255u && outside < 0.05 * static_cast<double>(part.size());
    }
    found.push_back(spot);
    if (found.size() > 300) return {};
  }
  return found;
}

}  // namespace paneproof::video
