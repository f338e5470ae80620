#include "tests/clips/camera.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <opencv2/imgproc.hpp>

namespace paneproof::clips {

Camera::Camera(std::uint64_t seed, int screen_width, int screen_height, int width, int height)
    : dice_(seed * 131 + 7),
      screen_width_(screen_width),
      screen_height_(screen_height),
      width_(width),
      height_(height),
      glare_x_(pick(dice_, 0.2, 0.8) * width),
      glare_y_(pick(dice_, 0.2, 0.8) * height),
      tremble_(pick(dice_, 0, 1.2)) {
  const double scale = 0.82 * std::min(1.0 * width / screen_width, 1.0 * height / screen_height),
               a = scale * screen_width / 2, b = scale * screen_height / 2, turn = pick(dice_, -0.12, 0.12);
  const double lean = pick(dice_, -0.08, 0.08);
  const double xs[] = {-a, a, a, -a}, ys[] = {-b, -b, b, b};
  for (std::size_t k = 0; k < 4; ++k) {
    const double far = 1 + lean * ys[k] / b;
    corner_[2 * k] = width / 2.0 + far * (xs[k] * std::cos(turn) - ys[k] * std::sin(turn));
    corner_[2 * k + 1] = height / 2.0 + far * (xs[k] * std::sin(turn) + ys[k] * std::cos(turn));
  }
}

std::string Camera::corners() const {
  char text[200];
  std::snprintf(text, sizeof text, "%.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f,%.1f", corner_[0], corner_[1],
                corner_[2], corner_[3], corner_[4], corner_[5], corner_[6], corner_[7]);
  return text;
}

void Camera::shoot(const Canvas& screen, const Moment& moment, Canvas& film) {
  const double dx = tremble_ * std::sin(2.1 * moment.t_s), dy = tremble_ * (std::cos(1.7 * moment.t_s) - 1);
  std::vector<cv::Point2f> from, to;
  const double w = screen_width_, h = screen_height_, xs[] = {0, w, w, 0}, ys[] = {0, 0, h, h};
  for (std::size_t k = 0; k < 4; ++k) {
    from.emplace_back(static_cast<float>(corner_[2 * k] + dx), static_cast<float>(corner_[2 * k + 1] + dy));
    to.emplace_back(static_cast<float>(xs[k]), static_cast<float>(ys[k]));
  }
  const cv::Mat m = cv::getPerspectiveTransform(from, to);
  film.width = width_, film.height = height_;
  film.luma.resize(static_cast<std::size_t>(width_) * height_);
  if (!moment.held.empty()) hand_x_ = moment.held.front().x, hand_y_ = moment.held.front().y;
  const double size = moment.held.empty() ? 60 : moment.held.front().side;
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x) {
      const double u = x + 0.5, v = y + 0.5;
      const double d = m.at<double>(2, 0) * u + m.at<double>(2, 1) * v + m.at<double>(2, 2);
      const double sx = (m.at<double>(0, 0) * u + m.at<double>(0, 1) * v + m.at<double>(0, 2)) / d,
                   sy = (m.at<double>(1, 0) * u + m.at<double>(1, 1) * v + m.at<double>(1, 2)) / d;
      const double bezel = 0.04 * w;
      double luma = 128 + 20 * std::sin(u * 0.02) + 14 * std::sin(v * 0.031);  // the bench
      if (sx > -bezel && sx < w + bezel && sy > -bezel && sy < h + bezel) luma = 18;
      if (sx >= 0 && sy >= 0 && sx < w && sy < h) {
        const int i = std::min(screen.width - 1, static_cast<int>(sx)),
                  j = std::min(screen.height - 1, static_cast<int>(sy));
        luma = 12 + 0.8 * screen.luma[static_cast<std::size_t>(j) * screen.width + i];
        luma += 70 * std::exp(-(std::pow(u - glare_x_, 2) + std::pow(v - glare_y_, 2)) / (0.02 * w * w));
      }
      // The finger comes from below: it covers the lower part of what it drags, and all under it.
      const double fx = sx - hand_x_ - 0.12 * (sy - hand_y_), fy = sy - hand_y_ - 0.12 * size;
      if (!moment.held.empty() && fy > -0.06 * w &&
          std::abs(fx) <
              (fy < 0 ? 0.06 * w * std::sqrt(1 - std::pow(fy / (0.06 * w), 2)) : 0.06 * w + 0.02 * fy))
        luma = 150 + 25 * (1 - std::abs(fx) / (0.08 * w));
      film.row(y)[x] = static_cast<float>(luma);
    }
  // A little soft, and grain.
  std::vector<float> soft = film.luma;
  for (int y = 1; y + 1 < height_; ++y)
    for (int x = 1; x + 1 < width_; ++x) {
      const float* p = soft.data() + static_cast<std::size_t>(y) * width_ + x;
      const auto grain = static_cast<float>(static_cast<int>(dice_() & 7)) - 3.5F;
      film.row(y)[x] = (4 * p[0] + p[-1] + p[1] + p[-width_] + p[width_]) / 8 + grain;
    }
}

}  // namespace paneproof::clips
