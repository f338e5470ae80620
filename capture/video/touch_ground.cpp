// What touch.hpp compares each picture with, and what differs from it.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <numeric>

#include "capture/video/touch.hpp"

namespace paneproof::video {
namespace {

using Bytes = std::uint8_t __attribute__((vector_size(16)));

Bytes apart(Bytes a, Bytes b) { return a > b ? a - b : b - a; }
// Up from a to b by an eighth (a quarter: shift 2) of what lies between, or down; what is left over counts
// whole.
Bytes towards(Bytes a, Bytes b, int shift) {
  const Bytes off = apart(a, b), rest = off & static_cast<std::uint8_t>((1 << shift) - 1),
              by = (off >> static_cast<std::uint8_t>(shift)) + ((rest != 0) & 1);
  return b > a ? a + by : a - by;
}

Bytes some(const std::uint8_t* from, std::size_t count) {
  Bytes b{};
  if (count == sizeof b)
    std::memcpy(&b, from, sizeof b);
  else
    std::memcpy(&b, from, count);
  return b;
}

void put(Bytes b, std::uint8_t* to, std::size_t count) {
  if (count == sizeof b)
    std::memcpy(to, &b, sizeof b);
  else
    std::memcpy(to, &b, count);
}

// Up to sixteen pixels of what learn_ground does. `kept_out`: 1 where a finger is.
void learn_some(std::size_t count, const std::uint8_t* plane, std::uint8_t* ground_of, std::uint8_t* last_of,
                std::uint8_t* quiet_of, std::uint8_t* unrest_of, const std::uint8_t* kept_out,
                std::uint8_t soon, std::uint8_t telling) {
  const Bytes now = some(plane, count), last = some(last_of, count), kept = some(kept_out, count);
  Bytes ground = some(ground_of, count), quiet = some(quiet_of, count), unrest = some(unrest_of, count);
  const Bytes off = apart(now, ground);
  quiet = quiet < 250 ? quiet + 1 : quiet;
  quiet = apart(now, last) < 4 ? quiet : Bytes{};
  quiet = kept != 0 ? Bytes{} : quiet;
  unrest = kept != 0 ? unrest : towards(unrest, off < 60 ? off : Bytes{} + 60, 3);
  const Bytes nearer = quiet >= 6 ? towards(ground, now, 2) : ground, anew = off > telling ? now : nearer;
  ground = quiet == soon ? anew : nearer;
  put(now, last_of, count), put(quiet, quiet_of, count);
  put(unrest, unrest_of, count), put(ground, ground_of, count);
}

// Of 32 pixels every second: 1 where it differs.
void differ_some(const std::uint8_t* now, const std::uint8_t* ground, std::uint8_t* differs,
                 std::uint8_t telling) {
  const Bytes left = apart(some(now, 16), some(ground, 16)) > telling,
              right = apart(some(now + 16, 16), some(ground + 16, 16)) > telling;
  put(__builtin_shufflevector(left, right, 0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30) & 1,
      differs, 16);
}

}  // namespace

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
    for (int x = 0; x < plane.width; x += 16) {
      const std::size_t k = row + static_cast<std::size_t>(x);
      learn_some(static_cast<std::size_t>(std::min(16, plane.width - x)), plane.luma.data() + k,
                 ground_.data() + k, last_.data() + k, quiet_.data() + k, unrest_.data() + k,
                 kept_out.data() + x, look_.ready() ? 3 : 6, telling);
    }
  }
}

std::vector<Touches::Spot> Touches::spots(const Plane& plane) {
  const int w = plane.width / step, h = plane.height / step;
  differs_.assign(static_cast<std::size_t>(w) * h, 0);
  std::size_t many = 0;
  for (int y = 0; y < h; ++y) {
    const std::size_t from = static_cast<std::size_t>(y * step) * plane.width;
    std::uint8_t* to = differs_.data() + static_cast<std::size_t>(y) * w;
    int x = 0;
    for (; x + 16 <= w; x += 16)
      differ_some(plane.luma.data() + from + x * step, ground_.data() + from + x * step, to + x, telling);
    for (; x < w; ++x) {
      const std::size_t k = from + static_cast<std::size_t>(x * step);
      to[x] = std::abs(plane.luma[k] - ground_[k]) > telling;
    }
    many += std::accumulate(to, to + w, std::size_t{0});
  }
  crowded_ = static_cast<double>(many) / static_cast<double>(std::max<std::size_t>(1, differs_.size()));
  std::vector<Spot> found;
  if (crowded_ > 0.3) return found;
  std::vector<int> open, part;
  for (int start = 0; start < w * h; ++start) {
    const void* next = std::memchr(differs_.data() + start, 1, static_cast<std::size_t>(w * h - start));
    if (!next) break;
    start = static_cast<int>(static_cast<const std::uint8_t*>(next) - differs_.data());
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
