// How a model takes in pictures of the thing (model.hpp).
#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "capture/video/four.hpp"
#include "capture/video/model.hpp"
#include "capture/video/sample.hpp"

namespace paneproof::video {
namespace {

constexpr int most_counted = 200;  // pictures that the mean goes back over

constexpr auto shares = [] {  // of one picture in so many
  std::array<float, most_counted + 1> of{};
  for (std::size_t n = 1; n < of.size(); ++n) of[n] = 1 / static_cast<float>(n);
  return of;
}();

}  // namespace

void Model::forget() {
  way_ = {};
  std::fill(square_.begin(), square_.end(), 0.0f);
  std::fill(count_.begin(), count_.end(), std::uint16_t{0});
  learnt_ = 0, chosen_at_ = 0;
  last_x_ = last_y_ = -1e9;
}

// One more value of a pixel into its mean and spread.
void Model::take(std::size_t k, float value) {
  if (count_[k] < most_counted) ++count_[k];
  const float before = value - mean_[k], share = shares[count_[k]];
  mean_[k] += before * share;
  square_[k] += before * (value - mean_[k]) - (count_[k] >= most_counted ? square_[k] * share : 0);
}

void Model::take_four(std::size_t k, Four value) {
  Four mean, square, share, old;
  std::memcpy(&mean, mean_.data() + k, sizeof mean), std::memcpy(&square, square_.data() + k, sizeof square);
  std::uint16_t* count = count_.data() + k;
  std::uint64_t all;
  std::memcpy(&all, count, sizeof all);
  if (all == count[0] * 0x0001000100010001U && count[0] + 1 < most_counted) {
    all += 0x0001000100010001U;
    std::memcpy(count, &all, sizeof all);
    share = four(shares[count[0]]), old = Four{};
  } else {
    for (int n = 0; n < 4; ++n) {
      if (count[n] < most_counted) ++count[n];
      share[n] = shares[count[n]];
      old[n] = count[n] >= most_counted ? shares[count[n]] : 0;
    }
  }
  const Four before = value - mean;
  mean += before * share;
  square += before * (value - mean) - square * old;
  std::memcpy(mean_.data() + k, &mean, sizeof mean), std::memcpy(square_.data() + k, &square, sizeof square);
}

// As it learns what decides is chosen anew, ever less often.
bool Model::due() const { return learnt_ >= chosen_at_ + std::max(2, chosen_at_ / 3); }

void Model::learn(const Plane& plane, const Fit& fit) {
  if (!moved_on(fit.pose)) return;
  take_in(plane, fit.pose);
  if (due()) choose();
}

void Model::learn_anew(const std::vector<Seen>& seen) {
  forget();
  for (const Seen& one : seen) {
    if (!moved_on(one.at)) continue;
    last_x_ = one.at.x, last_y_ = one.at.y, ++learnt_;
    if (due()) chosen_at_ = learnt_;
  }
  const int last_choice = chosen_at_;
  forget();
  for (const Seen& one : seen) {
    if (!moved_on(one.at)) continue;
    take_in(*one.plane, one.at);
    if (learnt_ == last_choice) choose();
  }
}

void Model::take_in(const Plane& plane, const Pose& p) {
  last_x_ = p.x, last_y_ = p.y;
  ++learnt_;
  ++way_.n;
  const double ox = p.x - way_.x, oy = p.y - way_.y;
  way_.x += ox / way_.n, way_.y += oy / way_.n;
  way_.xx += ox * (p.x - way_.x), way_.xy += ox * (p.y - way_.y), way_.yy += oy * (p.y - way_.y);
  const Turned t(p);
  const float most_x = static_cast<float>(plane.width) - 1.0f,
              most_y = static_cast<float>(plane.height) - 1.0f;
  for (int y = 0; y < height_; ++y) {
    const float v = static_cast<float>(y + 0.5 - origin_y_);
    const Four x0 = four(static_cast<float>(p.x) - t.s * v), y0 = four(static_cast<float>(p.y) + t.c * v);
    for (int x = 0; x < width_; x += 4) {
      const Four u = static_cast<float>(x + 0.5 - origin_x_) + in_order, px = x0 + t.c * u, py = y0 + t.s * u;
      const FourInts seen = (px >= 0.5F) & (py >= 0.5F) & (px < most_x) & (py < most_y);
      const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
      const int all = which(seen);
      if (x + 4 <= width_ && all == 15) {
        take_four(k, sample(plane, px, py));
        continue;
      }
      if (all == 0) continue;
      const Four value = sample(plane, seen ? px : four(0.5F), seen ? py : four(0.5F));
      for (int n = 0; n < std::min(4, width_ - x); ++n)
        if (seen[n]) take(k + static_cast<std::size_t>(n), value[n]);
    }
  }
}

}  // namespace paneproof::video
