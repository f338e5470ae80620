// Frames of a recording: luma only, as a viewer shows them (turned as the container says, full 0..255
// range or as stored), each with the container's presentation time. Reduced by a whole factor while it is
// read: nothing later needs more than a few hundred pixels across.
//
// Source of times: the packets' presentation stamps after edit lists, as libavformat gives them.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace paneproof::video {

// One byte a pixel, rows one after another; pixel i spans [i, i + 1).
struct Plane {
  int width = 0, height = 0;
  std::vector<std::uint8_t> luma;
  const std::uint8_t* row(int y) const { return luma.data() + static_cast<std::size_t>(y) * width; }
  std::uint8_t* row(int y) { return luma.data() + static_cast<std::size_t>(y) * width; }
};

struct StreamFacts {
  int width = 0, height = 0;  // px as displayed
  int shrink = 1;             // displayed px to one pixel of a Plane, both ways: 1, 2, 4, 8 ...
  double duration_s = 0;      // as the container says; 0 when it does not
  std::string codec, container;
};

struct Frame {
  std::int64_t t_us = 0;  // from the first frame's presentation time
  Plane plane;
};

struct Limits {
  double longest_s = 3600;
  std::int64_t most_pixels = 64 << 20;
};

// Opens the file. Throws InputError (65, 66): no file, no video stream, a still picture, a codec that is not
// known, a picture or a duration over the limits (before anything is decoded).
class Frames {
 public:
  Frames(const std::string& path, const Limits& limits, int work_width);
  ~Frames();
  Frames(const Frames&) = delete;
  Frames& operator=(const Frames&) = delete;

  const StreamFacts& facts() const { return facts_; }
  // work_width: the shorter side of a Plane is this to twice this, as far as the picture has it.
  // The next frame in order of presentation; false at the end. Damaged frames are left out and counted.
  bool next(Frame& frame);
  bool cut() const { return cut_; }  // the file ends before its end, or data in it is damaged
  std::int64_t damaged() const { return damaged_; }

 private:
  struct Inner;
  std::unique_ptr<Inner> inner_;
  StreamFacts facts_;
  bool cut_ = false;
  std::int64_t damaged_ = 0;
};

}  // namespace paneproof::video
