// Tiles that all look much alike, dragged by a quick hand in a recording of 24 pictures a second: the others
// make room in a quarter of a second, and what is let go is in its slot at once. 240 x 420, without a codec.
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <vector>

#include "capture/video/follow.hpp"

using namespace paneproof;
using namespace paneproof::video;

namespace {

constexpr int width = 240, height = 420, tiles = 9, side = 48;
constexpr double rate_hz = 24, pitch = 58;

struct Point {
  double x, y;
};

Point slot(int k) { return {33 + pitch * (k % 4), 80 + pitch * (k / 4)}; }
double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u); }

// A frame and a drawing of blocks in it: -1 outside.
double luma_of(int tile, double u, double v) {
  constexpr std::array<int, tiles> drawings{0b111100100, 0b010111010, 0b001011111, 0b110011001, 0b101010101,
                                            0b011110010, 0b111001001, 0b100110111, 0b010101110};
  const double a = std::abs(u), b = std::abs(v), half = side / 2.0;
  if (a > half || b > half) return -1;
  if (a > half - 4 || b > half - 4) return 20;
  const int column = static_cast<int>(std::floor((u + 15) / 10)),
            row = static_cast<int>(std::floor((v + 15) / 10));
  if (column < 0 || column > 2 || row < 0 || row > 2) return 250;
  return drawings[static_cast<std::size_t>(tile)] >> (3 * row + column) & 1 ? 20 : 250;
}

void draw(Plane& plane, int tile, const Point& at, bool raised) {
  for (int y = std::max(0, static_cast<int>(at.y) - side);
       y < std::min(height, static_cast<int>(at.y) + side); ++y)
    for (int x = std::max(0, static_cast<int>(at.x) - side);
         x < std::min(width, static_cast<int>(at.x) + side); ++x) {
      double sum = 0, n = 0;
      for (const double fy : {0.25, 0.75})
        for (const double fx : {0.25, 0.75}) {
          const double luma = luma_of(tile, x + fx - at.x, y + fy - at.y);
          if (luma >= 0) sum += luma, ++n;
        }
      std::uint8_t& px = plane.luma[static_cast<std::size_t>(y) * width + x];
      if (n > 0)
        px = static_cast<std::uint8_t>((sum + (4 - n) * px) / 4);
      else if (raised && std::hypot(std::max(0.0, std::abs(x - at.x) - side / 2.0),
                                    std::max(0.0, std::abs(y - at.y) - side / 2.0)) < 4)
        px = static_cast<std::uint8_t>(0.8 * px);
    }
}

// As soft as a picture that was made smaller.
void soften(Plane& plane) {
  const std::vector<std::uint8_t> sharp = plane.luma;
  for (int y = 1; y + 1 < height; ++y)
    for (int x = 1; x + 1 < width; ++x) {
      int sum = 0;
      for (int j = -1; j <= 1; ++j)
        for (int i = -1; i <= 1; ++i)
          sum +=
              (2 - std::abs(i)) * (2 - std::abs(j)) * sharp[static_cast<std::size_t>(y + j) * width + x + i];
      plane.luma[static_cast<std::size_t>(y) * width + x] = static_cast<std::uint8_t>((sum + 8) / 16);
    }
}

struct Drag {
  int tile;
  double grab_s, go_s, rest_s;  // the hand moves from grab_s + 0.2 for go_s, then rests for rest_s
  int from, to;                 // slots
};

const std::vector<Drag>& drags() {
  static const std::vector<Drag> all{
      {6, 1, 0.5, 0.35, 6, 1}, {8, 4, 0.5, 0.35, 8, 6}, {2, 7, 0.5, 0.35, 3, 5}};
  return all;
}

double let_go_s(const Drag& d) { return d.grab_s + 0.2 + d.go_s + d.rest_s; }

// Where the hand holds it: on its way in a shallow arc, to beside the slot that it will be put into.
Point held_at(const Drag& d, double t) {
  const Point a = slot(d.from), b{slot(d.to).x - 14, slot(d.to).y + 9};
  const double f = soft((t - d.grab_s - 0.2) / d.go_s);
  return {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y) - 20 * std::sin(3.14159265 * f)};
}

Path followed() {
  std::array<int, tiles> order{};  // the tile of each slot
  for (int k = 0; k < tiles; ++k) order[static_cast<std::size_t>(k)] = k;
  std::array<int, tiles> before = order;
  Follow follow(1, {});
  std::size_t next = 0;
  double moved_s = -1;
  for (int i = 0; i < 10 * rate_hz; ++i) {
    const double t = i / rate_hz;
    const Drag* held = nullptr;
    for (const Drag& d : drags())
      if (t >= d.grab_s && t < let_go_s(d)) held = &d;
    if (held && next < drags().size() && held == &drags()[next] &&
        t > held->grab_s + 0.2 + 0.6 * held->go_s) {
      before = order;
      const auto at = order.begin() + held->from;
      const int tile = *at;
      std::vector<int> list(order.begin(), order.end());
      list.erase(list.begin() + held->from);
      list.insert(list.begin() + held->to, tile);
      std::copy(list.begin(), list.end(), order.begin());
      moved_s = t, ++next;
    }
    Plane plane;
    plane.width = width, plane.height = height;
    plane.luma.assign(static_cast<std::size_t>(width) * height, 250);
    for (int k = 0; k < tiles; ++k) {
      const int tile = order[static_cast<std::size_t>(k)];
      if (held && tile == held->tile) continue;
      const auto was = std::find(before.begin(), before.end(), tile) - before.begin();
      const double f = moved_s < 0 ? 1 : soft((t - moved_s) / 0.25);
      const Point a = slot(static_cast<int>(was)), b = slot(k);
      draw(plane, tile, {a.x + f * (b.x - a.x), a.y + f * (b.y - a.y)}, false);
    }
    if (held) draw(plane, held->tile, held_at(*held, t), t > held->grab_s);
    soften(plane);
    Frame frame;
    frame.t_us = std::llround(t * 1e6);
    frame.plane = std::move(plane);
    follow.add(std::move(frame));
  }
  return follow.finish();
}

}  // namespace

TEST_CASE("tiles much alike are told apart, and end where they snap into a slot") {
  const Path path = followed();
  REQUIRE(path.endings.size() == drags().size());
  for (std::size_t k = 0; k < drags().size(); ++k) {
    const Drag& d = drags()[k];
    const Ended& end = path.endings[k];
    INFO("drag " << k);
    CHECK(std::abs(static_cast<double>(end.t_us) * 1e-6 - let_go_s(d)) < 2.1 / rate_hz);
    CHECK(end.kind != LetGo::Kind::drop);
    int rows = 0;
    for (const Row& row : path.rows) {
      if (row.contact != end.contact) continue;
      const Point at = held_at(d, static_cast<double>(row.t_us) * 1e-6);
      CHECK(std::hypot(row.x - at.x, row.y - at.y) < side / 16.0);
      ++rows;
    }
    CHECK(rows >= 0.7 * rate_hz * (let_go_s(d) - d.grab_s));
  }
}
