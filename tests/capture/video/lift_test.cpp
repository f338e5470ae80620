// When a thing was lifted: 270 x 600, 60 pictures a second, without a codec.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "capture/video/follow.hpp"
#include "tests/clips/plane_of.hpp"
#include "tests/clips/scene.hpp"

using namespace paneproof;
using namespace paneproof::clips;

TEST_CASE("a lift that changes hardly its size and softly its shadow is told by the hand's trembling") {
  constexpr int width = 270, height = 600;
  constexpr double lift_s = 0.5, moves_s = 1.1;
  Dice dice(5);
  std::vector<Look> looks;
  for (int k = 0; k < 16; ++k) looks.push_back(random_look(dice, 0));
  video::Follow follow(1, {});
  Canvas canvas{width, height, std::vector<float>(width * height)};
  for (int i = 0; i < 180; ++i) {
    const double t = i / 60.0;
    std::fill(canvas.luma.begin(), canvas.luma.end(), 66.0F);
    for (int k = 0; k < 16; ++k) {
      Placed icon;
      icon.look = &looks[static_cast<std::size_t>(k)], icon.side = 40;
      icon.x = 34 + 67.5 * (k % 4), icon.y = 80 + 85.0 * (k / 4);
      if (k == 5) continue;
      draw(canvas, icon);
    }
    Placed held;
    held.look = &looks[5], held.side = 40, held.x = 101.5, held.y = 165;
    if (t >= lift_s) {
      held.x += 0.4 * std::sin(9 * t), held.y += 0.4 * std::cos(7 * t);
      held.scale = 1.004, held.shadow = 0.06 * std::min(1.0, (t - lift_s) / 0.15);
    }
    const double gone = std::max(0.0, t - moves_s);
    held.x += 90 * std::sin(1.4 * gone), held.y += 220 * (1 - std::cos(1.2 * gone));
    draw(canvas, held);
    video::Frame frame;
    frame.t_us = std::llround(t * 1e6);
    frame.plane = plane_of(canvas);
    follow.add(std::move(frame));
  }
  const video::Path path = follow.finish();
  REQUIRE_FALSE(path.rows.empty());
  CHECK(static_cast<double>(path.rows.front().t_us) * 1e-6 == Approx(lift_s).margin(0.07));
}
