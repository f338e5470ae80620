// Reading recordings: times, sizes and turns as the container tells them, and what is refused. The outside
// check is ffprobe (Debian package ffmpeg), an independent front end; times are compared one by one.
#include "capture/video/frames.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "capture/model/input_error.hpp"
#include "tests/clips/encode.hpp"
#include "tests/clips/story.hpp"

using namespace paneproof;
using namespace paneproof::clips;

namespace {

std::string place(const std::string& name) {
  const std::string own = "paneproof_frames_" + std::to_string(getpid()) + "_";
  return (std::filesystem::temp_directory_path() / (own + name)).string();
}

// A white square near the top left of a dark picture, which moves one px a frame.
Canvas picture(int width, int height, int step) {
  Canvas canvas{width, height, std::vector<float>(static_cast<std::size_t>(width) * height, 40.0F)};
  draw_bar(canvas, 20 + step, 30, 40, 24, 0, 220, 1);
  return canvas;
}

const std::vector<std::int64_t>& uneven_us() {
  static const std::vector<std::int64_t> times{500'000, 516'000,   533'000,   700'000,
                                               710'000, 1'200'000, 1'220'000, 1'240'000};
  return times;
}

std::string written(const std::string& name, const EncodeOptions& options, int width = 160,
                    int height = 240) {
  const std::string path = place(name);
  ClipWriter writer(path, width, height, options);
  int step = 0;
  for (const std::int64_t t : uneven_us()) writer.add(picture(width, height, step++), t);
  writer.finish();
  return path;
}

std::vector<double> probed_s(const std::string& path) {
  std::vector<double> times;
  std::FILE* pipe = popen(
      ("ffprobe -v error -select_streams v -show_entries frame=best_effort_timestamp_time -of csv=p=0 '" +
       path + "'")
          .c_str(),
      "r");
  REQUIRE(pipe);
  char line[128];
  while (std::fgets(line, sizeof line, pipe))
    if (line[0] >= '0' && line[0] <= '9') times.push_back(std::atof(line));
  pclose(pipe);
  return times;
}

std::vector<video::Frame> all(const std::string& path, video::StreamFacts& facts) {
  video::Frames frames(path, {}, 250);
  facts = frames.facts();
  std::vector<video::Frame> list;
  for (video::Frame frame; frames.next(frame);) list.push_back(frame);
  return list;
}

std::string refusal(const std::string& path) {
  try {
    video::StreamFacts facts;
    all(path, facts);
  } catch (const InputError& error) {
    return error.expected;
  }
  return "";
}

}  // namespace

TEST_CASE("frame times are the container's, from the first frame, as ffprobe reads them") {
  struct Kind {
    const char *name, *codec;
  } kinds[] = {{"a.mp4", "libx264"},
               {"a.mkv", "libx264"},
               {"a.mov", "mpeg4"},
               {"a.webm", "libvpx-vp9"},
               {"a.gif", "gif"}};
  for (const auto& [name, codec] : kinds) {
    INFO(name);
    EncodeOptions options;
    options.codec = codec;
    const std::string path = written(name, options);
    video::StreamFacts facts;
    const std::vector<video::Frame> frames = all(path, facts);
    const std::vector<double> probed = probed_s(path);
    CHECK(facts.width == 160);
    CHECK(facts.height == 240);
    REQUIRE(frames.size() == probed.size());
    REQUIRE(frames.size() == uneven_us().size());
    for (std::size_t i = 0; i < frames.size(); ++i)
      CHECK(frames[i].t_us * 1e-6 == Approx(probed[i] - probed[0]).margin(2e-6));
    std::filesystem::remove(path);
  }
}

TEST_CASE("a turned recording is read as a viewer shows it") {
  for (const int turn : {0, 90, 180, 270}) {
    INFO(turn);
    EncodeOptions options;
    options.rotate_deg = turn;
    const std::string path = written("turned.mp4", options);
    video::StreamFacts facts;
    const std::vector<video::Frame> frames = all(path, facts);
    CHECK(facts.width == 160);
    CHECK(facts.height == 240);
    REQUIRE(!frames.empty());
    const video::Plane& plane = frames.front().plane;
    CHECK(static_cast<int>(plane.row(42)[40]) > 150);   // in the square
    CHECK(static_cast<int>(plane.row(200)[120]) < 90);  // far from it
    std::filesystem::remove(path);
  }
}

TEST_CASE("ten bits and full range are read as brightness") {
  for (const bool ten : {false, true})
    for (const bool full : {false, true}) {
      EncodeOptions options;
      options.ten_bit = ten, options.full_range = full;
      const std::string path = written("range.mp4", options);
      video::StreamFacts facts;
      const std::vector<video::Frame> frames = all(path, facts);
      REQUIRE(frames.size() == uneven_us().size());
      const video::Plane& plane = frames.front().plane;
      CHECK(plane.row(42)[40] - plane.row(200)[120] > 120);
      std::filesystem::remove(path);
    }
}

TEST_CASE("reducing keeps the mean of each square") {
  EncodeOptions options;
  options.quality = 1;
  const std::string path = written("large.mp4", options, 1024, 1088);
  video::StreamFacts facts;
  const std::vector<video::Frame> frames = all(path, facts);
  CHECK(facts.shrink == 4);
  REQUIRE(!frames.empty());
  CHECK(frames.front().plane.width == 256);
  // The square spans x 20..60: px 5 to 14 of the reduced plane are wholly inside.
  CHECK(std::abs(frames.front().plane.row(10)[5] - frames.front().plane.row(10)[14]) < 6);
  CHECK(frames.front().plane.row(10)[5] - frames.front().plane.row(10)[4] > 100);
  std::filesystem::remove(path);
}

TEST_CASE("a recording that is cut in the middle counts up to there") {
  EncodeOptions options;
  const std::string path = written("whole.mkv", options), cut = place("cut.mkv");
  std::ifstream in(path, std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(in)), {});
  std::ofstream(cut, std::ios::binary) << bytes.substr(0, bytes.size() * 9 / 10);
  video::StreamFacts facts;
  const std::size_t frames = all(cut, facts).size();
  CHECK(frames > 0);
  CHECK(frames < uneven_us().size());
  std::filesystem::remove(path);
  std::filesystem::remove(cut);
}

TEST_CASE("what is no recording is refused in words") {
  CHECK(refusal(place("nowhere.mp4")).find("file to read") != std::string::npos);
  const std::string rubbish = place("rubbish.mp4");
  std::ofstream(rubbish) << std::string(5000, 'x');
  CHECK(refusal(rubbish).find("container cannot be read") != std::string::npos);
  std::filesystem::remove(rubbish);
}

TEST_CASE("a picture over the limit is refused before it is decoded") {
  const std::string path = place("huge.gif");
  // GIF87a of 30,000 x 30,000 with one frame: the header alone tells the size.
  std::string bytes = "GIF87a";
  for (const int value : {30000, 30000})
    bytes += static_cast<char>(value & 255), bytes += static_cast<char>(value >> 8);
  bytes += std::string("\x80\0\0\0\0\0\xff\xff\xff", 9) + std::string("\x2c\0\0\0\0", 5);
  for (const int value : {30000, 30000})
    bytes += static_cast<char>(value & 255), bytes += static_cast<char>(value >> 8);
  bytes += std::string("\0\x02\x02\x44\x01\0\x3b", 7);
  std::ofstream(path, std::ios::binary) << bytes;
  CHECK(refusal(path).find("30000 x 30000") != std::string::npos);
  std::filesystem::remove(path);
}

TEST_CASE("what is a picture or a sound is called so") {
  const std::string path = place("other.mp4");
  const auto told = [&](const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes << std::string(64, '\0');
    return refusal(path);
  };
  CHECK(told("\x89PNG\r\n\x1a\n").find("still picture") != std::string::npos);
  CHECK(told("\xff\xd8\xff\xe0").find("still picture") != std::string::npos);
  CHECK(told("ID3\x04").find("sound") != std::string::npos);
  CHECK(told("fLaC").find("sound") != std::string::npos);
  std::filesystem::remove(path);
}

TEST_CASE("an mp4 without its index is said to be cut off") {
  const std::string path = written("index.mp4", {}), cut = place("no_index.mp4");
  std::ifstream in(path, std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(in)), {});
  std::ofstream(cut, std::ios::binary) << bytes.substr(0, bytes.size() / 2);
  CHECK(refusal(cut).find("index is missing") != std::string::npos);
  std::filesystem::remove(path);
  std::filesystem::remove(cut);
}

TEST_CASE("a recording of ten hours is refused by its header") {
  const std::string path = place("long.mp4");
  ClipWriter writer(path, 160, 240, {});
  writer.add(picture(160, 240, 0), 0);
  for (int step = 1; step <= 10; ++step)
    writer.add(picture(160, 240, step), std::int64_t{3600} * step * 1000000);
  writer.finish();
  CHECK(refusal(path).find("at most 60 minutes") != std::string::npos);
  std::filesystem::remove(path);
}
