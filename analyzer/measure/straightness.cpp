#include "analyzer/measure/straightness.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/length.hpp"

namespace paneproof {
namespace {

constexpr double window_s = 0.065;
constexpr int shortest_window = 5, longest_window = 15;
constexpr double moving_mm_s = 20.0;
constexpr double even_interval = 1.7;  // a window with a longer interval is left out
// Straight on: over `about_s` about a report the first and the last third of the way differ by no more than
// this share of their length, and what noise makes of it.
constexpr double about_s = 0.12, uneven_share = 0.25, noise_share = 4;
constexpr double median_of_normal = 0.6745;  // of the absolute value, in standard deviations (textbook)
constexpr std::size_t fewest_straight = 50;
constexpr double resting_mm = 0.6, resting_s = 0.15;
constexpr std::size_t fewest_resting = 6;
constexpr double stretch_mm = 30.0, near_straight_mm = 1.0;
constexpr std::size_t fewest_of_stretch = 8;

double gap_s(const Report& a, const Report& b) { return static_cast<double>(b.t_us - a.t_us) * 1e-6; }

// A run of reports of one contact without a silence.
struct Run {
  std::uint32_t first, last;  // inclusive
  double usual_s;
};

std::vector<Run> runs_of(const Trace& trace, const std::vector<std::uint8_t>& counts,
                         const std::vector<double>& usual_s, const std::vector<Silence>& silences) {
  std::vector<std::uint32_t> cuts;
  for (const Silence& s : silences)
    if (s.kind != Silence::Kind::loss) cuts.push_back(s.before);
  std::sort(cuts.begin(), cuts.end());
  std::vector<Run> runs;
  for (std::uint32_t c = 0; c < trace.contacts.size(); ++c) {
    if (!counts[c]) continue;
    std::uint32_t first = trace.contacts[c].first;
    const std::uint32_t last = first + trace.contacts[c].count - 1;
    for (auto cut = std::lower_bound(cuts.begin(), cuts.end(), first); cut != cuts.end() && *cut < last;
         ++cut) {
      runs.push_back({first, *cut, usual_s[c]});
      first = *cut + 1;
    }
    runs.push_back({first, last, usual_s[c]});
  }
  return runs;
}

// How far the first and the last third of the way about a report differ, less what an even way may, mm.
double unevenness_mm(const Report* middle, std::ptrdiff_t reach) {
  const std::ptrdiff_t third = (2 * reach + 1) / 3;
  const Report &a = middle[-reach], &b = middle[third - reach], &c = middle[reach - third],
               &d = middle[reach];
  const double in_x = b.x - a.x, in_y = b.y - a.y, out_x = d.x - c.x, out_y = d.y - c.y;
  const double shorter = std::min(length(in_x, in_y), length(out_x, out_y));
  return length(out_x - in_x, out_y - in_y) - uneven_share * shorter;
}

class Moving {
 public:
  void add(const Trace& trace, const Run& run) {
    if (run.usual_s <= 0) return;
    int window = static_cast<int>(std::lround(window_s / run.usual_s)) | 1;
    window = std::clamp(window, shortest_window, longest_window);
    if (run.last < run.first + static_cast<std::uint32_t>(window) - 1) return;
    auto& weights = weights_[window];
    if (weights.empty()) weights = quadratic_weights(window);
    const int half = window / 2;
    const auto reach =
        static_cast<std::uint32_t>(std::max<long>(half, std::lround(about_s / 2 / run.usual_s)));
    const double unbiased = 1 / std::sqrt(1 - weights[half]);
    for (std::uint32_t i = run.first + half; i + half <= run.last; ++i) {
      const Report* middle = &trace.reports[i];
      const double dx = middle[half].x - middle[-half].x, dy = middle[half].y - middle[-half].y;
      const double way = length(dx, dy), took_s = gap_s(middle[-half], middle[half]);
      if (took_s > even_interval * run.usual_s * (window - 1) || way < moving_mm_s * took_s) continue;
      double fit_x = 0, fit_y = 0;
      bool even = true;
      for (int k = -half; k <= half; ++k) {
        fit_x += weights[k + half] * middle[k].x;
        fit_y += weights[k + half] * middle[k].y;
        even &= k == half || gap_s(middle[k], middle[k + 1]) <= even_interval * run.usual_s;
      }
      if (!even) continue;
      const double across = ((middle->x - fit_x) * -dy + (middle->y - fit_y) * dx) / way * unbiased;
      const bool whole = i - run.first >= reach && run.last - i >= reach;
      off_mm_.push_back(static_cast<float>(std::abs(across)));
      uneven_mm_.push_back(whole ? static_cast<float>(unevenness_mm(middle, reach)) : not_straight_mm);
    }
  }

  void into(Jitter& jitter) {
    if (off_mm_.empty()) return;
    std::vector<float> off = off_mm_;
    const double noise_mm = quantile(off, 0.5) / median_of_normal;
    std::size_t straight = 0;
    for (std::size_t k = 0; k < off_mm_.size(); ++k)
      if (uneven_mm_[k] <= noise_share * noise_mm) off[straight++] = off_mm_[k];
    if (straight >= fewest_straight)
      off.resize(straight);
    else
      off = off_mm_;
    double sum2 = 0;
    for (const float mm : off) sum2 += static_cast<double>(mm) * mm;
    jitter.reports = static_cast<std::int64_t>(off.size());
    jitter.rms_mm = round_mm(std::sqrt(sum2 / static_cast<double>(off.size())));
    jitter.p95_mm = round_mm(quantile(off, 0.95));
  }

 private:
  static constexpr float not_straight_mm = 1e9f;

  // Of a list with at least one value; puts it into another order.
  static double quantile(std::vector<float>& values, double share) {
    const auto at =
        values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), at, values.end());
    return *at;
  }

  std::map<int, std::vector<double>> weights_;
  std::vector<float> off_mm_, uneven_mm_;  // of each report on a moving finger
};

// Stretches in which the finger stayed within `resting_mm` for a while.
void add_resting(const Trace& trace, const Run& run, double& sum2, double& freedom) {
  std::uint32_t first = run.first;
  while (first < run.last) {
    double low_x = 1e9, high_x = -1e9, low_y = 1e9, high_y = -1e9;
    std::uint32_t end = first;
    for (; end <= run.last; ++end) {
      const Report& r = trace.reports[end];
      low_x = std::min(low_x, r.x), high_x = std::max(high_x, r.x);
      low_y = std::min(low_y, r.y), high_y = std::max(high_y, r.y);
      if (high_x - low_x > resting_mm || high_y - low_y > resting_mm) break;
    }
    const std::size_t count = end - first;
    if (count >= fewest_resting && gap_s(trace.reports[first], trace.reports[end - 1]) >= resting_s) {
      double mean_x = 0, mean_y = 0;
      for (std::uint32_t i = first; i < end; ++i) mean_x += trace.reports[i].x, mean_y += trace.reports[i].y;
      mean_x /= static_cast<double>(count), mean_y /= static_cast<double>(count);
      for (std::uint32_t i = first; i < end; ++i) {
        const double dx = trace.reports[i].x - mean_x, dy = trace.reports[i].y - mean_y;
        sum2 += dx * dx + dy * dy;
      }
      freedom += 2.0 * static_cast<double>(count - 1);
      first = end;
    } else {
      ++first;
    }
  }
}

void add_stretches(const Trace& trace, const Run& run, std::vector<double>& largest) {
  std::vector<Point> points;
  for (std::uint32_t i = run.first; i <= run.last; ++i) {
    points.push_back({trace.reports[i].x, trace.reports[i].y});
    if (length(points.back().x_mm - points.front().x_mm, points.back().y_mm - points.front().y_mm) <
        stretch_mm)
      continue;
    if (points.size() >= fewest_of_stretch) {
      const LineFit fit = fit_line(points.data(), points.size());
      if (fit.largest_mm <= near_straight_mm) largest.push_back(fit.largest_mm);
    }
    points.clear();
  }
}

}  // namespace

std::vector<double> quadratic_weights(int window) {
  const int half = window / 2;
  Eigen::MatrixXd basis(window, 3);
  for (int k = -half; k <= half; ++k) basis.row(k + half) << 1, k, static_cast<double>(k) * k;
  const Eigen::MatrixXd hat = basis * (basis.transpose() * basis).ldlt().solve(basis.transpose());
  std::vector<double> weights(window);
  for (int k = 0; k < window; ++k) weights[k] = hat(half, k);
  return weights;
}

LineFit fit_line(const Point* points, std::size_t count) {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (std::size_t i = 0; i < count; ++i) mean += Eigen::Vector2d(points[i].x_mm, points[i].y_mm);
  mean /= static_cast<double>(count);
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (std::size_t i = 0; i < count; ++i) {
    const Eigen::Vector2d off = Eigen::Vector2d(points[i].x_mm, points[i].y_mm) - mean;
    spread += off * off.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> axes(spread);
  const Eigen::Vector2d across = axes.eigenvectors().col(0), along = axes.eigenvectors().col(1);
  LineFit fit;
  fit.angle_rad = std::atan2(along.y(), along.x());
  double sum2 = 0;
  for (std::size_t i = 0; i < count; ++i) {
    const double off = std::abs(across.dot(Eigen::Vector2d(points[i].x_mm, points[i].y_mm) - mean));
    sum2 += off * off;
    fit.largest_mm = std::max(fit.largest_mm, off);
  }
  fit.rms_mm = std::sqrt(sum2 / static_cast<double>(count));
  return fit;
}

Jitter straightness(const Trace& trace, const std::vector<std::uint8_t>& counts,
                    const std::vector<double>& usual_s, const std::vector<Silence>& silences) {
  Moving moving;
  double resting2 = 0, resting_freedom = 0;
  std::vector<double> largest;
  for (const Run& run : runs_of(trace, counts, usual_s, silences)) {
    moving.add(trace, run);
    add_resting(trace, run, resting2, resting_freedom);
    add_stretches(trace, run, largest);
  }
  Jitter jitter;
  moving.into(jitter);
  if (resting_freedom > 0) jitter.resting_rms_mm = round_mm(std::sqrt(resting2 / resting_freedom));
  if (!largest.empty()) {
    const auto middle = largest.begin() + static_cast<std::ptrdiff_t>(largest.size() / 2);
    std::nth_element(largest.begin(), middle, largest.end());
    jitter.linearity_mm = round_mm(*middle);
  }
  return jitter;
}

}  // namespace paneproof
