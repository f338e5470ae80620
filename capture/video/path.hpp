// What is told about a recording: where the dragged thing was, frame by frame, and how it was let go.
// Positions in px as displayed, from the top left; times from the first frame.
#pragma once

#include <cstdint>
#include <vector>

#include "capture/model/trace.hpp"

namespace paneproof::video {

struct Row {
  std::int64_t t_us = 0;
  int contact = 0;
  double x = 0, y = 0, sd = 0;  // px; sd of one axis
};

struct Ended {
  LetGo::Kind kind = LetGo::Kind::end;
  int contact = 0;
  std::int64_t t_us = 0;  // last frame in which it was held
  double x = 0, y = 0;
  bool lifted = false;  // seen to be larger, or smaller, while held than before and after: no icon made room
};

struct Path {
  std::vector<Row> rows;       // contact by contact, each in order of time
  std::vector<Ended> endings;  // one a contact
  std::int64_t frames = 0, last_us = 0;
  std::int64_t held_frames = 0;  // from each grab's first to its last frame, known or not
  std::int64_t followed_frames = 0;
  std::int64_t first_held = -1, last_held = -1;  // frame numbers
  double largest_width = 0, largest_height = 0;  // px of the largest thing held
};

}  // namespace paneproof::video
