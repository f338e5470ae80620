#include "capture/video/show.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "capture/model/input_error.hpp"
#include "capture/video/frames.hpp"
#include "tests/clips/encode.hpp"

using namespace paneproof;
namespace fs = std::filesystem;

namespace {

// Twenty frames, a light square that moves; a path over it that ends in a drop.
video::Path small_clip(const fs::path& file) {
  clips::EncodeOptions options;
  options.codec = "mpeg4";
  clips::ClipWriter writer(file, 320, 480, options);
  video::Path path;
  clips::Canvas canvas{320, 480, {}};
  for (int k = 0; k < 20; ++k) {
    canvas.luma.assign(320 * 480, 60);
    clips::draw_bar(canvas, 40 + 8.0 * k, 200, 60, 60, 5, 220, 1);
    writer.add(canvas, k * 40'000);
    if (k < 12) path.rows.push_back({k * 40'000, 1, 70 + 8.0 * k, 230, 0.1});
  }
  writer.finish();
  path.endings.push_back({LetGo::Kind::drop, 1, 11 * 40'000, 158, 230});
  return path;
}

struct Folder {
  fs::path at = fs::temp_directory_path() / ("paneproof-show-" + std::to_string(getpid()));
  Folder() { fs::create_directories(at); }
  ~Folder() { fs::remove_all(at); }
};

}  // namespace

TEST_CASE("a drop has a strip of nine frames, and the annotated video every frame at its time") {
  const Folder folder;
  const video::Path path = small_clip(folder.at / "clip.mp4");
  video::show(folder.at / "clip.mp4", path, {folder.at / "strips", folder.at / "out.mp4"}, [](double) {});
  std::ifstream strip(folder.at / "strips" / "drop-1.png", std::ios::binary);
  std::string head(24, 0);
  strip.read(head.data(), 24);
  // ISO/IEC 15948 (PNG) 5.2 and 11.2.2: signature, then IHDR with the width first.
  REQUIRE(head.substr(1, 3) == "PNG");
  const int width = (static_cast<unsigned char>(head[18]) << 8) | static_cast<unsigned char>(head[19]);
  CHECK(width == 9 * (320 + 4) + 4);
  video::Frames frames(folder.at / "out.mp4", {}, 4000);
  int count = 0;
  for (video::Frame frame; frames.next(frame); ++count) CHECK(frame.t_us == count * 40'000);
  CHECK(count == 20);
}

TEST_CASE("where the annotated video or the strips cannot be made nothing is left") {
  const Folder folder;
  const video::Path path = small_clip(folder.at / "clip.mp4");
  CHECK_THROWS_AS(
      video::show(folder.at / "clip.mp4", path, {"", folder.at / "none" / "out.mp4"}, [](double) {}),
      InputError);
  std::ofstream(folder.at / "file") << "x";
  CHECK_THROWS_AS(
      video::show(folder.at / "clip.mp4", path, {folder.at / "file", folder.at / "out.mp4"}, [](double) {}),
      InputError);
  CHECK_FALSE(fs::exists(folder.at / "out.mp4"));
}
