#include "capture/video/touch_look.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>

#include "capture/video/four.hpp"

namespace paneproof::video {
namespace {

constexpr float cap = 30;         // levels: more tells no more
constexpr float grain = 4;        // levels: a codec's doing
constexpr double rings_a_px = 2;  // a mark's edge is one px wide
constexpr double shades_a_px = 16;
constexpr double even = 30;  // square levels of spread below which a ground tells nothing

// Does any of these differ by more than a codec's doing?
bool any_apart(const std::uint8_t* a, const std::uint8_t* b, int count) {
  int most = 0;
  for (int i = 0; i < count; ++i) most = std::max(most, std::abs(a[i] - b[i]));
  return most > static_cast<int>(grain);
}

float telling(float off) { return std::clamp(std::abs(off) - grain, 0.0F, cap); }

Four telling(Four off) {
  off = absolute(off) - grain;
  return lesser(off < 0 ? Four{} : off, four(cap));
}

}  // namespace

TouchLook::TouchLook(double size)
    : size_(size), reach_(size / 2 + 1.5), rings_(static_cast<std::size_t>(reach_ * rings_a_px) + 2) {
  tabulate();
}

void TouchLook::take_in(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) {
  for (int j = static_cast<int>(y - reach_); j <= static_cast<int>(y + reach_); ++j)
    for (int i = static_cast<int>(x - reach_); i <= static_cast<int>(x + reach_); ++i) {
      if (i < 0 || j < 0 || i >= plane.width || j >= plane.height) continue;
      const double u = i + 0.5 - x, v = j + 0.5 - y, r = std::sqrt(u * u + v * v);
      if (r >= reach_) continue;
      Ring& ring = rings_[static_cast<std::size_t>(r * rings_a_px + 0.5)];
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      const double b = ground[k], seen = plane.luma[k];
      ring.n += 1, ring.b += b, ring.i += seen, ring.bb += b * b, ring.bi += b * seen;
    }
  ++learnt_;
}

void TouchLook::settle() {
  for (Ring& ring : rings_) {
    if (ring.n < 1) continue;
    const double b = ring.b / ring.n, i = ring.i / ring.n, varied = ring.bb / ring.n - b * b,
                 with = ring.bi / ring.n - b * i;
    const double through = std::clamp((with + 0.5 * even) / (varied + even), 0.0, 1.0);
    ring.through = static_cast<float>(through);
    ring.laid = static_cast<float>(i - through * b);
    ring.told = varied > 4 * even;
  }
  double most = 0;
  const auto shows = [](const Ring& ring) { return ring.n > 0 ? std::abs(ring.i - ring.b) / ring.n : 0; };
  for (const Ring& ring : rings_) most = std::max(most, shows(ring));
  for (std::size_t k = 0; k < rings_.size(); ++k)
    if (shows(rings_[k]) > 0.8 * most) strong_ = static_cast<double>(k) / rings_a_px;
  tabulate();
}

TouchLook::Shade TouchLook::shade(double r) const {
  const double at = r * rings_a_px;
  const auto k = std::min(static_cast<std::size_t>(at), rings_.size() - 1);
  const Ring &a = rings_[k], &b = rings_[std::min(k + 1, rings_.size() - 1)];
  const auto f = static_cast<float>(at - static_cast<double>(k));
  const Shade in = a.n > 0 ? Shade{a.through, a.laid} : Shade{},
              out = b.n > 0 ? Shade{b.through, b.laid} : Shade{};
  return {in.through + f * (out.through - in.through), in.laid + f * (out.laid - in.laid)};
}

float TouchLook::shown(float ground, double r) const {
  const Shade s = shade(r);
  return s.through * ground + s.laid;
}

void TouchLook::tabulate() {
  shades_.resize(static_cast<std::size_t>(reach_ * shades_a_px) + 2);
  for (std::size_t k = 0; k < shades_.size(); ++k)
    shades_[k] = shade((static_cast<double>(k) + 0.5) / shades_a_px);
  const double r = std::max(0.0, strong_ - 0.5);
  ways_out_ = {r, std::max(0.0, strong_ - 2), strong_ + 1};
  for (int b = 0; b < 256; ++b) {
    const float mark = shown(static_cast<float>(b), r), differs = telling(static_cast<float>(b) - mark);
    Screen& screen = screen_[static_cast<std::size_t>(b)] = {};
    if (differs <= 0) continue;
    const double near = 0.6 * differs + grain;
    screen.told = 1;
    screen.from = static_cast<std::uint8_t>(std::clamp(std::floor(mark - near) + 1, 0.0, 255.0));
    screen.to = static_cast<std::uint8_t>(std::clamp(std::ceil(mark + near) - 1, 0.0, 255.0));
    screen.apart = static_cast<std::uint8_t>(0.3 * differs + grain);
  }
}

TouchLook::Quiet::Quiet(const Plane& plane, const std::vector<std::uint8_t>& ground, double reach)
    : columns_(plane.width / block + 1),
      rows_(plane.height / block + 1),
      quiet_(static_cast<std::size_t>(columns_) * rows_, 1) {
  std::vector<std::uint8_t> busy(static_cast<std::size_t>(columns_) * rows_);
  for (int y = 0; y < plane.height; ++y) {
    const std::uint8_t *seen = plane.row(y),
                       *under = ground.data() + static_cast<std::size_t>(y) * plane.width;
    std::uint8_t* to = busy.data() + static_cast<std::size_t>(y / block) * columns_;
    for (int x = 0; x < plane.width; x += block)
      if (!to[x / block]) to[x / block] = any_apart(seen + x, under + x, std::min(block, plane.width - x));
  }
  const int about = static_cast<int>(reach) / block + 1;
  for (int j = 0; j < rows_; ++j)
    for (int i = 0; i < columns_; ++i)
      if (busy[static_cast<std::size_t>(j) * columns_ + i])
        for (int v = std::max(0, j - about); v <= std::min(rows_ - 1, j + about); ++v)
          for (int u = std::max(0, i - about); u <= std::min(columns_ - 1, i + about); ++u)
            quiet_[static_cast<std::size_t>(v) * columns_ + u] = 0;
}

bool TouchLook::surely_seen(const Plane& plane, const std::vector<std::uint8_t>& ground, double x,
                            double y) const {
  float shows = 0, pixels = 0;
  for (int j = std::max(0, static_cast<int>(y - reach_));
       j <= std::min(plane.height - 1, static_cast<int>(y + reach_)); j += 2)
    for (int i = std::max(0, static_cast<int>(x - reach_));
         i <= std::min(plane.width - 1, static_cast<int>(x + reach_)); i += 2) {
      const double r = std::hypot(i + 0.5 - x, j + 0.5 - y);
      if (r >= reach_) continue;
      ++pixels;
      const Ring& ring = rings_[static_cast<std::size_t>(std::lround(r * rings_a_px))];
      if (ring.n < 1) continue;
      const float here = ground[static_cast<std::size_t>(j) * plane.width + i],
                  as_told = (ring.through - 1) * here + ring.laid, on = static_cast<float>(ring.b / ring.n),
                  seen = static_cast<float>(ring.i / ring.n), tint = seen - on, opaque = seen - here;
      if (ring.told)
        shows += telling(as_told);
      else if (tint * opaque > 0)
        shows += std::min(telling(tint), telling(opaque));
    }
  return shows > 2 * pixels && pixels > 0;
}

bool TouchLook::maybe(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) const {
  static constexpr double ways[8][2] = {
      {1, 0},           {-1, 0}, {0, 1}, {0, -1}, {0.7071, 0.7071}, {-0.7071, -0.7071}, {-0.7071, 0.7071},
      {0.7071, -0.7071}};
  int with = 0, without = 0;
  for (const auto& way : ways) {
    // Within a px and a half of where it would be, for the place is a first guess.
    bool any = false, told = false;
    for (const double r : ways_out_) {
      const int i = static_cast<int>(x + r * way[0]), j = static_cast<int>(y + r * way[1]);
      if (i < 0 || j < 0 || i >= plane.width || j >= plane.height) continue;
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      const int b = ground[k], seen = plane.luma[k];
      const Screen screen = screen_[static_cast<std::size_t>(b)];
      told |= screen.told;
      any = seen >= screen.from && seen <= screen.to && std::abs(seen - b) > screen.apart;
      if (any) break;
    }
    with += any, without += told && !any;
    if (without >= 3) return false;  // of eight, no twice as many are left
  }
  return with >= 3 && with >= 2 * without;
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
      const double u = i + 0.5 - x, v = j + 0.5 - y, rr = u * u + v * v;
      if (rr < reach_ * reach_ || rr > out * out) continue;
      const std::size_t k = static_cast<std::size_t>(j) * plane.width + i;
      ++all, differ += std::abs(plane.luma[k] - ground[k]) > 10;
    }
  return all > 0 ? 1.0 * differ / all : 0;
}

TouchLook::Match TouchLook::at(const Plane& plane, const std::vector<std::uint8_t>& ground,
                               const std::vector<std::uint8_t>& unrest, double x, double y, int every) const {
  Four gain{}, expected{}, pixels{};
  const int x0 = std::max(0, static_cast<int>(x - reach_)),
            x1 = std::min(plane.width - 1, static_cast<int>(x + reach_)),
            y0 = std::max(0, static_cast<int>(y - reach_)),
            y1 = std::min(plane.height - 1, static_cast<int>(y + reach_));
  const float most = static_cast<float>(reach_ * reach_), px = static_cast<float>(x);
  for (int j = y0; j <= y1; j += every) {
    const double v = j + 0.5 - y, left = reach_ * reach_ - v * v;
    if (left <= 0) continue;
    const double half = std::sqrt(left) + 0.01;
    int i = std::max(0, static_cast<int>(std::ceil(x - 0.5 - half)) - x0);
    i = x0 + (i + every - 1) / every * every;
    const int end = std::min(x1, static_cast<int>(x - 0.5 + half));
    const std::size_t row = static_cast<std::size_t>(j) * plane.width;
    const std::uint8_t *seen_row = plane.luma.data() + row, *ground_row = ground.data() + row,
                       *unrest_row = unrest.data() + row;
    const float vv = static_cast<float>(v * v);
    for (; i <= end; i += 4 * every) {
      std::uint8_t s[4] = {}, b[4] = {}, n[4] = {};
      const int count = std::min(4, (end - i) / every + 1);
      if (every == 1 && count == 4) {
        std::memcpy(s, seen_row + i, 4), std::memcpy(b, ground_row + i, 4), std::memcpy(n, unrest_row + i, 4);
      } else {
        for (int k = 0; k < count; ++k)
          s[k] = seen_row[i + k * every], b[k] = ground_row[i + k * every], n[k] = unrest_row[i + k * every];
      }
      const Four u = (static_cast<float>(i) + 0.5F - px) + static_cast<float>(every) * in_order,
                 rr = u * u + vv;
      const Four within = ((rr < most) & (in_order < static_cast<float>(count))) ? four(1) : Four{};
      const FourInts place =
          __builtin_convertvector(root(within * rr) * static_cast<float>(shades_a_px), FourInts);
      const Shade &a0 = shades_[static_cast<std::size_t>(place[0])],
                  &a1 = shades_[static_cast<std::size_t>(place[1])],
                  &a2 = shades_[static_cast<std::size_t>(place[2])],
                  &a3 = shades_[static_cast<std::size_t>(place[3])];
      const Four through{a0.through, a1.through, a2.through, a3.through},
          laid{a0.laid, a1.laid, a2.laid, a3.laid};
      const Four ground4 = four(b), seen4 = four(s), with = through * ground4 + laid;
      const Four weight = within / (1 + four(n) * (1 / 6.0F));
      gain += weight * (telling(seen4 - ground4) - telling(seen4 - with));
      expected += weight * telling(ground4 - with);
      pixels += weight;
    }
  }
  return {sum(gain), sum(expected), sum(pixels)};
}

TouchLook::Match TouchLook::find(const Plane& plane, const std::vector<std::uint8_t>& ground,
                                 const std::vector<std::uint8_t>& unrest, double& x, double& y, double reach,
                                 double least) const {
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
  for (double fine = step / 2; fine > 0.06; fine /= 2) {
    if (best.share() < (fine < 1 ? 0.5 * least : 0)) break;  // none within a px explains half of it
    int from = -1;  // the way it came from, which is known to be worse
    for (int turn = 0; turn < 4; ++turn) {
      static constexpr int ways[4][2] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
      const double cx = bx, cy = by;
      int last = -1, moves = 0;
      for (int way = 0; way < 4; ++way)
        if (way != from && ask(cx + fine * ways[way][0], cy + fine * ways[way][1])) last = way, ++moves;
      if (moves == 0) break;
      from = last ^ 1;
    }
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
