// A made-up screen as a camera over the bench sees it: in perspective, a little soft, with grain, a hand that
// covers what it drags, glare, and a stand that trembles.
#pragma once

#include <array>
#include <string>

#include "tests/clips/story.hpp"

namespace paneproof::clips {

class Camera {
 public:
  Camera(std::uint64_t seed, int screen_width, int screen_height, int width, int height);
  // The screen's corners in the first picture: X,Y four times from the top left clockwise.
  std::string corners() const;
  void shoot(const Canvas& screen, const Moment& moment, Canvas& film);

 private:
  Dice dice_;
  int screen_width_, screen_height_, width_, height_;
  std::array<double, 8> corner_{};
  std::array<double, 9> to_screen_{};
  double glare_x_, glare_y_, tremble_;
  double hand_x_ = -1e6, hand_y_ = -1e6;
};

}  // namespace paneproof::clips
