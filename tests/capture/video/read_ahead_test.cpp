// No outside source: a thread in between changes nothing of what frames_test.cpp holds against ffprobe.
#include "capture/video/read_ahead.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/clips/encode.hpp"
#include "tests/clips/story.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

constexpr int pictures = 60;  // more than wait at once

// A bar that moves a px a picture. Taken away again with the test.
struct Clip {
  std::string path =
      (std::filesystem::temp_directory_path() / ("paneproof_read_ahead_" + std::to_string(getpid()) + ".mp4"))
          .string();
  Clip() {
    ClipWriter writer(path, 160, 240, EncodeOptions{});
    for (int k = 0; k < pictures; ++k) {
      Canvas canvas{160, 240, std::vector<float>(std::size_t{160} * 240, 40.0F)};
      draw_bar(canvas, 20 + k, 30, 40, 24, 0, 220, 1);
      writer.add(canvas, 16'667 * k);
    }
    writer.finish();
  }
  ~Clip() { std::filesystem::remove(path); }
};

}  // namespace

TEST_CASE("pictures read ahead are those read one by one, in order, to the end") {
  const Clip clip;
  video::Frames one_by_one(clip.path, {}, 250), in_thread(clip.path, {}, 250);
  video::ReadAhead ahead(in_thread);
  video::Frame expected, got;
  int count = 0;
  while (one_by_one.next(expected)) {
    REQUIRE(ahead.next(got));
    CHECK(got.t_us == expected.t_us);
    CHECK(got.plane.luma == expected.plane.luma);
    ++count;
  }
  CHECK(count == pictures);
  CHECK_FALSE(ahead.next(got));
  CHECK_FALSE(ahead.next(got));
}

TEST_CASE("who stops asking before the end waits for nothing") {
  const Clip clip;
  for (const int asked : {0, 1, 13}) {
    video::Frames frames(clip.path, {}, 250);
    video::ReadAhead ahead(frames);
    video::Frame frame;
    for (int k = 0; k < asked; ++k) REQUIRE(ahead.next(frame));
  }
}
