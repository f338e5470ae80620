// When a hand in a film has lost what it held: what showed beside its finger is gone from there.
#include "capture/video/under_finger.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "capture/video/follow.hpp"

using namespace paneproof::video;

namespace {

constexpr double half = 20, drop_s = 0.9;

// A striped thing that lies on even ground at (x, y), or nowhere, and a finger on its lower half.
Plane drawn(bool thing, double x, double y, bool finger, double finger_x) {
  Plane plane{200, 120, {}};
  for (int j = 0; j < plane.height; ++j)
    for (int i = 0; i < plane.width; ++i) {
      const double u = i + 0.5 - x, v = j + 0.5 - y;
      int level = 90;
      if (thing && std::abs(u) < half && std::abs(v) < half) level = std::fmod(u + v + 80, 12) < 6 ? 60 : 200;
      if (finger && std::abs(i + 0.5 - finger_x) < 12 && v > 2) level = 150;
      plane.luma.push_back(static_cast<std::uint8_t>(level));
    }
  return plane;
}

std::vector<Sample> followed(bool dropped) {
  Plate slot;
  slot.x = 40, slot.y = 60, slot.width = slot.height = 2 * half;
  const BesideFinger beside(drawn(true, 40, 60, false, 0), drawn(true, 40, 60, true, 40), slot);
  std::vector<Sample> samples;
  for (int k = 0; k < 90; ++k) {
    Sample s;
    s.frame = k, s.t_us = k * 16'667, s.known = true, s.pose.x = 40 + 1.2 * k, s.pose.y = 60;
    const bool held = !dropped || static_cast<double>(s.t_us) * 1e-6 <= drop_s;
    s.beside = beside.misfit(drawn(held, s.pose.x, 60, true, s.pose.x), s.pose.x, 60);
    samples.push_back(s);
  }
  return samples;
}

}  // namespace

TEST_CASE("a thing that is gone from beside the finger was lost there, though the hand goes on") {
  const auto samples = followed(true);
  const auto last = gone_after(samples, 0);
  REQUIRE(last);
  CHECK(static_cast<double>(samples[*last].t_us) * 1e-6 == Approx(drop_s).margin(0.02));
}

TEST_CASE("a thing that shows beside the finger to the end was not lost") {
  CHECK_FALSE(gone_after(followed(false), 0));
}

TEST_CASE("of a thing that the finger covers nothing is told by what shows") {
  Plate slot;
  slot.x = 40, slot.y = 60, slot.width = slot.height = 2 * half;
  const BesideFinger beside(drawn(true, 40, 60, false, 0), drawn(false, 40, 60, false, 0), slot);
  CHECK(beside.shows() < 0.1);
  CHECK(beside.misfit(drawn(true, 40, 60, false, 0), 40, 60) == -1);
}
