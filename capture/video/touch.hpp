// Follows what a system draws under a finger when touches are shown: dots and rings, several at once, or a
// pair of lines that cross at the finger.
//
// An indicator comes from nothing, is round, moves, and goes into nothing. So each picture is compared with
// the ground: how the screen looked while nothing changed there. What differs in a round spot, where in the
// pictures before nothing differed, is a contact; what was dragged away from its place never is. Memory: one
// picture of the ground, and a place a frame for each contact.
#pragma once

#include <cstdint>
#include <deque>
#include <vector>

#include "capture/video/frames.hpp"
#include "capture/video/path.hpp"
#include "capture/video/touch_look.hpp"

namespace paneproof::video {

struct Sample;

class Touches {
 public:
  explicit Touches(int shrink) : shrink_(shrink) {}
  // One picture after another; `frame` counts them.
  void add(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  // Something was dragged for this many pictures: no longer looks for touches when it has seen few.
  void compare(std::int64_t dragged);
  // Ends what is still there. True when the recording shows touches, and more of them than of what was
  // dragged (in `path`): then `path` tells the touches and nothing else. Where what was dragged may be a mark
  // itself, its drops become doubts all the same.
  bool finish(Path& path);

 private:
  static constexpr int step = 2;                              // px to one of the coarse grid
  static constexpr int most_missed = 3;                       // pictures without it, and it is gone
  static constexpr std::int64_t unseen_us = 600'000;          // unless it may have gone on unseen, so long
  static constexpr std::ptrdiff_t most_at_once = 4;           // marks of one hand
  static constexpr std::int64_t rests_us = 120'000;           // at rest: less than a px in this time
  static constexpr std::int64_t longest_rest_us = 2'000'000;  // of a finger that drags something
  static constexpr int most_learnt = 100;                     // pictures of a mark, and its look is known
  static constexpr double most_crowded = 0.1;                 // of the picture differs: a page turns
  static constexpr int telling = 10;                          // levels from the ground
  static constexpr double smallest = 0.025, largest = 0.18;   // of the picture's width
  struct Spot {  // what differs from the ground, joined: px of the plane
    double x = 0, y = 0, width = 0, height = 0;
    int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
    bool round = false, taken = false;
  };
  struct At {
    std::int64_t frame, t_us;
    double x, y;
    bool known;
    bool gone = false;  // nothing is there, in plain view
  };
  struct Contact {
    std::vector<At> way;
    double size = 0, level = 0;
    int missed = 0;
    bool cross = false;
    bool went = false;    // into nothing
    bool came = true;     // from nothing
    bool hidden = false;  // as light as its ground, where it should be now
    bool unseen = false;  // missed, and it was hidden since: it may have gone on
    bool lost = false;    // ended so
    bool back = false;    // ended, and came back sooner than a hand can
    bool weak = false;    // a cross: one of its lines hardly stands out
    int round = 0;        // pictures in which a round spot of its size was there
    double reach = 0;     // px from where it came
    TouchLook look;
    std::int64_t known() const;
  };
  void keep_picture(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  void learn_ground(const Plane& plane);
  std::vector<Spot> spots(const Plane& plane);
  bool centre(const Plane& plane, double size, double& x, double& y, double least) const;
  bool fresh(const Spot& spot) const;
  bool moved_here(const Plane& plane, const Spot& spot, const std::vector<Spot>& found) const;
  void follow_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame, std::int64_t t_us);
  void expect(const Contact& contact, std::int64_t t_us, double& x, double& y) const;
  bool find_look(const Plane& plane, Contact& contact, double& x, double& y);
  bool find_spot(const Plane& plane, Contact& contact, std::vector<Spot>& found, double& x, double& y);
  bool nearer_to_other(std::size_t number, const At& found) const;
  void explain(double x, double y);
  bool alone(const Plane& plane, Contact& contact, double x, double y) const;
  static std::int64_t rested_us(const Contact& contact, std::int64_t t_us);
  void keep_wide(const std::vector<Spot>& found, std::int64_t t_us);
  bool in_wide(double x, double y) const;
  bool may_hide(const Plane& plane, const Contact& contact, double x, double y) const;
  bool gone_on(std::size_t number);
  void start_alike(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  void trace_back(Contact& contact);
  bool start(const Plane& plane, double x, double y, double size, std::int64_t frame, std::int64_t t_us);
  void start_spots(const Plane& plane, std::vector<Spot>& found, std::int64_t frame, std::int64_t t_us);
  void follow_cross(const Plane& plane, std::int64_t frame, std::int64_t t_us);
  // Of a place this large: is the ground seen again, but for the share `most` of it?
  bool restored(const Plane& plane, double x, double y, double size, double most) const;
  bool promises(const Contact& contact) const;
  void keep_one_kind();
  bool mostly_at_rest() const;
  bool mostly_together() const;
  bool is_marks(const Path& path) const;
  void part_where_gone();
  LetGo::Kind kind_of(const Contact& contact, const std::vector<Sample>& samples) const;
  bool hidden(const Contact& contact, double x, double y) const;
  void end(Contact&& contact, bool went, const Plane* plane);

  int shrink_, width_ = 0, height_ = 0;
  bool off_ = false;
  bool doubtful_ = false;  // the look is that of a mark which was not seen to come: it may be what is dragged
  std::vector<std::uint8_t> ground_, last_, quiet_, unrest_;
  std::vector<std::uint8_t> explained_;    // the ground without the marks of this picture; empty: no marks
  TouchLook look_;                         // of all marks: a system draws one kind
  std::vector<std::uint8_t> differs_;      // on the coarse grid
  std::vector<std::vector<Spot>> before_;  // of the last pictures
  struct Old {
    std::int64_t frame, t_us;
    Plane plane;
  };
  std::deque<Old> old_;  // the last pictures: a second until the look of marks is known, then a quarter
  struct Wide {
    int x0, y0, x1, y1;
    std::int64_t t_us;
  };
  std::vector<Wide> wide_;
  std::vector<Contact> open_, closed_;
  std::int64_t frames_ = 0, first_us_ = 0;
  double crowded_ = 0;  // share of the picture that differs from the ground
};

}  // namespace paneproof::video
