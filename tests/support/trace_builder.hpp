// A small notation for traces in tests: where a finger went, how fast, and what the panel left out.
//
//   SweepMaker(68, 142).rows(4).lose(disc(30, 70, 6), Lost::contact).trace()
//
// It knows nothing of the analysis and little of fingers: constant pace along straight ways, reports at
// an even rate unless told otherwise. What it makes goes through RecordingBuilder and scale, as a log
// does. Lengths in mm, times in s. Everything random comes from a seed.
#pragma once

#include <cstdint>
#include <functional>
#include <random>
#include <vector>

#include "capture/model/panel.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

struct Spot {
  double x = 0, y = 0;
};

// Which places on the panel.
using Where = std::function<bool(Spot)>;
Where disc(double x, double y, double radius_mm);       // rim of the disc included
Where box(double x0, double x1, double y0, double y1);  // all four sides included

// How a panel leaves reports out.
enum class Lost {
  reports,  // the contact keeps its number: the reports leap
  contact,  // the contact ends, and a new one lands behind the place
};

class SweepMaker {
 public:
  SweepMaker(double width_mm, double height_mm);

  // Of the strokes that follow. 120 Hz and 100 mm/s at first.
  SweepMaker& pace(double rate_hz, double speed_mm_s);
  // Normal noise of every position that follows, each axis by itself; intervals scatter by this share
  // of themselves. None at first.
  SweepMaker& noise(double sigma_mm, std::uint64_t seed, double interval_scatter = 0);

  // One contact along straight ways from spot to spot.
  SweepMaker& stroke(const std::vector<Spot>& way, Ending ending = Ending::lifted, Tool tool = Tool::finger);
  // A contact that stays: reports at the rate, wherever noise puts them.
  SweepMaker& rest(Spot at, double seconds);
  // The last contact goes on from where it ended: a stay of `seconds` without a report, then this way.
  SweepMaker& hold_then(double seconds, const std::vector<Spot>& way);
  // Rows over the whole panel, there and back, each a contact of its own, at most `apart_mm` apart and
  // `inset_mm` inside the glass. columns: the same, upright.
  SweepMaker& rows(double apart_mm, double inset_mm = 1);
  SweepMaker& columns(double apart_mm, double inset_mm = 1);

  // Nothing on the glass between strokes for this long (0.35 s at first).
  SweepMaker& lift(double seconds);
  // The next stroke lands at this time; earlier strokes may still be down.
  SweepMaker& at(double t_s);
  double now_s() const { return now_s_; }

  // Leaves out every report so far that lies there, and tells how the contact fared.
  SweepMaker& lose(const Where& where, Lost how);
  // Leaves out reports of the last stroke from its n-th on, `count` of them.
  SweepMaker& lose_frames(std::size_t first, std::size_t count, Lost how);
  // The capture lost events: contacts down at t_s end as broken, what comes after is a new contact.
  SweepMaker& break_capture(double t_s, double seconds);
  // From t_s on the last two strokes carry each other's number.
  SweepMaker& swap_last_two(double t_s);

  // The whole sweep turned about the panel's middle, or on its side. Rim turns along, masks must be none.
  SweepMaker mirrored_x() const;
  SweepMaker mirrored_y() const;
  SweepMaker transposed() const;

  // Every position sent this many times, as formats do that repeat a resting finger.
  SweepMaker& repeat_unchanged(int times);

  PanelRequest& panel() { return panel_; }
  Trace trace() const;
  std::size_t contact_count() const { return strokes_.size(); }

 private:
  struct Sample {
    double t_s = 0, x = 0, y = 0;
  };
  struct Stroke {
    std::vector<Sample> samples;
    Ending ending = Ending::lifted;
    Tool tool = Tool::finger;
  };

  void walk(Stroke& stroke, const std::vector<Spot>& way);
  void put(Stroke& stroke, double x, double y);
  void drop(const std::function<bool(const Stroke&, std::size_t)>& dropped, Lost how,
            std::size_t from_stroke);
  SweepMaker changed(const std::function<Spot(Spot)>& change) const;

  PanelRequest panel_;
  std::vector<Stroke> strokes_;
  std::vector<Sample> holes_;  // t_s, and the length in x
  double rate_hz_ = 120, speed_mm_s_ = 100, sigma_mm_ = 0, scatter_ = 0, lift_s_ = 0.35, now_s_ = 0;
  int times_ = 1;
  std::mt19937_64 random_{1};
};

}  // namespace paneproof
