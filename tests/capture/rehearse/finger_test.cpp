// The hand's figures against published ones.
#include "capture/rehearse/finger.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "capture/rehearse/rehearsal.hpp"

using namespace paneproof;

namespace {

// A slow straight way: tremor is what is left across it.
std::vector<FingerSample> straight(double tremor_mm, std::uint64_t seed) {
  Stroke stroke;
  stroke.points = {{0, 50}, {400, 50}};
  Motion motion;
  motion.speed_mm_s = 40;
  motion.tremor_mm = tremor_mm;
  return move_finger({stroke}, motion, Random(seed, 1), Random(seed, 2));
}

// Power of the sideways motion at a frequency.
double power_at(const std::vector<FingerSample>& samples, double hz) {
  double re = 0, im = 0;
  for (const FingerSample& s : samples) {
    const double angle = 2 * 3.14159265358979 * hz * static_cast<double>(s.t_us) * 1e-6;
    re += (s.at.y - 50) * std::cos(angle);
    im += (s.at.y - 50) * std::sin(angle);
  }
  return re * re + im * im;
}

}  // namespace

// Hand tremor peaks at 6 to 12 Hz (Lakie 2015, doi 10.1113/JP270464), at 8 to 10 Hz under force (Sutton
// and Sykes 1967).
TEST_CASE("tremor has its power between 8 and 12 Hz") {
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const auto samples = straight(0.06, seed);
    double inside = 0, outside = 0;
    for (double hz = 3; hz < 40; hz += 0.1)
      (hz >= 7.5 && hz <= 12.5 ? inside : outside) += power_at(samples, hz);
    INFO("seed " << seed);
    CHECK(inside > 20 * outside);
  }
}

// Finger tremor is about 30 um at rest, twice that with the hand extended, four to five times with the
// arm (Growdon 2000, EMCN 40(5):295-303); the acceleration's mode, 0.01 g at 7 Hz (Arch Neurol 1982;
// 39:358-362), means an amplitude of 50.7 um, which must lie between.
TEST_CASE("tremor amplitudes drawn lie within the published range") {
  const double mode_mm = 0.01 * 9806.65 / std::pow(2 * 3.14159265358979 * 7, 2);
  CHECK(mode_mm == Approx(0.0507).margin(0.0001));
  double least = 1, most = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const double tremor = random_spec(seed, Mix::mixed).hand.motion.tremor_mm;
    least = std::min(least, tremor);
    most = std::max(most, tremor);
  }
  CHECK(least >= 0.030);
  CHECK(least < mode_mm);
  CHECK(most <= 0.150);
  CHECK(most > mode_mm);
}

TEST_CASE("the tremor asked for is the tremor made") {
  const auto samples = straight(0.1, 7);
  double sum = 0;
  for (const FingerSample& s : samples) sum += (s.at.y - 50) * (s.at.y - 50);
  // An amplitude of 0.1 mm has a root mean square of 0.0707 mm.
  CHECK(std::sqrt(sum / static_cast<double>(samples.size())) == Approx(0.0707).epsilon(0.1));
}

// A 12 Hz tremor needs more than 24 reports a second (Nyquist: 1/(2 dt)).
TEST_CASE("every report rate drawn resolves the tremor") {
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const double rate = random_spec(seed, Mix::mixed).rate_hz;
    CHECK(rate > 2 * 24);
    CHECK(rate >= 59);
    CHECK(rate <= 244);
  }
}

TEST_CASE("the finger slows in turns and keeps its pace on straights") {
  Stroke stroke;
  stroke.points = {{0, 0}, {100, 0}, {100, 5}, {0, 5}};
  Motion motion;
  motion.speed_mm_s = 200;
  motion.speed_spread = 0;
  motion.tremor_mm = 0;
  const auto samples = move_finger({stroke}, motion, Random(1), Random(2));
  double fastest = 0, in_turn = 1e9;
  for (std::size_t k = 1; k + 30 < samples.size(); ++k) {
    const double v =
        std::hypot(samples[k].at.x - samples[k - 1].at.x, samples[k].at.y - samples[k - 1].at.y) / 0.002;
    fastest = std::max(fastest, v);
    if (samples[k].at.x > 99.5 && k > 50) in_turn = std::min(in_turn, v);
  }
  CHECK(fastest == Approx(200).epsilon(0.05));
  CHECK(in_turn < 100);
}

TEST_CASE("a lift lasts as long as asked") {
  Stroke a, b;
  a.points = {{0, 0}, {20, 0}};
  b.points = {{30, 0}, {50, 0}};
  b.air_before_s = 0.3;
  const auto samples = move_finger({a, b}, Motion{}, Random(1), Random(2));
  int air = 0;
  for (const FingerSample& s : samples) air += !s.down;
  CHECK(air * 0.002 == Approx(0.3).margin(0.004));
}
