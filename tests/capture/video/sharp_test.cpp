// Drawings with sharp edges and thin lines, drawn by coverage over ground that changes.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "capture/video/model.hpp"
#include "tests/clips/scene.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

constexpr int width = 220, height = 220;

double covers(double a, double b, int i) {  // of pixel i by the span from a to b
  return std::clamp(std::min(b, i + 1.0) - std::max(a, static_cast<double>(i)), 0.0, 1.0);
}

struct Bar {
  double left, top, right, bottom;  // px from the middle
};

// A pale plate with dark bars, its middle at (x, y), over ground of this seed. The bars are dithered by so
// many levels.
video::Plane drawn(double x, double y, const std::vector<Bar>& bars, std::uint64_t seed,
                   double dithered = 0) {
  Dice dice(seed);
  const double wave = pick(dice, 0.1, 0.5), lean = pick(dice, 0.1, 0.5), turn = pick(dice, 0, 6);
  video::Plane plane{width, height, std::vector<std::uint8_t>(width * height)};
  for (int py = 0; py < height; ++py)
    for (int px = 0; px < width; ++px) {
      double value = 110 + 60 * std::sin(wave * px + turn) * std::cos(lean * py);
      const auto lay = [&](const Bar& b, double level) {
        const double c = covers(x + b.left, x + b.right, px) * covers(y + b.top, y + b.bottom, py);
        value += c * (level - value);
      };
      lay({-34, -34, 34, 34}, 245);
      for (const Bar& b : bars) lay(b, 25 + dithered * ((px * 7 + py * 11) % 5));
      plane.row(py)[px] = static_cast<std::uint8_t>(value + 0.5);
    }
  return plane;
}

const std::vector<Bar> columns{{-17, -5, -10, 15}, {-7, -16, 0, 15}, {3, 4, 10, 15}, {13, -9, 20, 15}};

}  // namespace

TEST_CASE("learnt at places a little off, a sharp drawing still tells where it is") {
  video::Model model(drawn(110, 110, columns, 1), {70, 70, 80, 80}, 26);
  Dice dice(7);
  for (std::uint64_t k = 2; k < 30; ++k) {
    const double x = pick(dice, 80, 140), y = pick(dice, 80, 140);
    video::Fit off;
    off.pose = {x + pick(dice, -0.4, 0.4), y + pick(dice, -0.4, 0.4), 1, 0};
    model.learn(drawn(x, y, columns, k), off);
  }
  const video::Fit fit = model.search(drawn(121.3, 96.7, columns, 90), {118, 99, 1, 0}, 16);
  CHECK(fit.good);
  CHECK(fit.sd < 0.5);
  CHECK(fit.pose.x == Approx(121.3).margin(1));
  CHECK(fit.pose.y == Approx(96.7).margin(1));
}

TEST_CASE("thin lines are found from every place about them") {
  std::vector<Bar> lines;
  for (int k = 0; k < 7; ++k)
    lines.push_back({-22.0 + 6 * k, -8.0, -20.7 + 6 * k, 8.0}),
        lines.push_back({-22.0 + 6 * k, -8.0 + 2 * k, -17.0 + 6 * k, -6.8 + 2 * k});
  video::Model model(drawn(110, 110, lines, 1), {74, 74, 72, 72}, 20);
  Dice dice(7);
  for (std::uint64_t k = 2; k < 24; ++k) {
    const double x = pick(dice, 80, 140), y = pick(dice, 80, 140);
    video::Fit at;
    at.pose = {x, y, 1, 0};
    model.learn(drawn(x, y, lines, k), at);
  }
  for (const double dx : {-8.0, -3.0, 1.0, 5.0, 12.0})
    for (const double dy : {-11.0, -5.0, 3.0, 8.0}) {
      INFO("from " << dx << ", " << dy);
      const video::Fit fit = model.search(drawn(110.4, 108.8, lines, 91), {110 + dx, 109 + dy, 1, 0}, 16);
      CHECK(fit.good);
      CHECK(fit.pose.x == Approx(110.4).margin(0.6));
      CHECK(fit.pose.y == Approx(108.8).margin(0.6));
    }
}

TEST_CASE("a drawing that wavers all over is not forgotten little by little") {
  const std::vector<Bar> bars{{-16, -6, -4, 12}, {2, -12, 10, 2}};
  video::Model model(drawn(110, 110, bars, 1, 14), {76, 76, 68, 68}, 26);
  model.trust({26, 26, 68, 68}, 0.1);
  Dice dice(7);
  double x = 110, y = 110;
  video::Pose at{x, y, 1, 0};
  for (std::uint64_t k = 2; k < 120; ++k) {
    x = std::clamp(x + pick(dice, -6, 6), 70.0, 150.0), y = std::clamp(y + pick(dice, -6, 6), 70.0, 150.0);
    const video::Fit fit = model.search(drawn(x, y, bars, k, 14), at, 16);
    at = fit.pose;
    model.learn(drawn(x, y, bars, k, 14), fit);
  }
  CHECK(at.x == Approx(x).margin(0.5));
  CHECK(at.y == Approx(y).margin(0.5));
  CHECK(at.scale == Approx(1).margin(0.02));
}

TEST_CASE("where nothing of what is known tells the place, there is none") {
  video::Model model(drawn(110, 110, {}, 1), {82, 82, 56, 56}, 26);
  model.trust({26, 26, 56, 56}, 0.1);
  Dice dice(7);
  for (std::uint64_t k = 2; k < 30; ++k) {
    video::Fit at;
    at.pose = {pick(dice, 80, 140), pick(dice, 80, 140), 1, 0};
    model.learn(drawn(at.pose.x, at.pose.y, {}, k), at);
  }
  const video::Fit fit = model.refine(drawn(110, 110, {}, 90), {112, 108, 1, 0});
  CHECK(fit.sd > 5);
  CHECK_FALSE(fit.good);
}
