#include "capture/video/touch_look.hpp"

#include <algorithm>
#include <cmath>

namespace paneproof::video {
namespace {

constexpr float cap = 30;         // levels: more tells no more
constexpr float grain = 4;        // levels: a codec's doing
constexpr double rings_a_px = 2;  // a mark's edge is one px wide
constexpr double even = 30;       // square levels of spread below which a ground tells nothing

float telling(float off) { return std::clamp(std::abs(off) - grain, 0.0F, cap); }

}  // namespace

TouchLook::TouchLook(double size)
    : size_(size), reach_(size / 2 + 1.5), rings_(static_cast<std::size_t>(reach_ * rings_a_px) + 2) {}

void TouchLook::learn(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) {
  for (int j = static_cast<int>(y - reach_); j <= static_cast<int>(y + reach_); ++j)
    for (int i = static_cast<int>(x - reach_); i <= static_cast<int>(x + reach_); ++i) {
      if (i < 0 || j < 0 || i >= plane.width || j >= plane.height) continue;
      const double r = std::hypot(i + 0.5 - x, j + 0.5 - y);
      if (r >= reach_) continue;
      Ring& ring = rings_[static_cast<std::size_t>(std::lround(r * rings_a_px))];
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      const double b = ground[k], seen = plane.luma[k];
      ring.n += 1, ring.b += b, ring.i += seen, ring.bb += b * b, ring.bi += b * seen;
    }
  ++learnt_;
  settle();
}

void TouchLook::settle() {
  for (Ring& ring : rings_) {
    if (ring.n < 1) continue;
    const double b = ring.b / ring.n, i = ring.i / ring.n, varied = ring.bb / ring.n - b * b,
                 with = ring.bi / ring.n - b * i;
    const double through = std::clamp((with + 0.5 * even) / (varied + even), 0.0, 1.0);
    ring.through = static_cast<float>(through);
    ring.laid = static_cast<float>(i - through * b);
  }
  double most = 0;
  const auto shows = [](const Ring& ring) { return ring.n > 0 ? std::abs(ring.i - ring.b) / ring.n : 0; };
  for (const Ring& ring : rings_) most = std::max(most, shows(ring));
  for (std::size_t k = 0; k < rings_.size(); ++k)
    if (shows(rings_[k]) > 0.8 * most) strong_ = static_cast<double>(k) / rings_a_px;
}

bool TouchLook::maybe(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) const {
  static constexpr double ways[8][2] = {{1, 0},  {0.7071, 0.7071},   {0, 1},  {-0.7071, 0.7071},
                                        {-1, 0}, {-0.7071, -0.7071}, {0, -1}, {0.7071, -0.7071}};
  int with = 0, without = 0;
  for (const auto& way : ways) {
    // Within a px and a half of where it would be, for the place is a first guess.
    bool any = false, told = false;
    for (const double off : {0.0, -1.5, 1.5}) {
      const double r = std::max(0.0, strong_ - 0.5 + off);
      const int i = static_cast<int>(x + r * way[0]), j = static_cast<int>(y + r * way[1]);
      if (i < 0 || j < 0 || i >= plane.width || j >= plane.height) continue;
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      const float b = ground[k], seen = plane.luma[k], mark = shown(b, std::max(0.0, strong_ - 0.5)),
                  differs = telling(b - mark);
      if (differs <= 0) continue;
      told = true;
      any |= telling(seen - mark) < 0.6F * differs && telling(seen - b) > 0.3F * differs;
      if (any) break;
    }
    with += any, without += told && !any;
  }
  return with >= 3 && with >= 2 * without;
}

float TouchLook::shown(float ground, double r) const {
  const double at = r * rings_a_px;
  const auto k = static_cast<std::size_t>(at);
  const Ring &a = rings_[k], &b = rings_[std::min(k + 1, rings_.size() - 1)];
  const auto f = static_cast<float>(at - static_cast<double>(k));
  const float in = a.n > 0 ? a.through * ground + a.laid : ground,
              out = b.n > 0 ? b.through * ground + b.laid : ground;
  return in + f * (out - in);
}

// Share of what lies close about a mark that differs much from the ground.
double TouchLook::differs_about(const Plane& plane, const std::vector<std::uint8_t>& ground, double x,
                                double y) const {
  const double out = reach_ + std::max(3.0, 0.25 * size_);
  int differ = 0, all = 0;
  for (int j = std::max(0, static_cast<int>(y - out));
       j <= std::min(plane.height - 1, static_cast<int>(y + out)); ++j)
    for (int i = std::max(0, static_cast<int>(x - out));
         i <= std::min(plane.width - 1, static_cast<int>(x + out)); ++i) {
      const double r = std::hypot(i + 0.5 - x, j + 0.5 - y);
      if (r < reach_ || r > out) continue;
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      ++all, differ += std::abs(plane.luma[k] - ground[k]) > 10;
    }
  return all > 0 ? 1.0 * differ / all : 0;
}

TouchLook::Match TouchLook::at(const Plane& plane, const std::vector<std::uint8_t>& ground,
                               const std::vector<std::uint8_t>& unrest, double x, double y, int every) const {
  Match match;
  float gain = 0, expected = 0, pixels = 0;
  const int x0 = std::max(0, static_cast<int>(x - reach_)),
            x1 = std::min(plane.width - 1, static_cast<int>(x + reach_)),
            y0 = std::max(0, static_cast<int>(y - reach_)),
            y1 = std::min(plane.height - 1, static_cast<int>(y + reach_));
  for (int j = y0; j <= y1; j += every)
    for (int i = x0; i <= x1; i += every) {
      const double u = i + 0.5 - x, v = j + 0.5 - y, rr = u * u + v * v;
      if (rr >= reach_ * reach_) continue;
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      const float b = ground[k], seen = plane.luma[k], with = shown(b, std::sqrt(rr));
      const float weight = 1 / (1 + static_cast<float>(unrest[k]) / 6);
      gain += weight * (telling(seen - b) - telling(seen - with));
      expected += weight * telling(b - with);
      pixels += weight;
    }
  match.gain = gain, match.expected = expected, match.pixels = pixels;
  return match;
}

TouchLook::Match TouchLook::find(const Plane& plane, const std::vector<std::uint8_t>& ground,
                                 const std::vector<std::uint8_t>& unrest, double& x, double& y,
                                 double reach) const {
  double bx = x, by = y;
  int every = 2;
  Match best = at(plane, ground, unrest, x, y, every);
  const auto ask = [&](double ax, double ay) {
    if (ax < 0 || ay < 0 || ax > plane.width || ay > plane.height) return false;
    const Match m = at(plane, ground, unrest, ax, ay, every);
    if (m.gain <= best.gain) return false;
    best = m, bx = ax, by = ay;
    return true;
  };
  const double step = std::max(2.0, size_ / 8);
  for (double dy = -reach; dy <= reach; dy += step)
    for (double dx = -reach; dx <= reach; dx += step)
      if (dx * dx + dy * dy <= reach * reach && maybe(plane, ground, x + dx, y + dy)) ask(x + dx, y + dy);
  every = 1;
  best = at(plane, ground, unrest, bx, by);
  for (double fine = step / 2; fine > 0.06; fine /= 2)
    for (int turn = 0; turn < 4; ++turn) {
      const double cx = bx, cy = by;
      bool moved = false;
      for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}})
        moved |= ask(cx + fine * dx, cy + fine * dy);
      if (!moved) break;
    }
  x = bx, y = by;
  return best;
}

void TouchLook::paint(std::vector<std::uint8_t>& ground, int width, int height, double x, double y) const {
  for (int j = std::max(0, static_cast<int>(y - reach_));
       j <= std::min(height - 1, static_cast<int>(y + reach_)); ++j)
    for (int i = std::max(0, static_cast<int>(x - reach_));
         i <= std::min(width - 1, static_cast<int>(x + reach_)); ++i) {
      const double r = std::hypot(i + 0.5 - x, j + 0.5 - y);
      if (r >= reach_) continue;
      std::uint8_t& b = ground[static_cast<std::size_t>(j) * width + i];
      b = static_cast<std::uint8_t>(std::clamp(std::lround(shown(b, r)), 0L, 255L));
    }
}

}  // namespace paneproof::video
