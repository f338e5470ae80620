// What is told about a recording: where the dragged thing was, frame by frame, and how it was let go.
// Positions in px as displayed, from the top left; times from the first frame.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace paneproof::video {

struct Row {
  std::int64_t t_us = 0;
  int contact = 0;
  double x = 0, y = 0, sd = 0;  // px; sd of one axis
};

struct LetGo {
  enum class Kind { drop, release, doubt, lost, end } kind = Kind::end;
  int contact = 0;
  std::int64_t t_us = 0;  // last frame in which it was held
  double x = 0, y = 0;
};

struct Path {
  std::vector<Row> rows;          // in order of time
  std::vector<LetGo> endings;     // one a contact
  std::int64_t frames = 0, last_us = 0;
  std::int64_t held_frames = 0;   // from each grab's first to its last frame, known or not
};

}  // namespace paneproof::video
