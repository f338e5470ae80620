// The panel of a filmed device, against the corners that the made-up camera was given.
#include "capture/video/find_panel.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>

#include "capture/video/seek.hpp"
#include "tests/clips/camera.hpp"
#include "tests/clips/plane_of.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

Story short_story(std::uint64_t seed, int style) {
  StoryOptions options;
  options.seed = seed, options.style = style, options.seconds = 0.05;
  return tell_story(options);
}

}  // namespace

TEST_CASE("the panel of a filmed device is found to a thousandth of its width") {
  int found = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    INFO("seed " << seed);
    const Story story = short_story(seed, static_cast<int>(seed % 2));
    Canvas screen, film;
    render(story, story.moments.front(), screen);
    Camera camera(seed, screen.width, screen.height, 1080, 1440);
    camera.shoot(screen, story.moments.front(), film);
    video::Plane half;
    video::halve(plane_of(film), half);
    const auto panel = video::find_panel(half);
    if (!panel) continue;  // a wallpaper as dark as the frame
    ++found;
    double truth[8];
    REQUIRE(std::sscanf(camera.corners().c_str(), "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf", truth, truth + 1,
                        truth + 2, truth + 3, truth + 4, truth + 5, truth + 6, truth + 7) == 8);
    for (std::size_t k = 0; k < 4; ++k)
      CHECK(std::hypot(2 * (*panel)[k].x - truth[2 * k], 2 * (*panel)[k].y - truth[2 * k + 1]) < 0.55);
  }
  CHECK(found >= 5);
}

TEST_CASE("no panel is seen in a screen's own picture") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    INFO("seed " << seed);
    const Story story = short_story(seed, static_cast<int>(seed % 2));
    Canvas screen;
    render(story, story.moments.front(), screen);
    CHECK_FALSE(video::find_panel(plane_of(screen)).has_value());
  }
}
