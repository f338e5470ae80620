// MSC_TIMESTAMP: kernel event-codes.rst, EV_MSC: microseconds, uint32, wraps, may be reset to 0.
#include "capture/log/frame_clock.hpp"

#include <catch2/catch.hpp>
#include <random>

using namespace paneproof;

namespace {

// Frames every 8 ms by the panel's clock; the host sees them up to 3 ms late.
struct Jittered {
  std::mt19937 random{99};
  std::int64_t true_us = 0;
  std::int64_t next_host() {
    true_us += 8000;
    return true_us + static_cast<std::int64_t>(random() % 3000);
  }
};

// The largest step away from 8 ms over the last frames of a run.
template <typename Stamp>
std::int64_t worst_step(Stamp stamp, bool& trusted) {
  Jittered frames;
  FrameClock clock;
  std::int64_t before = 0, worst = 0;
  for (int i = 0; i < 400; ++i) {
    const std::int64_t host = frames.next_host();
    const std::int64_t t = clock.time(host, stamp(frames.true_us));
    if (i > 100) worst = std::max(worst, std::abs(t - before - 8000));
    before = t;
  }
  trusted = clock.uses_stamps();
  return worst;
}

}  // namespace

TEST_CASE("without stamps a frame has the host's time") {
  FrameClock clock;
  CHECK(clock.time(8000, {}) == 8000);
  CHECK(clock.time(16123, {}) == 16123);
}

TEST_CASE("stamps that track the host take its jitter out, across their wrap") {
  bool trusted = false;
  CHECK(worst_step([](std::int64_t t) { return static_cast<std::uint32_t>(t + 4294000000); }, trusted) < 100);
  CHECK(trusted);
}

TEST_CASE("stamps in another unit, or that stand still, are not used") {
  bool trusted = true;
  CHECK(worst_step([](std::int64_t t) { return static_cast<std::uint32_t>(t / 100); }, trusted) > 500);
  CHECK_FALSE(trusted);
  worst_step([](std::int64_t) { return std::uint32_t{7}; }, trusted);
  CHECK_FALSE(trusted);
}

TEST_CASE("stamps that start again at 0 after a pause go on being used") {
  FrameClock clock;
  std::int64_t host = 0;
  std::uint32_t stamp = 5000;
  for (int i = 0; i < 50; ++i) clock.time(host += 8000, stamp += 8000);
  REQUIRE(clock.uses_stamps());
  host += 2000000;
  stamp = 0;
  const std::int64_t first = clock.time(host, stamp);
  CHECK(first == host);
  CHECK(clock.time(host + 9500, stamp + 8000) - first <= 8100);
  CHECK(clock.uses_stamps());
}

TEST_CASE("any stamps and any pauses leave time in order and near the host's") {
  const unsigned seed = 31;
  CAPTURE(seed);
  std::mt19937 random(seed);
  FrameClock clock;
  std::int64_t host = 0, before = 0;
  for (int i = 0; i < 20000; ++i) {
    host += random() % 100 == 0 ? random() % 3000000 : random() % 16000;
    const std::uint32_t stamp =
        random() % 50 == 0 ? random() : static_cast<std::uint32_t>(host + random() % 5000);
    const std::int64_t t =
        clock.time(host, random() % 20 == 0 ? std::nullopt : std::optional<std::uint32_t>(stamp));
    REQUIRE(t >= before);
    REQUIRE(std::abs(t - host) <= 100000);
    before = t;
  }
}
