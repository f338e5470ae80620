#include "capture/watch/agree.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

using namespace paneproof;

namespace {

// A sweep in rows, read every `step_s`, its clock `later_s` ahead, each contact `off_mm` beside.
Trace sweep(double step_s, double later_s, double off_mm, double noise_mm, std::uint64_t seed,
            double shape = 1) {
  std::mt19937_64 dice(seed);
  std::normal_distribution<double> noise(0, 1);
  Trace trace;
  trace.panel.width_mm = 68, trace.panel.height_mm = 142;
  for (std::uint32_t contact = 0; contact < 3; ++contact) {
    const double from = contact * 5.0;
    const auto first = static_cast<std::uint32_t>(trace.reports.size());
    for (double t = from; t < from + 4; t += step_s) {
      const double x = 34 + 30 * std::sin(shape * 2.1 * t), y = 9.0 * t + 6 * std::sin(1.3 * t * shape);
      trace.reports.push_back({std::llround((t + later_s) * 1e6),
                               x + off_mm * (contact + 1.0) + noise_mm * noise(dice),
                               y - off_mm + noise_mm * noise(dice), contact, 0});
    }
    trace.contacts.push_back(
        {first, static_cast<std::uint32_t>(trace.reports.size()) - first, 0, Ending::lifted, Tool::finger});
  }
  return trace;
}

}  // namespace

TEST_CASE("a log of the recorded sweep agrees, whatever its clock and the finger's place on the icon") {
  for (const std::uint64_t seed : {1u, 2u, 3u}) {
    INFO("seed " << seed);
    const double later = -7.3 + 5.1234 * static_cast<double>(seed);
    const Agreement a =
        agreement_of(sweep(1 / 60.0, 0, 0, 0.05, seed), sweep(1 / 120.0, later, 1.5, 0.1, seed + 9));
    CHECK(a.agrees);
    CHECK(a.later_s == Approx(later).margin(0.004));
    CHECK(a.apart_mm < 0.3);
    CHECK(a.drift_ms < 8);
    CHECK(a.shared > 0.95);
  }
}

TEST_CASE("a log of another sweep does not agree") {
  const Agreement a = agreement_of(sweep(1 / 60.0, 0, 0, 0.05, 1), sweep(1 / 120.0, 2, 0, 0.1, 2, 2.7));
  CHECK_FALSE(a.agrees);
  CHECK(a.apart_mm > 3);
}

TEST_CASE("two that were never down at the same time do not agree") {
  Trace shorter = sweep(1 / 60.0, 0, 0, 0, 1);
  shorter.reports.resize(10);
  shorter.contacts.assign(1, {0, 10, 0, Ending::lifted, Tool::finger});
  const Agreement a = agreement_of(shorter, sweep(1 / 120.0, 0, 0, 0, 1));
  CHECK_FALSE(a.agrees);
  CHECK(a.compared < 30);
}
