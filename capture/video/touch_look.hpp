// How a touch mark is drawn: by the distance from its middle, what of the ground shows through and what is
// laid over it. With it a mark is found where it covers a strange ground, joins another one, or is cut off by
// the picture's side.
//
// Of a ring of pixels at one distance, shown = through * ground + laid, fitted over the pictures in which the
// mark stood alone; on an even ground alone the two cannot be told apart, and half is taken to show through.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "capture/video/frames.hpp"

namespace paneproof::video {

class TouchLook {
 public:
  TouchLook() = default;
  explicit TouchLook(double size);  // px across
  double size() const { return size_; }
  int learnt() const { return learnt_; }
  bool ready() const { return learnt_ >= 6; }
  // Takes one more in: looks are asked after settle().
  void take_in(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y);
  void settle();
  void learn(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) {
    take_in(plane, ground, x, y);
    settle();
  }

  struct Match {
    double gain = 0;      // levels: how much less is unexplained with a mark here than without
    double expected = 0;  // the same, were the mark here beyond doubt
    double pixels = 0;    // of it, in the picture
    double share() const { return expected > 0 ? gain / expected : 0; }
    bool visible() const { return expected > 2 * pixels && pixels > 0; }
  };
  // `unrest`: levels by which the ground itself changes, where it is not known well.
  // `every`: of its rows and columns, for a first look.
  Match at(const Plane& plane, const std::vector<std::uint8_t>& ground,
           const std::vector<std::uint8_t>& unrest, double x, double y, int every = 1) const;
  // Where the picture is the ground all about, so that no mark is there: maybe() would say so as well.
  class Quiet {
   public:
    static constexpr int block = 16;
    Quiet(const Plane& plane, const std::vector<std::uint8_t>& ground, double reach);
    bool at(int x, int y) const {
      return quiet_[static_cast<std::size_t>(y / block) * columns_ + x / block] != 0;
    }

   private:
    int columns_, rows_;
    std::vector<std::uint8_t> quiet_;
  };
  Quiet quiet(const Plane& plane, const std::vector<std::uint8_t>& ground) const {
    return Quiet(plane, ground, strong_ + 2);
  }
  // Would a mark here be seen beyond doubt? Where it was seen on one even ground only, it may be anything
  // from opaque to a mere tint, and on another ground as light as that.
  bool surely_seen(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) const;
  // By a few of its pixels: may a mark be here at all?
  bool maybe(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) const;
  double differs_about(const Plane& plane, const std::vector<std::uint8_t>& ground, double x, double y) const;
  // Best place within `reach` px of (x, y), which becomes it, to a tenth of a px; less closely where it is
  // plain that no place has a share of `least`.
  Match find(const Plane& plane, const std::vector<std::uint8_t>& ground,
             const std::vector<std::uint8_t>& unrest, double& x, double& y, double reach,
             double least = 0) const;
  // Lays a mark over the ground.
  void paint(std::vector<std::uint8_t>& ground, int width, int height, double x, double y) const;

 private:
  struct Ring {
    double n = 0, b = 0, i = 0, bb = 0, bi = 0;
    float through = 0.5F, laid = 0;
    bool told = false;  // `through` is known: the ground varied
  };
  // Of a place at a distance from the middle: shown = through * ground + laid.
  struct Shade {
    float through = 1, laid = 0;
  };
  // Where it shows best, for each level of the ground: does it tell (0: no), and between which levels, and
  // how far from the ground, is what looks like a mark.
  struct Screen {
    std::uint8_t told = 0, from = 1, to = 0, apart = 0;
  };
  Shade shade(double r) const;
  float shown(float ground, double r) const;
  void tabulate();
  double size_ = 0, reach_ = 0, strong_ = 0;  // px; strong_: from the middle, where it shows best
  int learnt_ = 0;
  std::vector<Ring> rings_;    // half a px each
  std::vector<Shade> shades_;  // a sixteenth of a px each
  std::array<Screen, 256> screen_{};
  std::array<double, 3> ways_out_{};  // px from the middle: where screen_ is asked
};

}  // namespace paneproof::video
