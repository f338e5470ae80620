// How one thing looks, learnt while it moves, and where it is in a picture to a fraction of a pixel.
//
// The thing is opaque and moves as one; what is behind it changes. So each pixel of a box about it has a
// mean and a spread over the frames in which it had moved on: a small spread is the thing itself, a large
// one its surroundings. Only steady pixels with a slope decide where it is. Its shadow, a label that fades
// and what shows at its corners drop out by themselves.
//
// The place is found by least squares over shift, size and turn (Gauss-Newton, weights that fade with the
// misfit, so that what covers a part of the thing does not pull it).
#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <utility>
#include <vector>

#include "capture/video/four.hpp"
#include "capture/video/frames.hpp"

namespace paneproof::video {

struct Pose {
  double x = 0, y = 0;         // px of the plane: where the model's centre stands
  double scale = 1, turn = 0;  // against the model; turn in radians, clockwise as seen
};

struct Fit {
  Pose pose;
  double misfit = 1e9;  // mean misfit of what is visible, luma levels, each at most 40
  double visible = 0;   // share of the deciding pixels inside the picture and not covered
  double sd = 0;        // px, one axis: what the fit itself lets slip
  double alike = 0;     // correlation of what is visible with the model
  bool plain = false;   // what is visible of the model has hardly a drawing: `alike` says nothing
  bool good = false;
};

constexpr double unrest_px = 0.35;  // by which a place may be off before it is known to be right
constexpr double smallest_scale = 0.7, largest_scale = 1.45;
// Would it have to grow or shrink beyond all measure to fit? Then it is another thing.
inline bool beyond_size(const Fit& fit) {
  return fit.pose.scale <= smallest_scale || fit.pose.scale >= largest_scale;
}

struct Box {
  int x = 0, y = 0, width = 0, height = 0;
};

class Model {
 public:
  // From a picture: `core` is surely part of the thing, the box reaches `margin` px further each way.
  Model(const Plane& plane, const Box& core, int margin);

  // Of the picture it was made from, what lies still behind it or beside it: it decides nothing until it has
  // been seen to move along, in four pictures. `lies(x, y)` is asked for each px of the core.
  template <class Lies>
  void leave_out(const Box& core, Lies lies) {
    for (int y = 0; y < core.height; ++y)
      for (int x = 0; x < core.width; ++x)
        if (lies(core.x + x, core.y + y))
          count_[static_cast<std::size_t>(core_.y + y) * width_ + core_.x + x] = 0;
    choose();
  }

  // Whether its size and turn may change; at first they may not.
  void let_size_change(bool may) { sized_ = may; }
  // Its size changes only where much tells so, until its plate is known.
  void keep_size_firm() { firm_ = true; }

  // Least squares from a first guess. No search: the guess must be within a few px.
  Fit refine(const Plane& plane, const Pose& guess) const;
  // How thoroughly it is looked for.
  struct Care {
    // At every px, for a fine drawing, and the rather where more of it lies in the picture; else at every
    // second.
    bool every_px = false;
    std::function<bool(double, double)> barred;  // places at which it cannot be
  };
  // Looks up to `reach` px about the guess, then refines.
  Fit search(const Plane& plane, const Pose& guess, int reach, const Care& care) const;
  Fit search(const Plane& plane, const Pose& guess, int reach) const {
    return search(plane, guess, reach, {});
  }
  // Takes the picture into the mean and spread, unless the thing has hardly moved since the last time.
  void learn(const Plane& plane, const Fit& fit);
  struct Seen {
    const Plane* plane;
    Pose at;
  };
  // Forgets what it has learnt, and learns these, as if one by one: what decides is chosen but once.
  void learn_anew(const std::vector<Seen>& seen);

  int width() const { return width_; }
  int height() const { return height_; }
  int learnt() const { return learnt_; }
  double contrast() const { return contrast_; }
  double mean(int x, int y) const { return mean_[static_cast<std::size_t>(y) * width_ + x]; }
  double spread(int x, int y) const;
  int count(int x, int y) const { return count_[static_cast<std::size_t>(y) * width_ + x]; }
  // The place in the model that a pose's x and y stand for, px from its top left.
  double origin_x() const { return origin_x_; }
  double origin_y() const { return origin_y_; }
  const Box& core() const { return core_; }
  // Mean place of the deciding pixels, px from the top left.
  std::pair<double, double> middle() const;
  // Keeps another part of it: from (x, y), which may lie outside. The origin stays at the same place of the
  // thing.
  void reframe(int x, int y, int width, int height);
  // From this one picture alone, as if it had been seen often and never changed.
  void take_as_known();
  // From now on everything in this rounded box (px from the top left; radius over the shorter side) is surely
  // part of the thing.
  void trust(const Box& core, double corner);
  // The origin becomes this place, px from the old one; poses must be moved along (see follow.cpp).
  void move_origin(double x, double y);
  // How far the thing has moved about in the direction in which it did least, px: what lies along a straight
  // way looks as steady as the thing itself.
  double tried() const;
  // And in the direction in which it did most.
  double went() const;

 private:
  struct Deciding {
    float u, v, value, slope_x, slope_y, weight;
  };
  struct Packed {  // four of them; none: without weight
    Four u{}, v{}, value{}, slope_x{}, slope_y{}, weight{};
    Four slack{};  // levels by which it is off when its place is off by unrest_px
  };
  struct Spot {  // one of few_ as it lies about a pose
    float x, y, weight;
    int at, value;  // at: pixels from the place's own
    int slack;      // levels, for a place between two that are asked
  };
  void choose();
  void forget();
  bool moved_on(const Pose& at) const { return std::hypot(at.x - last_x_, at.y - last_y_) >= 1.5; }
  bool due() const;
  void take_in(const Plane& plane, const Pose& at);
  void take(std::size_t k, float value);
  void take_four(std::size_t k, Four value);
  double misfit_at(const Plane& plane, const std::vector<Spot>& spots, float x, float y, int at, double limit,
                   bool rather_inside) const;

  int width_, height_, learnt_ = 1, chosen_at_ = 0;
  double origin_x_, origin_y_;
  Box core_;
  double corner_ = 0;
  std::vector<float> mean_, square_;
  std::vector<std::uint16_t> count_;
  std::vector<Deciding> deciding_, few_;
  std::vector<Packed> packed_;
  bool sized_ = true, firm_ = false;
  struct {
    double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
  } way_;  // moments of the places at which was learnt
  double contrast_ = 0, last_x_, last_y_, spread_out_ = 1;
};

}  // namespace paneproof::video
