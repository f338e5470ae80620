#include "capture/video/model.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "capture/video/four.hpp"

namespace paneproof::video {
namespace {

constexpr int most_deciding = 700, few_deciding = 120;

// Root mean square of each pixel; 0 where it was seen less than twice.
std::vector<float> spreads_of(const std::vector<float>& square, const std::vector<std::uint16_t>& count) {
  std::vector<float> of(square.size());
  for (std::size_t k = 0; k < of.size(); k += 4) {
    const std::size_t some = std::min<std::size_t>(4, of.size() - k);
    Four sum{}, n{};
    std::memcpy(&sum, square.data() + k, some * sizeof(float));
    for (std::size_t i = 0; i < some; ++i) n[i] = static_cast<float>(count[k + i]);
    const Four mean = n < 2 ? Four{} : sum / n, spread = root(mean < 0 ? Four{} : mean);
    std::memcpy(of.data() + k, &spread, some * sizeof(float));
  }
  return of;
}

}  // namespace

Model::Model(const Plane& plane, const Box& core, int margin)
    : width_(core.width + 2 * margin),
      height_(core.height + 2 * margin),
      origin_x_(width_ / 2.0),
      origin_y_(height_ / 2.0),
      core_{margin, margin, core.width, core.height},
      mean_(static_cast<std::size_t>(width_) * height_),
      square_(mean_.size()),
      count_(mean_.size()),
      last_x_(core.x + core.width / 2.0),
      last_y_(core.y + core.height / 2.0) {
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x) {
      const int px = core.x - margin + x, py = core.y - margin + y;
      if (px < 0 || py < 0 || px >= plane.width || py >= plane.height) continue;
      const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
      mean_[k] = plane.row(py)[px];
      count_[k] = 1;
    }
  choose();
}

void Model::reframe(int x0, int y0, int width, int height) {
  const auto moved = [&](const auto& from) {
    std::decay_t<decltype(from)> to(static_cast<std::size_t>(width) * height);
    for (int y = std::max(0, -y0); y < height && y0 + y < height_; ++y)
      for (int x = std::max(0, -x0); x < width && x0 + x < width_; ++x)
        to[static_cast<std::size_t>(y) * width + x] =
            from[static_cast<std::size_t>(y0 + y) * width_ + x0 + x];
    return to;
  };
  mean_ = moved(mean_), square_ = moved(square_), count_ = moved(count_);
  width_ = width, height_ = height;
  origin_x_ -= x0, origin_y_ -= y0, core_.x -= x0, core_.y -= y0;
  choose();
}

std::pair<double, double> Model::middle() const {
  double x = 0, y = 0, n = 0;
  for (const Deciding& d : deciding_)
    if (d.slope_x != 0 || d.slope_y != 0) x += d.weight * d.u, y += d.weight * d.v, n += d.weight;
  return n > 0 ? std::pair{origin_x_ + x / n, origin_y_ + y / n} : std::pair{origin_x_, origin_y_};
}

void Model::move_origin(double x, double y) {
  origin_x_ += x, origin_y_ += y;
  choose();
}

void Model::trust(const Box& core, double corner) {
  core_ = core, corner_ = corner, firm_ = false;
  choose();
}

double Model::tried() const {
  if (way_.n < 2) return 0;
  const double xx = way_.xx / way_.n, xy = way_.xy / way_.n, yy = way_.yy / way_.n, half = (xx + yy) / 2;
  return std::sqrt(std::max(0.0, half - std::sqrt(std::max(0.0, half * half - (xx * yy - xy * xy)))));
}

double Model::went() const {
  const double all = way_.n < 2 ? 0 : (way_.xx + way_.yy) / way_.n, least = tried();
  return std::sqrt(std::max(0.0, all - least * least));
}

void Model::take_as_known() {
  for (std::uint16_t& count : count_)
    if (count > 0) count = 3;
}

double Model::spread(int x, int y) const {
  const std::size_t k = static_cast<std::size_t>(y) * width_ + x;
  return count_[k] < 2 ? 0 : std::sqrt(std::max(0.0f, square_[k] / static_cast<float>(count_[k])));
}

void Model::choose() {
  chosen_at_ = learnt_;
  deciding_.clear();
  std::vector<Deciding> flat;
  double sum = 0, sum2 = 0;
  int steady = 0;
  const double n_way = std::max(1.0, way_.n), cxx = way_.xx / n_way, cxy = way_.xy / n_way,
               cyy = way_.yy / n_way;
  const double radius = corner_ * std::min(core_.width, core_.height);
  const auto in_core = [&](int x, int y) {
    const double a = std::abs(x + 0.5 - core_.x - core_.width / 2.0) - (core_.width / 2.0 - radius),
                 b = std::abs(y + 0.5 - core_.y - core_.height / 2.0) - (core_.height / 2.0 - radius);
    const double along = std::max(a, 0.0), down = std::max(b, 0.0);
    return std::sqrt(along * along + down * down) + std::min(std::max(a, b), 0.0) < radius;
  };
  std::vector<std::uint8_t> cores(mean_.size());
  const std::vector<float> spreads = spreads_of(square_, count_);
  for (int y = std::max(0, core_.y); y < std::min(height_, core_.y + core_.height); ++y)
    for (int x = std::max(0, core_.x); x < std::min(width_, core_.x + core_.width); ++x)
      cores[static_cast<std::size_t>(y) * width_ + x] = in_core(x, y);
  const auto core_at = [&](int x, int y) { return cores[static_cast<std::size_t>(y) * width_ + x] != 0; };
  const auto spread_at = [&](int x, int y) -> double {
    return spreads[static_cast<std::size_t>(y) * width_ + x];
  };
  // Had this slope lain still behind the thing, would it show in the spread by now?
  const auto tested = [&](int x, int y, double gx, double gy) {
    return std::sqrt(std::max(0.0, gx * gx * cxx + 2 * gx * gy * cxy + gy * gy * cyy)) >
           2 * spread_at(x, y) + 5;
  };
  const auto slope = [&](int x, int y) {
    if (x < 1 || y < 1 || x + 1 >= width_ || y + 1 >= height_) return 0.0;
    const double gx = mean(x + 1, y) - mean(x - 1, y), gy = mean(x, y + 1) - mean(x, y - 1);
    return std::sqrt(gx * gx + gy * gy) / 2;
  };
  // A sharp edge of its drawing wavers by itself when the places it was learnt at were a little off: with all
  // such edges given up, the thing would slide about on what is flat. How far off, its steadiest edges tell.
  std::vector<double> wavering;
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x)
      if (const double g = count(x, y) >= 4 && core_at(x, y) ? slope(x, y) : 0; g > 4)
        wavering.push_back(spread_at(x, y) / g);
  double unrest = 0;
  if (wavering.size() > 20) {
    const auto steadiest = wavering.begin() + static_cast<std::ptrdiff_t>(wavering.size() / 4);
    std::nth_element(wavering.begin(), steadiest, wavering.end());
    unrest = std::min(unrest_px, *steadiest);
  }
  const auto weigh = [&](int x, int y, bool core) {
    const int n = count(x, y);
    if (n < 4) return core && n == learnt_ ? 0.5 : 0.0;
    if (!core && corner_ > 0) return 0.0;  // the plate is known: it alone decides
    const double wavers = core ? unrest * slope(x, y) : 0;
    const double s = std::max(0.0, spread_at(x, y) - wavers) / 7;
    return s > 2.5 ? 0.0 : 1 / (1 + s * s * s * s);  // what is below 0.03 does not count
  };
  std::vector<double> weights(mean_.size());
  for (int y = 0; y < height_; ++y)
    for (int x = 0; x < width_; ++x)
      weights[static_cast<std::size_t>(y) * width_ + x] = weigh(x, y, core_at(x, y));
  const auto weight = [&](int x, int y) { return weights[static_cast<std::size_t>(y) * width_ + x]; };
  std::vector<std::pair<float, Deciding>> sloped;
  std::vector<Deciding> unsteady;
  for (int y = 1; y + 1 < height_; ++y)
    for (int x = 1; x + 1 < width_; ++x) {
      const double w = weight(x, y);
      if (w < 0.03) continue;
      const double least = std::min(std::min(weight(x - 1, y), weight(x + 1, y)),
                                    std::min(weight(x, y - 1), weight(x, y + 1)));
      const float gx = static_cast<float>((mean(x + 1, y) - mean(x - 1, y)) / 2),
                  gy = static_cast<float>((mean(x, y + 1) - mean(x, y - 1)) / 2);
      const Deciding d{static_cast<float>(x + 0.5 - origin_x_),
                       static_cast<float>(y + 0.5 - origin_y_),
                       static_cast<float>(mean(x, y)),
                       gx,
                       gy,
                       static_cast<float>(w)};
      const float g = std::sqrt(gx * gx + gy * gy);
      const bool core = core_at(x, y);
      if (w >= 0.3 && (core || g > 2)) ++steady, sum += mean(x, y), sum2 += mean(x, y) * mean(x, y);
      if (w >= 0.3 && least >= 0.3 && g > 2 && (core || tested(x, y, gx, gy)))
        sloped.emplace_back(g, d);
      else if (g > 2 && least >= 0.03 && core)
        unsteady.push_back(d);
      else if (w >= 0.3 && g <= 2 && (x + 3 * y) % 7 == 0 && core)
        flat.push_back({d.u, d.v, d.value, 0, 0, d.weight});
    }
  contrast_ = steady > 1 ? std::sqrt(std::max(0.0, sum2 / steady - (sum / steady) * (sum / steady))) : 0;
  if (sloped.size() > most_deciding) {
    std::nth_element(sloped.begin(), sloped.begin() + most_deciding, sloped.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    sloped.resize(most_deciding);
  }
  for (const auto& [g, d] : sloped) deciding_.push_back(d);
  // With bars across it alone a thing would be free to slide along them, and having slid once would never be
  // sure of its sides again: then what is less steady helps in that direction. Where more of the plate's
  // drawing wavers than is steady it helps in all, or the drawing would be smeared and forgotten little by
  // little.
  double told_x = 0, told_y = 0, drawn = 0, wavers = 0;
  for (const Deciding& d : deciding_) {
    told_x += d.weight * d.slope_x * d.slope_x, told_y += d.weight * d.slope_y * d.slope_y;
    drawn += d.slope_x * d.slope_x + d.slope_y * d.slope_y;
  }
  for (const Deciding& d : unsteady) wavers += d.slope_x * d.slope_x + d.slope_y * d.slope_y;
  const bool barred = std::min(told_x, told_y) < 0.1 * std::max(told_x, told_y);
  if (barred || (corner_ > 0 && wavers > drawn)) {
    const bool across = told_x < told_y;
    const auto tells = [&](const Deciding& d) {
      return d.weight *
             (barred ? std::abs(across ? d.slope_x : d.slope_y) : std::hypot(d.slope_x, d.slope_y));
    };
    std::erase_if(unsteady, [&](const Deciding& d) { return tells(d) < 0.15f; });
    const std::size_t most = std::min<std::size_t>(unsteady.size(), most_deciding / 2);
    std::nth_element(unsteady.begin(), unsteady.begin() + static_cast<std::ptrdiff_t>(most), unsteady.end(),
                     [&](const Deciding& x, const Deciding& y) { return tells(x) > tells(y); });
    deciding_.insert(deciding_.end(), unsteady.begin(), unsteady.begin() + static_cast<std::ptrdiff_t>(most));
  }
  const std::size_t step = std::max<std::size_t>(1, flat.size() / (most_deciding / 4));
  for (std::size_t i = 0; i < flat.size(); i += step) deciding_.push_back(flat[i]);
  packed_.clear();
  for (std::size_t i = 0; i < deciding_.size(); ++i) {
    if (i % 4 == 0) packed_.emplace_back();
    Packed& p = packed_.back();
    const Deciding& d = deciding_[i];
    p.u[i % 4] = d.u, p.v[i % 4] = d.v, p.value[i % 4] = d.value;
    p.slope_x[i % 4] = d.slope_x, p.slope_y[i % 4] = d.slope_y, p.weight[i % 4] = d.weight;
    p.slack[i % 4] = static_cast<float>(unrest_px) * std::sqrt(d.slope_x * d.slope_x + d.slope_y * d.slope_y);
  }
  double out = 0;
  for (const Deciding& d : deciding_) out += d.u * d.u + d.v * d.v;
  spread_out_ = deciding_.empty() ? 1 : std::sqrt(out / static_cast<double>(deciding_.size()));
  // A spread-out few for searching.
  few_.clear();
  const std::size_t every = std::max<std::size_t>(1, deciding_.size() / few_deciding);
  for (std::size_t i = 0; i < deciding_.size(); i += every) few_.push_back(deciding_[i]);
}

}  // namespace paneproof::video
