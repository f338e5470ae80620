// The panel's sensing and the firmware's finding of touches.
#include <catch2/catch.hpp>
#include <cmath>

#include "capture/rehearse/portable_math.hpp"
#include "capture/rehearse/touch_finder.hpp"

using namespace paneproof;

namespace {

struct Bench {
  explicit Bench(const Personality& personality)
      : p(personality), grid(make_grid(68, 142, p.pitch_mm, p.inset, true)), finder(grid, p), frame(grid) {}
  Personality p;
  NodeGrid grid;
  TouchFinder finder;
  NodeFrame frame;
  std::vector<Peak> touch(Vec at, double contact_mm = 8.5) {
    const double spread = spread_of_contact(contact_mm);
    collect(frame, grid, {{at, spread, spread, 1, Touching::finger}});
    return finder.find(frame, p.off);
  }
};

Personality drawn(std::uint64_t seed) {
  Random random(seed);
  return draw_personality(static_cast<FirmwareFamily>(seed % firmware_families), random);
}

}  // namespace

TEST_CASE("portable functions agree with the C library") {
  for (double x = -30; x < 30; x += 0.37) {
    CHECK(portable::exp(x) == Approx(std::exp(x)).epsilon(1e-14));
    CHECK(portable::sin(x) == Approx(std::sin(x)).margin(1e-11));
    CHECK(portable::cos(x) == Approx(std::cos(x)).margin(1e-11));
    CHECK(portable::log(std::exp(x)) == Approx(x).margin(1e-13));
  }
}

TEST_CASE("uniform and normal numbers have the moments of their distributions") {
  Random random(11);
  double sum = 0, squares = 0, fourth = 0, uniform = 0;
  const int count = 200000;
  for (int k = 0; k < count; ++k) {
    const double x = random.normal();
    sum += x;
    squares += x * x;
    fourth += x * x * x * x;
    uniform += random.uniform();
  }
  // Five standard errors each: 1, sqrt(2), sqrt(96) and 0.29 over the root of the count.
  const double error = 5 / std::sqrt(count);
  CHECK(sum / count == Approx(0).margin(error));
  CHECK(squares / count == Approx(1).margin(1.42 * error));
  CHECK(fourth / count == Approx(3).margin(9.8 * error));
  CHECK(uniform / count == Approx(0.5).margin(0.29 * error));
}

// Pitch 4 to 6 mm, at least two electrodes under an 8 mm contact (a controller maker's sensor design
// guide, 1.2.5).
TEST_CASE("an 8 mm contact always covers at least two lines each way") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Personality p = drawn(seed);
    const NodeGrid grid = make_grid(68, 142, p.pitch_mm, p.inset, true);
    INFO("seed " << seed);
    CHECK(grid.pitch_x > 3.7);
    CHECK(grid.pitch_x < 6.5);
    // The second line is farthest with the finger on the first: one pitch.
    CHECK(line_response(grid.pitch_x, grid.pitch_x, spread_of_contact(8)) > 0.02);
    CHECK(line_response(grid.pitch_x / 2, grid.pitch_x, spread_of_contact(8)) > 0.4);
  }
}

TEST_CASE("inside a sound panel a finger is one touch, at most the cyclic error away") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    Bench bench(drawn(seed));
    double largest = 0;
    for (double x = 14; x < 54; x += 0.17) {
      const auto found = bench.touch({x, 71 + x / 10});
      INFO("seed " << seed << ", x " << x);
      REQUIRE(found.size() == 1);
      largest = std::max(largest, std::abs(found[0].at.x - x));
    }
    INFO("seed " << seed);
    CHECK(largest < 0.45);  // 0.3 mm by design, and what the border's correction adds at 2 pitches
  }
}

TEST_CASE("positions reach equally near to opposite sides, at most 2 mm short") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    Bench bench(drawn(seed));
    const auto depth = [&](Vec at) {
      const auto found = bench.touch(at);
      REQUIRE(found.size() == 1);
      return std::min({found[0].at.x, found[0].at.y, 68 - found[0].at.x, 142 - found[0].at.y});
    };
    INFO("seed " << seed);
    const double left = depth({0.2, 71}), right = depth({67.8, 71}), top = depth({34, 0.2}),
                 bottom = depth({34, 141.8});
    CHECK(left == Approx(right).margin(0.15));
    CHECK(top == Approx(bottom).margin(0.15));
    CHECK(std::max(left, top) <= 2);
  }
}

TEST_CASE("two fingers 17 mm apart are two touches that hardly disturb each other") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    Bench bench(drawn(seed));
    const double spread = spread_of_contact(9);
    for (double y = 30; y < 40; y += 0.37) {
      const Vec a{30, y}, b{31, y + 17};
      const auto alone = bench.touch(a, 9);
      collect(bench.frame, bench.grid,
              {{a, spread, spread, 1, Touching::finger}, {b, spread, spread, 1, Touching::finger}});
      const auto both = bench.finder.find(bench.frame, bench.p.off);
      INFO("seed " << seed << ", y " << y);
      REQUIRE(both.size() == 2);
      const Vec first = both[0].at.y < both[1].at.y ? both[0].at : both[1].at;
      CHECK(std::hypot(first.x - alone[0].at.x, first.y - alone[0].at.y) < 0.5);
    }
  }
}
