#include "capture/video/way.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "capture/video/let_go.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t soft_us = 70'000;  // a glide may go on this long before it can be seen

// Did it leap from one picture to the next while it was on its way already from sample `i`? A glide sets off
// once; what goes on its way and then leaps was led by a hand before.
bool leaps_on_its_way(const std::vector<Sample>& s, std::size_t i, std::size_t last) {
  constexpr std::size_t led = 4;  // pictures
  std::vector<double> speeds;
  double fastest = 0;
  for (std::size_t k = i + 1; k < std::min(s.size(), last + 6); ++k) {
    if (!s[k - 1].known || !s[k].known) return false;
    const auto dt = static_cast<double>(std::max<std::int64_t>(1, s[k].t_us - s[k - 1].t_us));
    speeds.push_back(far(s[k].pose, s[k - 1].pose) / dt);
    fastest = std::max(fastest, speeds.back());
  }
  for (std::size_t k = led; k < speeds.size(); ++k) {
    double slowest = fastest, before = 0;
    for (std::size_t j = k - led; j < k; ++j)
      slowest = std::min(slowest, speeds[j]), before = std::max(before, speeds[j]);
    if (slowest > 0.1 * fastest && speeds[k] > 2 * before && speeds[k] - before > 0.5 * fastest) return true;
  }
  return false;
}

}  // namespace

std::size_t rest_start(const std::vector<Sample>& s, std::size_t from) {
  const Pose end = s.back().pose;
  std::size_t i = s.size() - 1;
  while (i > from && (!s[i - 1].known || far(s[i - 1].pose, end) < still_px)) --i;
  return i;
}

double speed_before(const std::vector<Sample>& s, std::size_t i, std::size_t from) {
  std::size_t a = i;
  while (a > from && s[i].t_us - s[a].t_us < 60'000) --a;
  const double dt = static_cast<double>(s[i].t_us - s[a].t_us) * 1e-6;
  return dt > 0 ? far(s[i].pose, s[a].pose) / dt : 0;
}

bool straight_to_rest(const std::vector<Sample>& s, std::size_t i, std::size_t last) {
  const Pose& r = s.back().pose;
  const double d = std::max(far(s[i].pose, r), 1e-9);
  const double ux = (r.x - s[i].pose.x) / d, uy = (r.y - s[i].pose.y) / d;
  for (std::size_t k = i + 1; k <= last; ++k) {
    if (!s[k].known) continue;
    const double dx = s[k].pose.x - s[i].pose.x, dy = s[k].pose.y - s[i].pose.y;
    if (std::abs(dx * uy - dy * ux) > still_px + 0.1 * std::hypot(dx, dy)) return false;
    if (dx * ux + dy * uy < -still_px) return false;
  }
  return true;
}

std::size_t turning_point(const std::vector<Sample>& s, std::size_t last, std::size_t from) {
  std::size_t first = last;
  double most = 0;
  std::vector<std::pair<double, std::size_t>> turns;
  while (first > from + 1 && (last - first < 3 || s[last].t_us - s[first - 1].t_us <= soft_us ||
                              (s[first].known && s[last].t_us - s[first].t_us <= 2 * soft_us &&
                               straight_to_rest(s, first, last))))
    --first;
  for (std::size_t i = first; i <= last; ++i) {
    if (i < from + 1 || i + 1 >= s.size() || !s[i - 1].known || !s[i].known || !s[i + 1].known) continue;
    const double ds = std::max<double>(1, static_cast<double>(s[i].t_us - s[i - 1].t_us)),
                 dt = std::max<double>(1, static_cast<double>(s[i + 1].t_us - s[i].t_us));
    const double turn =
        std::hypot((s[i + 1].pose.x - s[i].pose.x) / dt - (s[i].pose.x - s[i - 1].pose.x) / ds,
                   (s[i + 1].pose.y - s[i].pose.y) / dt - (s[i].pose.y - s[i - 1].pose.y) / ds);
    turns.emplace_back(turn, i);
    most = std::max(most, turn);
  }
  // Where a recorder stalls the thing leaps later on its straight way as well.
  for (const auto& [turn, i] : turns)
    if (turn >= most || (turn >= 0.7 * most && straight_to_rest(s, i, s.size() - 1))) return i;
  return last;
}

std::optional<std::size_t> end_of_rest(const std::vector<Sample>& s, std::size_t last, std::size_t from,
                                       std::int64_t lay_us) {
  constexpr std::int64_t glide_us = 330'000;
  constexpr double lay_px = 1.2;  // a hand trembles
  for (std::size_t i = last; i > from && s[last].t_us - s[i].t_us <= glide_us; --i) {
    if (!s[i].known) continue;
    std::size_t a = i;
    while (a > from && (!s[a - 1].known || far(s[a - 1].pose, s[i].pose) < lay_px)) --a;
    if (i < a + 2 || s[i].t_us - s[a].t_us < lay_us) continue;
    if (straight_to_rest(s, i, last) && !leaps_on_its_way(s, i, last)) return i;
  }
  return {};
}

std::size_t last_of_size(const std::vector<Sample>& s, std::size_t from, double held, double rest_size) {
  const double raised = held - rest_size;
  const auto left = [&](std::size_t i) { return (s[i].pose.scale - rest_size) / raised; };
  std::size_t last = s.size() - 1;
  while (last > from && (!s[last].known || left(last) < 0.85)) --last;
  // What its size was just before that, and how much that wavers.
  std::vector<double> sizes;
  for (std::size_t i = last; i > from && sizes.size() < 40 && s[last].t_us - s[i].t_us < 500'000; --i)
    if (s[i].known && s[last].t_us - s[i].t_us > soft_us) sizes.push_back(s[i].pose.scale);
  if (sizes.size() < 4) return last;
  const double before = median(sizes);
  for (double& size : sizes) size = std::abs(size - before);
  const double wavers = std::max({0.001, 0.02 * std::abs(raised), 3 * median(sizes)});
  const std::size_t seen = last;
  while (last > from && s[seen].t_us - s[last].t_us < 2 * soft_us &&
         (!s[last].known || (before - s[last].pose.scale) * (raised > 0 ? 1 : -1) > wavers))
    --last;
  return last;
}

LetGo::Kind kind_at(const std::vector<Sample>& s, std::size_t last, std::size_t from, double width) {
  if (speed_before(s, last, from) > 0.12 * width) return LetGo::Kind::drop;
  std::size_t a = last;
  while (a > from && (!s[a - 1].known || far(s[a - 1].pose, s[last].pose) < 1.5)) --a;
  return s[last].t_us - s[a].t_us >= rest_us - 20'000 ? LetGo::Kind::release : LetGo::Kind::doubt;
}

}  // namespace paneproof::video
