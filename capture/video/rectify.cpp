#include "capture/video/rectify.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "capture/video/four.hpp"

namespace paneproof::video {
namespace {

constexpr int patch = 36;  // px about a corner that tell where it is

double side(const Corner& a, const Corner& b) { return std::hypot(b.x - a.x, b.y - a.y); }

}  // namespace

std::optional<Homography> homography(const Corners& to, double width, double height) {
  const Corners from{{{0, 0}, {width, 0}, {width, height}, {0, height}}};
  // Eight equations in the eight unknown, the ninth being 1; solved by elimination with pivots.
  std::array<std::array<double, 9>, 8> a{};
  for (std::size_t k = 0; k < 4; ++k) {
    const double x = from[k].x, y = from[k].y, u = to[k].x, v = to[k].y;
    a[2 * k] = {x, y, 1, 0, 0, 0, -u * x, -u * y, u};
    a[2 * k + 1] = {0, 0, 0, x, y, 1, -v * x, -v * y, v};
  }
  for (std::size_t k = 0; k < 8; ++k) {
    std::size_t pivot = k;
    for (std::size_t i = k + 1; i < 8; ++i)
      if (std::abs(a[i][k]) > std::abs(a[pivot][k])) pivot = i;
    if (std::abs(a[pivot][k]) < 1e-9) return std::nullopt;
    std::swap(a[k], a[pivot]);
    for (std::size_t i = 0; i < 8; ++i) {
      if (i == k) continue;
      const double f = a[i][k] / a[k][k];
      for (std::size_t j = k; j < 9; ++j) a[i][j] -= f * a[k][j];
    }
  }
  Homography h{};
  for (std::size_t k = 0; k < 8; ++k) h[k] = a[k][8] / a[k][k];
  h[8] = 1;
  return h;
}

std::optional<Corners> corners_of(const std::string& text) {
  double v[8];
  char end = 0;
  if (std::sscanf(text.c_str(), "%lf,%lf,%lf,%lf,%lf,%lf,%lf,%lf%c", v, v + 1, v + 2, v + 3, v + 4, v + 5,
                  v + 6, v + 7, &end) != 8)
    return std::nullopt;
  Corners in_picture;
  for (std::size_t k = 0; k < 4; ++k) {
    if (!(std::abs(v[2 * k]) < 1e5 && std::abs(v[2 * k + 1]) < 1e5)) return std::nullopt;
    in_picture[k] = {v[2 * k], v[2 * k + 1]};
  }
  for (std::size_t k = 0; k < 4; ++k) {
    const Corner &a = in_picture[k], &b = in_picture[(k + 1) % 4], &c = in_picture[(k + 2) % 4];
    const double turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
    if (side(a, b) < 40 || turn <= 0) return std::nullopt;
  }
  return in_picture;
}

Rectify::Rectify(const Corners& corners, int shrink) : corners_(corners) {
  for (Corner& c : corners_) c.x /= shrink, c.y /= shrink;
  const double across = (side(corners_[0], corners_[1]) + side(corners_[3], corners_[2])) / 2,
               along = (side(corners_[0], corners_[3]) + side(corners_[1], corners_[2])) / 2;
  const double size = 300 / std::min(across, along);
  width_ = static_cast<int>(std::lround(across * size)),
  height_ = static_cast<int>(std::lround(along * size));
  width_ = std::clamp(width_, 300, 1500), height_ = std::clamp(height_, 300, 1500);
}

// A corner that is covered goes where the others go.
void Rectify::follow(const Plane& in) {
  if (about_.empty()) {
    for (std::size_t k = 0; k < 4; ++k) {
      const Box core{static_cast<int>(std::lround(corners_[k].x)) - patch / 2,
                     static_cast<int>(std::lround(corners_[k].y)) - patch / 2, patch, patch};
      about_.emplace_back(in, core, 0);
      about_.back().let_size_change(false);
      at_[k] = {core.x + patch / 2.0, core.y + patch / 2.0, 1, 0};
    }
    return;
  }
  std::array<std::optional<Corner>, 4> moved;
  Corner mean;
  int seen = 0;
  for (std::size_t k = 0; k < 4; ++k) {
    const Fit fit = about_[k].refine(in, at_[k]);
    const double dx = fit.pose.x - at_[k].x, dy = fit.pose.y - at_[k].y;
    if (!fit.good || fit.visible < 0.6 || std::hypot(dx, dy) > 6) continue;
    moved[k] = Corner{dx, dy};
    mean.x += dx, mean.y += dy, ++seen;
  }
  if (seen == 0) return;
  mean.x /= seen, mean.y /= seen;
  for (std::size_t k = 0; k < 4; ++k) {
    const Corner by =
        moved[k] && std::hypot(moved[k]->x - mean.x, moved[k]->y - mean.y) < 2 ? *moved[k] : mean;
    corners_[k].x += by.x, corners_[k].y += by.y;
    at_[k].x += by.x, at_[k].y += by.y;
  }
}

void Rectify::apply(const Plane& in, Plane& out) {
  follow(in);
  out.width = width_, out.height = height_;
  out.luma.assign(static_cast<std::size_t>(width_) * height_, 0);
  const auto h = homography(corners_, width_, height_);
  if (!h) return;
  const auto& m = *h;
  const float most_x = static_cast<float>(in.width - 1) + 0.5F,
              most_y = static_cast<float>(in.height - 1) + 0.5F;
  for (int y = 0; y < height_; ++y) {
    std::uint8_t* row = out.row(y);
    const double v = y + 0.5;
    const Four x0 = four(static_cast<float>(m[1] * v + m[2])), y0 = four(static_cast<float>(m[4] * v + m[5])),
               w0 = four(static_cast<float>(m[7] * v + m[8]));
    for (int x = 0; x < width_; x += 4) {
      const Four u = static_cast<float>(x + 0.5) + in_order, w = 1 / (w0 + static_cast<float>(m[6]) * u),
                 px = (x0 + static_cast<float>(m[0]) * u) * w, py = (y0 + static_cast<float>(m[3]) * u) * w;
      const FourInts seen = (px >= 0.5F) & (py >= 0.5F) & (px < most_x) & (py < most_y);
      const Four value = sample(in, seen ? px : four(0.5F), seen ? py : four(0.5F)) + 0.5F;
      const FourInts level = seen & __builtin_convertvector(value, FourInts);
      for (int k = 0; k < std::min(4, width_ - x); ++k) row[x + k] = static_cast<std::uint8_t>(level[k]);
    }
  }
}

}  // namespace paneproof::video
