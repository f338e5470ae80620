// Following what is dragged, on made-up recordings whose truth is known (tests/clips). Rendered at the size
// at which pictures are looked at, without a codec. The seeds are fixed; the bounds are those of
// docs/accuracy.md.
#include <catch2/catch.hpp>

#include "capture/video/model.hpp"
#include "tests/clips/scored.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

StoryOptions small_story(std::uint64_t seed, int style) {
  StoryOptions options;
  options.seed = seed, options.style = style;
  options.width = 270, options.height = 600, options.seconds = 8, options.drops = 1;
  return options;
}

}  // namespace

TEST_CASE("an icon dragged over a home screen is followed to a hundredth of the width") {
  for (const std::uint64_t seed : {4u, 6u}) {
    INFO("seed " << seed);
    const Story story = tell_story(small_story(seed, 0));
    const Scored s = scored(story, followed(story));
    CHECK(s.median < 0.01);
    CHECK(s.p95 < 0.01);
    CHECK(s.followed > 0.85);
    CHECK(s.found == s.drops);
    CHECK(s.told == s.drops);
  }
}

TEST_CASE("pages that turn, clocks and banners alone are no drag") {
  for (const std::uint64_t seed : {1u, 2u, 3u}) {
    INFO("seed " << seed);
    StoryOptions options = small_story(seed, 0);
    options.drag = false;
    options.seconds = 6;
    const Story story = tell_story(options);
    CHECK(followed(story).rows.empty());
  }
}

TEST_CASE("a pause of the recorder while all rests is no drop") {
  // Frames only where the picture changes: the same story with its still frames left out.
  StoryOptions options = small_story(6, 0);
  options.drops = 0;
  Story story = tell_story(options);
  std::vector<Moment> kept;
  Canvas canvas, last;
  for (const Moment& moment : story.moments) {
    render(story, moment, canvas);
    if (!kept.empty() && canvas.luma == last.luma) continue;
    last = canvas;
    kept.push_back(moment);
  }
  story.moments = kept;
  for (const video::Ended& end : followed(story).endings) CHECK(end.kind != LetGo::Kind::drop);
}

TEST_CASE("a model finds a moved and enlarged copy of itself to a tenth of a pixel") {
  const auto draw_at = [](double x, double y, double scale) {
    Canvas canvas{200, 200, std::vector<float>(40000, 90.0F)};
    Dice dice(5);
    const Look look = random_look(dice, 0);
    Placed icon;
    icon.look = &look, icon.side = 48, icon.x = x, icon.y = y, icon.scale = scale, icon.label_opacity = 0;
    draw(canvas, icon);
    video::Plane plane{200, 200, std::vector<std::uint8_t>(40000)};
    for (std::size_t i = 0; i < plane.luma.size(); ++i)
      plane.luma[i] = static_cast<std::uint8_t>(std::clamp(canvas.luma[i] + 0.5F, 0.0F, 255.0F));
    return plane;
  };
  const video::Model model(draw_at(100, 100, 1), {74, 74, 52, 52}, 6);
  for (const auto& [x, y, scale] :
       {std::tuple{103.3, 98.6, 1.0}, {100.5, 100.5, 1.08}, {97.25, 101.75, 0.95}}) {
    const video::Fit fit = model.search(draw_at(x, y, scale), {100, 100, 1, 0}, 8);
    CHECK(fit.good);
    CHECK(fit.pose.x == Approx(x).margin(0.1));
    CHECK(fit.pose.y == Approx(y).margin(0.1));
    CHECK(fit.pose.scale == Approx(scale).margin(0.01));
  }
}

TEST_CASE("what would have to grow beyond all measure to fit is another thing") {
  const auto glow = [](double wide) {
    video::Plane plane{240, 240, std::vector<std::uint8_t>(240 * 240)};
    for (int y = 0; y < 240; ++y)
      for (int x = 0; x < 240; ++x)
        plane.row(y)[x] = static_cast<std::uint8_t>(
            90 + 110 * std::exp(-(std::pow(x - 119.5, 2) + std::pow(y - 119.5, 2)) / (2 * wide * wide)));
    return plane;
  };
  const video::Model model(glow(14), {84, 84, 72, 72}, 8);
  CHECK_FALSE(video::beyond_size(model.refine(glow(16), {120, 120, 1.1, 0})));
  CHECK(video::beyond_size(model.refine(glow(21), {120, 120, 1.4, 0})));
}

TEST_CASE("what is partly covered is found off its way only by its very look") {
  video::Fit fit;
  fit.visible = 0.75, fit.alike = 0.98;
  CHECK(video::very_look(fit));
  fit.alike = 0.95;
  CHECK_FALSE(video::very_look(fit));
  fit.visible = 0.9;
  CHECK(video::very_look(fit));
  fit.plain = true;
  CHECK_FALSE(video::very_look(fit));
  fit.plain = false, fit.visible = 0.5, fit.alike = 1;
  CHECK_FALSE(video::very_look(fit));
}
