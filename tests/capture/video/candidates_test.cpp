// Which of the things that move is taken for the held one: home screens of 4 x 6 icons, 270 x 600, 60
// pictures a second, without a codec.
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

constexpr int width = 270, height = 600, icons = 24;
constexpr double side = 44;

struct Point {
  double x, y;
};

Point slot(int k) { return {34 + 67.5 * (k % 4), 60 + 85.0 * (k / 4)}; }
double soft(double u) { return u <= 0 ? 0 : u >= 1 ? 1 : u * u * u * (u * (6 * u - 15) + 10); }

// Icon 5 is lifted at `lift_s` and goes where `hand` says; all the others wiggle from the start and slide by
// `scrolled(t)` widths, the next page after them.
struct Scene {
  double lift_s = 1, seconds = 3;
  std::function<Point(double)> hand;
  std::function<double(double)> scrolled = [](double) { return 0.0; };
  std::function<double(double)> aside = [](double) { return 0.0; };  // px, of the icons of the next page
  double opacity = 1;                                                // of icon 5 once it is lifted
  bool lifts = true;                                                 // and grows, and its shadow shows
  double shakes = 0;                                                 // px
  int twin = -1;                                                     // looks as icon 5 does
  double gone_s = 1e9, back_s = 1e9;                                 // between them icon 5 is not seen
};

video::Path followed(const Scene& scene) {
  Dice dice(11);
  std::vector<Look> looks;
  for (int k = 0; k < 2 * icons; ++k) looks.push_back(random_look(dice, 0));
  if (scene.twin >= 0) looks[static_cast<std::size_t>(scene.twin)] = looks[5];
  Wallpaper wallpaper;
  wallpaper.make(dice, 1, width, height);
  video::Follow follow(1, {});
  Canvas canvas{width, height, std::vector<float>(width * height)};
  for (int i = 0; i < 60 * scene.seconds; ++i) {
    const double t = i / 60.0;
    wallpaper.draw(canvas, 0);
    for (int k = 0; k < 2 * icons; ++k) {
      if (k == 5) continue;
      Placed icon;
      icon.look = &looks[static_cast<std::size_t>(k)], icon.side = side;
      icon.x = slot(k % icons).x + width * (k / icons - scene.scrolled(t)), icon.y = slot(k % icons).y;
      if (k >= icons && k % 4 < 2) icon.y += scene.aside(t);
      icon.x += scene.shakes * std::sin(31 * t + 2 * k), icon.y += scene.shakes * std::sin(26 * t + k);
      icon.turn = 0.03 * std::sin(26 * t + k);
      if (icon.x > -side && icon.x < width + side) draw(canvas, icon);
    }
    Placed held;
    held.look = &looks[5], held.side = side;
    const Point at = t < scene.lift_s ? slot(5) : scene.hand(t);
    held.x = at.x, held.y = at.y;
    const double lifted = scene.lifts ? soft((t - scene.lift_s) / 0.15) : 0;
    held.scale = 1 + 0.15 * lifted, held.label_opacity = 1 - lifted, held.shadow = 0.3 * lifted;
    held.opacity = 1 - (1 - scene.opacity) * lifted;
    if (t < scene.gone_s || t >= scene.back_s) draw(canvas, held);
    video::Frame frame;
    frame.t_us = std::llround(t * 1e6);
    frame.plane = plane_of(canvas);
    follow.add(std::move(frame));
  }
  return follow.finish();
}

}  // namespace

TEST_CASE("icons that wiggle do not crowd out the one that sets off") {
  Scene scene;
  scene.shakes = 4;
  scene.hand = [](double t) {
    return Point{slot(5).x + 90 * std::sin(3 * std::max(0.0, t - 1.2)),
                 slot(5).y + 170 * (1 - std::cos(2 * std::max(0.0, t - 1.2)))};
  };
  const video::Path path = followed(scene);
  REQUIRE(path.endings.size() == 1);
  CHECK(path.rows.size() > 100);
  for (const video::Row& row : path.rows) {
    const Point at = row.t_us < 1'000'000 ? slot(5) : scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
  }
}

TEST_CASE("no icon of a page that turns takes over from the one held at its side") {
  Scene scene;
  scene.seconds = 5;
  scene.hand = [](double t) {  // to the right side, a rest of 1.6 s there, and back
    const double out = soft((t - 1.2) / 0.8), back = soft((t - 1.65) / 0.7);
    return Point{slot(5).x + 145 * (out - back), slot(5).y + 120 * out + 60 * back};
  };
  scene.scrolled = [](double t) { return soft((t - 2.5) / 0.4); };
  scene.aside = [](double t) { return -85 * soft((t - 2.75) / 0.5); };  // and makes room as it comes
  const video::Path path = followed(scene);
  REQUIRE(path.endings.size() == 1);
  CHECK(path.endings.front().kind != LetGo::Kind::drop);
  for (const video::Row& row : path.rows) {
    const Point at = row.t_us < 1'000'000 ? slot(5) : scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
  }
  CHECK(path.rows.size() > 220);
}

TEST_CASE("a thing of the same look that lies by where it was last seen was not let go there") {
  Scene scene;
  scene.twin = 14, scene.gone_s = 2.05;
  scene.hand = [](double t) {  // towards the twin at a steady pace, and out of sight
    const double gone = std::max(0.0, t - 1.2);
    return Point{slot(5).x + 69 * gone, slot(5).y + 188 * gone};
  };
  for (const video::Ended& end : followed(scene).endings) CHECK(end.kind != LetGo::Kind::drop);
}

TEST_CASE("what goes far at once and out of sight for a moment is known when it comes back") {
  Scene scene;
  scene.seconds = 4;
  scene.hand = [](double t) {  // within 0.4 s beyond the right side, and back
    const double out = soft((t - 1.5) / 0.4), back = soft((t - 1.9) / 0.5);
    const double then = std::max(0.0, t - 2.4);
    return Point{slot(5).x + 215 * out - 150 * back - 60 * std::sin(then), slot(5).y + 90 * then};
  };
  const video::Path path = followed(scene);
  REQUIRE_FALSE(path.rows.empty());
  CHECK(static_cast<double>(path.rows.front().t_us) * 1e-6 == Approx(1).margin(0.1));
  for (const video::Row& row : path.rows) {
    const Point at = row.t_us < 1'000'000 ? slot(5) : scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
  }
}

TEST_CASE("a hand that leaps and waits holds what it lifted, and an icon that makes room is held by none") {
  const bool lifted = GENERATE(true, false);
  Scene scene;
  scene.seconds = 4, scene.lifts = lifted;
  scene.hand = [](double t) {  // a quarter of the height in 0.2 s, and a wait
    return Point{slot(5).x + 60 * soft((t - 1.5) / 0.2), slot(5).y + 150 * soft((t - 1.5) / 0.2)};
  };
  const video::Path path = followed(scene);
  CHECK(path.rows.empty() != lifted);
  for (const video::Row& row : path.rows) {
    const Point at = scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
  }
}

TEST_CASE("what is out of sight for a moment is known wherever it comes into sight again") {
  Scene scene;
  scene.seconds = 4, scene.gone_s = 2.4, scene.back_s = 2.65;
  scene.hand = [](double t) {  // fast as it goes: more than half the height unseen
    const double gone = std::max(0.0, t - 1.2), fast = soft((t - 2.35) / 0.3);
    return Point{slot(5).x + 70 * std::sin(2 * gone), slot(5).y + 40 * gone + 330 * fast};
  };
  const video::Path path = followed(scene);
  REQUIRE(path.endings.size() == 1);
  std::int64_t again_us = 0;
  for (const video::Row& row : path.rows) {
    const Point at = row.t_us < 1'000'000 ? slot(5) : scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
    if (row.t_us >= 2'650'000 && again_us == 0) again_us = row.t_us;
  }
  CHECK(static_cast<double>(again_us) * 1e-6 == Approx(2.65).margin(0.1));
}

TEST_CASE("what shines through to the icons it passes is followed from its lift on") {
  Scene scene;
  scene.seconds = 4, scene.opacity = 0.8;
  scene.hand = [](double t) {
    const double gone = std::max(0.0, t - 1.2);
    return Point{slot(5).x + 90 * std::sin(2.5 * gone), slot(5).y + 150 * (1 - std::cos(1.8 * gone))};
  };
  const video::Path path = followed(scene);
  REQUIRE(path.endings.size() == 1);
  CHECK(path.rows.size() > 170);
  CHECK(static_cast<double>(path.rows.front().t_us) * 1e-6 == Approx(1).margin(0.1));
  for (const video::Row& row : path.rows) {
    const Point at = row.t_us < 1'000'000 ? slot(5) : scene.hand(static_cast<double>(row.t_us) * 1e-6);
    CHECK(std::hypot(row.x - at.x, row.y - at.y) < 3);
  }
}
