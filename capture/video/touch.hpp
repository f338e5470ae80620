// Follows what a system draws under a finger when touches are shown: dots and rings, several at once, or a
// pair of lines that cross at the finger.
//
// An indicator comes from nothing, is round, moves, and goes into nothing. So each picture is compared with
// the ground: how the screen looked while nothing changed there. What differs in a round spot, where in the
// pictures before nothing differed, is a contact; what was dragged away from its place never is. Memory: one
// picture of the ground, and a place a frame for each contact.
#pragma once

#include <cstdint>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/path.hpp"

namespace paneproof::video {

class Touches {
 public:
  explicit Touches(int shrink) : shrink_(shrink) {}
  // One picture after another; `frame` counts them.
  void add(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  // Something was dragged for this many pictures: no longer looks for touches when it has seen few.
  void compare(std::int64_t dragged);
  // Ends what is still there. True when the recording shows touches, and more of them than of what was
  // dragged (in `path`): then `path` tells the touches and nothing else.
  bool finish(Path& path);

 private:
  static constexpr int step = 2;         // px to one of the coarse grid
  static constexpr int most_missed = 3;  // pictures without it, and it is gone
  struct Spot {                          // what differs from the ground, joined: px of the plane
    double x = 0, y = 0, width = 0, height = 0;
    int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    bool round = false, taken = false;
  };
  struct At {
    std::int64_t frame, t_us;
    double x, y;
    bool known;
  };
  struct Contact {
    std::vector<At> way;
    double size = 0, level = 0;
    int missed = 0;
    bool cross = false;
    bool went = false;  // into nothing
    int round = 0;      // pictures in which a round spot of its size was there
    std::int64_t known() const;
  };
  void learn_ground(const Plane& plane);
  std::vector<Spot> spots(const Plane& plane);
  bool centre(const Plane& plane, double size, double& x, double& y, double least) const;
  bool fresh(const Spot& spot) const;
  void follow_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame, std::int64_t t_us);
  void start_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame, std::int64_t t_us);
  void follow_cross(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  bool restored(const Plane& plane, const Contact& contact) const;
  void keep_one_kind();
  bool hidden(const Contact& contact, double x, double y) const;
  void end(Contact&& contact, bool went, const Plane* plane);

  int shrink_, width_ = 0, height_ = 0;
  bool off_ = false;
  std::vector<std::uint8_t> ground_, last_, quiet_;
  std::vector<std::uint8_t> differs_;      // on the coarse grid
  std::vector<std::vector<Spot>> before_;  // of the last pictures
  std::vector<Contact> open_, closed_;
  std::int64_t frames_ = 0, first_us_ = 0;
  double crowded_ = 0;  // share of the picture that differs from the ground
};

}  // namespace paneproof::video
