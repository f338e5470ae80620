// Finds what is dragged and follows it from grab to let-go, over the pictures of a recording in order.
//
// No one says what is dragged. Whatever moves apart from its surroundings is a candidate and is followed for
// a moment; other icons that make room stop after a third of a second, pages and banners move as a whole,
// so the one that goes on is held. Its way back to the moment it was lifted is then read from the pictures
// kept of the last seconds. Memory is bounded: pictures of two seconds, and a pose a frame.
#pragma once

#include <cmath>
#include <deque>
#include <memory>
#include <optional>
#include <vector>

#include "capture/video/model.hpp"
#include "capture/video/path.hpp"
#include "capture/video/plate.hpp"
#include "capture/video/seek.hpp"
#include "capture/video/touch.hpp"
#include "capture/video/under_finger.hpp"

namespace paneproof::video {

struct Sample {
  std::int64_t frame = 0, t_us = 0;
  Pose pose;
  double sd = 0, misfit = 0, visible = 1;
  bool known = false;  // false: looked for and not found
  double beside = -1;  // filmed: misfit of what shows beside the finger (under_finger.hpp)
};

inline Sample sample_of(std::int64_t frame, std::int64_t t_us, const Fit& fit) {
  return {frame, t_us, fit.pose, fit.sd, fit.misfit, fit.visible, fit.good};
}

inline double far(const Pose& a, const Pose& b) { return std::hypot(a.x - b.x, a.y - b.y); }

// Is what was found off its way the thing beyond doubt? What is partly covered must be the more alike.
inline bool very_look(const Fit& fit) {
  return fit.visible > 0.6 && fit.alike >= (fit.visible < 0.8 ? 0.97 : 0.9) && !fit.plain;
}

// Where it will be at t_us, from the last known of these samples (or was, when they run back in time).
Pose ahead(const std::vector<Sample>& samples, std::int64_t t_us);

// From what is followed to the middle of the thing, px, by where it was followed while the thing still lay in
// its slot: the middle of these places, for a hand settles while it takes hold.
std::pair<double, double> middle_from(const std::vector<Sample>& samples, std::size_t grab,
                                      const Plate& slot);

struct Track {
  std::unique_ptr<Model> model;
  std::vector<Sample> samples;  // one a frame, without holes
  int missed = 0;
  double usual = 0;           // misfit when all is well
  std::int64_t since_us = 0;  // first motion seen
  std::size_t grab = 0;       // held tracks: sample of the lift
  double rest_scale = 0;      // before the lift; 0: not known
  bool known = false;         // was held before
  bool cut = false;           // cut out as it lay on plain ground, plate and all
  std::int64_t left_us = 0;   // then: the first picture in which it was found elsewhere
  std::int64_t off_us = 0;    // and that in which it was missed where it lay
  std::int64_t lifted = -1;   // and that from which on it was seen lifted there
  std::vector<int> contacts;  // in which it was
  bool row = false;           // of a list: as long as the picture is wide
  bool given_up = false;      // a candidate that went with its page
  bool wide = false;          // the model's box is still large
  bool lost_back = false;     // traced back it was lost before its lift
  int narrow_at = 12;
  Plate plate;  // as last found while still wide
  double half_width = 0, half_height = 0;
  double reach = 0, away = 0;  // px: farthest from its start, and now
  // Pictures from before the lift, and where it was taken up, px: they may tell its plate as it lay.
  struct {
    std::vector<Plane> pictures;
    double x = 0, y = 0;
  } lay;
  // Filmed: what is followed is a part of the thing, with the finger on it. Where it lay tells how far the
  // thing's own middle is from that.
  std::int64_t slot_asked_us = -1;
  std::int64_t taken = -1;    // frame in which the hand lies on it, still in its slot
  std::optional<Plate> slot;  // where it lay, px of the picture
  double slot_sd = 0;         // px, one axis: how well its middle is known
  BesideFinger beside;
  bool by_slot = false;  // followed as it lay there: poses tell where its middle is
};

// Its plate before it was lifted, px of the picture, for where nothing changes about it while it is dragged.
std::optional<Plate> seen_lying(const Track& track);

struct FollowOptions {
  std::optional<double> hint_x, hint_y, hint_t_s;  // px as displayed; s
  bool filmed = false;  // by a camera: a hand moves with what it drags, and no touch marks are drawn
};

class Follow {
 public:
  Follow(int shrink, const FollowOptions& options);
  void add(Frame&& frame);
  Path finish();

 private:
  struct Kept {
    std::int64_t frame, t_us;
    Plane plane;
  };
  Fit look(const Track& track, const std::vector<Sample>& samples, int missed, const Kept& kept,
           bool wide) const;
  void advance(Track& track, const Kept& kept, bool wide);
  bool resting(const Track& track) const;
  void look_for_movers();
  void start_candidate(const Mover& mover, const Kept& earlier);
  void take_up(const Box& box, const Mover& mover, const Kept& earlier);
  struct Known {
    std::unique_ptr<Model> model;
    double usual, scale, held_scale;
    Plate plate;
    std::vector<int> contacts;
  };
  struct Lying {
    Plate plate;                   // x and y are px of the picture
    double x = 0, y = 0;           // where it was seen first
    std::int64_t frame = 0;        // last picture in which it was seen whole
    double width = 0, height = 0;  // and how large
    std::int64_t first = 0;        // picture in which it was seen first
    std::int64_t lay = 0;          // last picture in which it lay there
    std::int64_t lifted = -1;      // since when it is of another size there, as a hand lifts it
    int seen = 0, missed = 0;      // pictures
    std::unique_ptr<Model> model;  // made once it is not seen whole
  };
  // Of what left its place: when it was found elsewhere, since when it was missed, how far off it was, px,
  // and of how many that lay.
  struct Departure {
    std::int64_t left_us, off_us;
    double dx, dy;
    int of;
  };
  bool is_slow() const;
  bool lies_there(double x, double y) const;
  bool is_taken(double x, double y, double half_x, double half_y) const;
  static bool raised_there(const Lying& lying, const Plane& plane);
  void see_what_lies();
  bool is_of_lying(const Box& box) const;
  bool is_slot(double x, double y) const;
  void cut_out(Lying& lying) const;
  void look_for_left();
  Fit find_all_over(const Model& model, const Plane& now, const Plane& other, const Pose& guess) const;
  Fit look_for_cut(const Track& track, const std::vector<Sample>& samples, const Kept& kept) const;
  bool is_held_at(double x, double y) const;
  Track track_of(Lying& lying) const;
  bool made_room_for(const Track& track) const;
  bool left_with_page(const Track& track) const;
  bool take_stopped(Track& track);
  void trace_back_cut(Track& track);
  std::optional<std::size_t> lies_again(const Track& track) const;
  Fit find_known(const Known& known, const Pose& at) const;
  Track track_of(const Known& known, const Fit& fit, std::int64_t since_us) const;
  bool start_known(const Pose& at, const Kept& earlier);
  void recognise();
  void trace_back(Track& track);
  void find_lift(Track& track, std::size_t moving);
  void settle_sizes(Track& track, std::size_t first, std::size_t last);
  void learn_wide(Track& track);
  void learn_what_fits(Track& track);
  void narrow(Track& track);
  void narrow_to(Track& track, const Plate& plate);
  void relearn(Track& track);
  void look_again(Track& track);
  void recentre(Track& track, const Plate& plate);
  void take_hint();
  void ask_slot(Track& track, bool last_word);
  bool is_near(const Pose& pose, const Plate& slot) const;
  std::optional<Track> from_slot(const Track& track);
  static std::ptrdiff_t known_of(const Track& track);
  static std::int64_t last_known(const Track& track);
  bool goes_on_by_slot(Track& track);
  static bool rested(const Track& track);
  bool lies_yet(const Track& track, const std::vector<const Plane*>& before, const Plate& slot) const;
  void keep_lying(Track& track);
  bool is_page(const Track& track) const;
  bool take_lifted(Track& track);
  void judge_candidates();
  void judge_held(bool at_end);
  bool lay_there(const Track& track, std::size_t last, const Pose& there, double most) const;
  void close(std::size_t last, LetGo::Kind kind, bool lifted = false);
  void close_filmed(std::size_t last, LetGo::Kind kind, bool lifted);
  void count_held(const Track& track, std::size_t last);
  void put_right(const Track& track, const Plate& plate, double scale);
  const Kept* kept_at(std::int64_t frame) const;
  // Seen as displayed, and no row among others much like it.
  bool stands_out(const Track& track) const { return !options_.filmed && !track.row; }

  int shrink_;
  FollowOptions options_;
  std::deque<Kept> kept_;
  std::deque<Kept> past_;  // filmed: few, and from longer ago
  struct Left {
    Plate slot;
    Plane lay;  // with the thing in it
  };
  std::deque<Left> left_;  // filmed: slots that things were taken from
  struct Half {
    std::int64_t frame, t_us;
    Plane plane;
  };
  std::deque<Half> halves_;
  std::vector<Plane> spare_;
  std::vector<Track> candidates_;
  std::optional<Track> held_;
  std::vector<Lying> lying_;                     // on plain ground
  std::deque<std::pair<double, double>> slots_;  // middles of where something lay, px
  std::deque<Departure> departures_;             // of a while
  std::vector<Known> known_;                     // things held before, with what was learnt of them
  std::int64_t last_seek_us_ = -1'000'000, closed_frame_ = -1;
  Path path_;
  Touches touches_;
  int contacts_ = 0;
};

}  // namespace paneproof::video
