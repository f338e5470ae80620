// When a thing was lifted: 270 x 600, 60 pictures a second, without a codec.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "capture/video/follow.hpp"
#include "tests/clips/plane_of.hpp"
#include "tests/clips/scene.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

// Of 16 icons on even ground one, at 101.5, 165, is drawn as `place` says for each time.
video::Path dragged(double seconds, const std::function<void(double, Placed&)>& place) {
  constexpr int width = 270, height = 600;
  Dice dice(5);
  std::vector<Look> looks;
  for (int k = 0; k < 16; ++k) looks.push_back(random_look(dice, 0));
  video::Follow follow(1, {});
  Canvas canvas{width, height, std::vector<float>(width * height)};
  for (int i = 0; i < 60 * seconds; ++i) {
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
    place(t, held);
    draw(canvas, held);
    video::Frame frame;
    frame.t_us = std::llround(t * 1e6);
    frame.plane = plane_of(canvas);
    follow.add(std::move(frame));
  }
  return follow.finish();
}

double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * (3 - 2 * u); }

}  // namespace

TEST_CASE("a lift that changes hardly its size and softly its shadow is told by the hand's trembling") {
  constexpr double lift_s = 0.5, moves_s = 1.1;
  const video::Path path = dragged(3, [](double t, Placed& held) {
    if (t >= lift_s) {
      held.x += 0.4 * std::sin(9 * t), held.y += 0.4 * std::cos(7 * t);
      held.scale = 1.004, held.shadow = 0.06 * std::min(1.0, (t - lift_s) / 0.15);
    }
    const double gone = std::max(0.0, t - moves_s);
    held.x += 90 * std::sin(1.4 * gone), held.y += 220 * (1 - std::cos(1.2 * gone));
  });
  REQUIRE_FALSE(path.rows.empty());
  CHECK(static_cast<double>(path.rows.front().t_us) * 1e-6 == Approx(lift_s).margin(0.07));
}

TEST_CASE("a pause of the hand soon after it takes a thing up again is not the rest before the lift") {
  constexpr double lay_s = 3, again_s = 4, pauses_s = 4.4, goes_on_s = 4.9;
  const video::Path path = dragged(6.5, [](double t, Placed& held) {
    const double lifted = soft((t - 0.5) / 0.15) - soft((t - lay_s) / 0.15) + soft((t - again_s) / 0.15);
    held.scale = 1 + 0.12 * lifted, held.shadow = 0.3 * lifted;
    const double gone = std::clamp(t - 0.8, 0.0, 1.6), then = std::max(0.0, t - goes_on_s);
    held.x += 90 * std::sin(1.9 * gone), held.y += 160 * (1 - std::cos(1.9 * gone));
    held.x += 22 * soft((t - pauses_s + 0.2) / 0.2) + 80 * std::sin(1.5 * then);
    held.y += 120 * (std::cos(1.5 * then) - 1);
  });
  const auto second = std::find_if(path.rows.begin(), path.rows.end(), [&](const video::Row& row) {
    return row.contact != path.rows.front().contact;
  });
  REQUIRE(second != path.rows.end());
  CHECK(static_cast<double>(second->t_us) * 1e-6 == Approx(again_s).margin(0.07));
}

TEST_CASE("a lift is not told before it begins, however much it raises the thing") {
  constexpr double lift_s = 0.8;
  for (const double raised : {0.1, 0.25}) {
    INFO("raised by " << raised);
    const video::Path path = dragged(2.8, [&](double t, Placed& held) {
      held.scale = 1 + raised * soft((t - lift_s) / 0.15);
      const double gone = std::max(0.0, t - lift_s - 0.3);
      held.x += 90 * std::sin(1.4 * gone), held.y += 220 * (1 - std::cos(1.2 * gone));
    });
    REQUIRE_FALSE(path.rows.empty());
    CHECK(static_cast<double>(path.rows.front().t_us) * 1e-6 == Approx(lift_s).margin(0.05));
  }
}
