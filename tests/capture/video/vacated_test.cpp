// What a hand took up in a film: the place that was left, and on which the hand ended.
#include "capture/video/vacated.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

using namespace paneproof::video;

namespace {

struct Place {
  double x, y;
};

constexpr int width = 300, height = 500;
constexpr double half = 22;  // of an icon, px

// A panel with icons on uneven ground, and a hand whose finger ends at a place and whose arm leans.
struct Scene {
  std::vector<Place> icons;
  std::vector<int> looks;
  bool hand = false;
  Place tip{};
  double lean = 0;  // of the arm, px across for one down
};

Plane drawn(const Scene& scene, std::mt19937& random) {
  Plane plane;
  plane.width = width, plane.height = height;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x) {
      double level = 90 + 25 * std::sin(x * 0.03) + 20 * std::sin(y * 0.021 + 1);
      for (std::size_t k = 0; k < scene.icons.size(); ++k) {
        const double u = x + 0.5 - scene.icons[k].x, v = y + 0.5 - scene.icons[k].y;
        if (std::max(std::abs(u), std::abs(v)) > half) continue;
        level = 60 + 40 * scene.looks[k];
        if (std::hypot(u, v) < 12 && std::hypot(u, v) > 7) level = 230 - 30 * scene.looks[k];
      }
      if (scene.hand) {
        const double down = y + 0.5 - scene.tip.y, across = x + 0.5 - scene.tip.x - scene.lean * down,
                     wide = 15 + (down > 60 ? 0.25 * (down - 60) : 0);
        if (std::hypot(x + 0.5 - scene.tip.x, down) < 15 || (down > 0 && std::abs(across) < wide))
          level = 165 - 30 * std::pow(across / wide, 2);
      }
      plane.luma.push_back(static_cast<std::uint8_t>(level + static_cast<int>(random() % 7) - 3));
    }
  return plane;
}

Scene home() {
  Scene scene;
  for (int k = 0; k < 9; ++k)
    scene.icons.push_back({60 + 90.0 * (k % 3), 80 + 100.0 * (k / 3)}), scene.looks.push_back(k % 4);
  return scene;
}

constexpr auto any = [](const Vacated&) { return true; };

std::vector<const Plane*> all_of(const std::vector<Plane>& planes) {
  std::vector<const Plane*> of;
  for (const Plane& plane : planes) of.push_back(&plane);
  return of;
}

}  // namespace

TEST_CASE("a slot that was left is found to a px, whatever a hand covers elsewhere") {
  std::mt19937 random(3);
  for (const double faint : {0.0, 1.0}) {
    std::vector<Plane> before, after;
    Scene scene = home();
    scene.looks[4] = faint > 0 ? 1 : 3;
    for (int k = 0; k < 3; ++k) before.push_back(drawn(scene, random));
    const Place slot = scene.icons[4];
    scene.hand = true;
    for (int k = 0; k < 3; ++k) {
      scene.icons[4] = scene.tip = {240.0 - 10 * k, 380.0 + 8 * k};
      after.push_back(drawn(scene, random));
    }
    const auto lay = still(all_of(before)), lies = still(all_of(after));
    const auto places = vacated(lay, lies, any);
    REQUIRE_FALSE(places.empty());
    CHECK(places.front().plate.x == Approx(slot.x).margin(1));
    CHECK(places.front().plate.y == Approx(slot.y).margin(1));
    CHECK(places.front().plate.width == Approx(2 * half).margin(5));
  }
}

TEST_CASE("what is on its way lay nowhere, and nothing was left where nothing changed") {
  std::mt19937 random(5);
  std::vector<Plane> before, after;
  Scene scene = home();
  for (int k = 0; k < 4; ++k) {
    scene.icons[4] = {150.0 + 20 * k, 180.0 + 30 * k};
    before.push_back(drawn(scene, random));
  }
  scene.icons[4] = {40, 440};
  for (int k = 0; k < 3; ++k) after.push_back(drawn(scene, random));
  const auto lay = still(all_of(before)), lies = still(all_of(after));
  CHECK(vacated(lay, lies, any).empty());  // where it came to lie nothing was left
  CHECK(vacated(lies, lies, any).empty());
  CHECK(still({all_of(before)[0], all_of(before)[1]}).empty());
}

TEST_CASE("what passes over is not seen in what lies still") {
  std::mt19937 random(11);
  Scene scene = home();
  const Plane bare = drawn(scene, random);
  scene.hand = true;
  std::vector<Plane> pictures;
  for (int k = 0; k < 5; ++k)
    scene.tip = {30.0 + 60 * k, 120.0 + 40 * k}, pictures.push_back(drawn(scene, random));
  const auto looks = still(all_of(pictures));
  REQUIRE(looks.size() == 1);
  int off = 0;
  for (std::size_t k = 0; k < 300 * width; ++k) off += std::abs(bare.luma[k] - looks[0].luma[k]) > 8;
  CHECK(off < 0.01 * 300 * width);  // farther down arms lie over each other
}

TEST_CASE("a plate that was left ends where its label begins") {
  std::mt19937 random(13);
  std::vector<Plane> before, after;
  const Scene with = home();
  Scene without = home();
  without.icons.erase(without.icons.begin() + 4), without.looks.erase(without.looks.begin() + 4);
  const Place slot = with.icons[4];
  for (int k = 0; k < 5; ++k) {
    before.push_back(drawn(with, random)), after.push_back(drawn(without, random));
    for (int y = static_cast<int>(slot.y + half) + 6; y < slot.y + half + 14; ++y)  // a label
      for (int x = static_cast<int>(slot.x - 14); x < slot.x + 14; ++x)
        before.back().row(y)[x] = (x / 3) % 2 ? 235 : 120;
  }
  const auto lay = still(all_of(before)), lies = still(all_of(after));
  const auto places = vacated(lay, lies, any);
  REQUIRE_FALSE(places.empty());
  CHECK(places.front().plate.y == Approx(slot.y).margin(1.5));
  CHECK(places.front().plate.height == Approx(2 * half).margin(5));
}

TEST_CASE("a hand is on what its finger ends on, not on what its arm lies across") {
  std::mt19937 random(9);
  Scene scene = home();
  const Plane before = drawn(scene, random);
  scene.hand = true, scene.tip = {150, 90};
  const Plane now = drawn(scene, random);
  Plate on, across, beside;
  on.x = 150, on.y = 80, across.x = 150, across.y = 280, beside.x = 60, beside.y = 80;
  for (Plate* plate : {&on, &across, &beside}) plate->width = plate->height = 2 * half;
  const Covers covers(before, now);
  CHECK(covers.touched(on).share > 0.3);
  CHECK(covers.touched(on).one_sided > 0.8);
  CHECK(covers.touched(across).one_sided < 0.3);
  CHECK(covers.touched(beside).share < 0.05);
  // Nor is it about a thing that is smaller than its finger.
  Plate small = on;
  small.y = 92, small.width = small.height = 24;
  CHECK(covers.touched(small).share > 0.9);
  CHECK(covers.touched(small).around < 0.6);
}
