// From a thing that is seen to move back to the moment it was lifted.
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>

#include "capture/video/follow.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {
namespace {

// The first that is less for good, and since when it has been going that way: by the step that parts them
// best into a while before and a while after.
std::optional<std::size_t> step_down(const std::vector<double>& change) {
  const auto n = change.size();
  std::vector<double> sums(n + 1), squares(n + 1);
  for (std::size_t k = 0; k < n; ++k)
    sums[k + 1] = sums[k] + change[k], squares[k + 1] = squares[k] + change[k] * change[k];
  const auto mean = [&](std::size_t from, std::size_t to) {
    return (sums[to] - sums[from]) / static_cast<double>(to - from);
  };
  const auto spread = [&](std::size_t from, std::size_t to) {
    const double m = mean(from, to);
    return std::sqrt(std::max(0.0, (squares[to] - squares[from]) / static_cast<double>(to - from) - m * m));
  };
  std::size_t step = 0;
  double gain = 0;
  for (std::size_t k = 3; k + 3 <= n; ++k) {
    const double fall = mean(0, k) - mean(k, n),
                 between = fall * std::abs(fall) * static_cast<double>(k) * static_cast<double>(n - k);
    if (between > gain) gain = between, step = k;
  }
  if (step == 0) return {};
  const std::size_t quiet = std::max<std::size_t>(2, step > 8 ? step - 5 : step / 2);
  const double before_it = mean(0, quiet), after_it = mean(step, n),
               noise = std::max(spread(0, quiet), spread(std::min(n - 2, step + 5), n));
  if (before_it - after_it < std::max(0.3, 3 * noise)) return {};
  const double begun = before_it - std::max(3 * spread(0, quiet), 0.04 * (before_it - after_it));
  std::size_t k = step;
  while (k > 0 && change[k - 1] < begun) --k;
  return k;
}

// What lies is quite still, and what a hand holds trembles: the first after the last still stretch of a
// quarter of a second. `at`: the samples from the first of `change` on.
std::optional<std::size_t> end_of_stillness(const std::vector<double>& change, const Sample* at) {
  constexpr std::int64_t while_us = 250'000;
  std::optional<std::size_t> ended;
  double sum = change.front();
  for (std::size_t a = 0, b = 1; b < change.size(); ++b) {
    const double mean = sum / static_cast<double>(b - a);
    if (std::abs(change[b] - mean) < 0.05 + 0.01 * mean) {
      sum += change[b];
      continue;
    }
    if (at[b - 1].t_us - at[a].t_us >= while_us) ended = b;
    a = b, sum = change[b];
  }
  return ended;
}

}  // namespace

Pose ahead(const std::vector<Sample>& samples, std::int64_t t_us) {
  const Sample *a = nullptr, *b = nullptr;
  for (auto s = samples.rbegin(); s != samples.rend() && !b; ++s)
    if (s->known) (a ? b : a) = &*s;
  if (!a) return {};
  Pose pose = a->pose;
  if (b && a->t_us != b->t_us && std::abs(t_us - a->t_us) < 150'000 &&
      std::abs(a->t_us - b->t_us) < 150'000) {
    const double f = static_cast<double>(t_us - a->t_us) / static_cast<double>(a->t_us - b->t_us);
    pose.x += std::clamp(f, -2.0, 2.0) * (a->pose.x - b->pose.x);
    pose.y += std::clamp(f, -2.0, 2.0) * (a->pose.y - b->pose.y);
  }
  return pose;
}

// From its first sample back through the kept pictures to where it lay at rest.
void Follow::trace_back(Track& track) {
  const bool again = track.lost_back;
  std::vector<Sample> back;
  std::vector<Sample> order(
      track.samples.begin(),
      track.samples.begin() + std::min<std::ptrdiff_t>(6, static_cast<std::ptrdiff_t>(track.samples.size())));
  std::reverse(order.begin(), order.end());
  int missed = 0;
  for (std::int64_t f = track.samples.front().frame - 1; f > closed_frame_; --f) {
    const Kept* kept = kept_at(f);
    if (!kept) break;
    Fit fit = look(track, order, missed, *kept, false);
    // Back in time nothing asks where it went on: what is found off its way is it only beyond doubt.
    if (far(fit.pose, ahead(order, kept->t_us)) > 12 && !very_look(fit)) fit.good = false;
    missed = fit.good ? 0 : missed + 1;
    order.push_back(sample_of(f, kept->t_us, fit));
    if (order.size() > 12) order.erase(order.begin());
    back.push_back(order.back());
    if (missed > 3) break;
  }
  track.lost_back = missed > 3;
  while (!back.empty() && !back.back().known) back.pop_back();
  if (again && back.empty()) return;
  std::reverse(back.begin(), back.end());
  track.samples.insert(track.samples.begin(), back.begin(), back.end());
  find_lift(track, back.size());
  // A lift begins softly: by when it can be seen it has been going on for some 30 ms, at the same place.
  const auto& s = track.samples;
  std::size_t begun = track.grab;
  while (begun > 0 && s[begun - 1].known && s[track.grab].t_us - s[begun - 1].t_us <= 34'000 &&
         far(s[begun - 1].pose, s[track.grab].pose) < 1)
    --begun;
  track.grab = begun;
}

// A size goes from picture to picture by little, lest it slide. Traced back over a lift it comes down later
// than it was raised, and the lift would be told too early: while it still goes down it is asked until it
// stays.
void Follow::settle_sizes(Track& track, std::size_t first, std::size_t last) {
  constexpr double stays = 0.0005;
  constexpr int most_asked = 8;
  auto& s = track.samples;
  double before = s[last].pose.scale;  // as it was told first
  for (std::size_t i = last; i-- > first;) {
    const Sample& later = s[i + 1];
    const double told = s[i].pose.scale;
    const bool settling = std::abs(told - before) > stays || std::abs(told - later.pose.scale) > 4 * stays;
    before = told;
    const Kept* kept = settling && s[i].known ? kept_at(s[i].frame) : nullptr;
    if (!kept) continue;
    Pose pose = s[i].pose;
    pose.scale = later.pose.scale;
    for (int k = 0; k < most_asked; ++k) {
      const Fit fit = track.model->refine(kept->plane, pose);
      if (!fit.good || far(fit.pose, s[i].pose) > 1) break;
      const double by = std::abs(fit.pose.scale - pose.scale);
      pose = fit.pose;
      if (by < stays) break;
    }
    s[i].pose.scale = pose.scale;
  }
}

// Looks from the first motion back over the rest before it: the lift is where its size, or what is close
// about it (a shadow, a label), begins to change for good. `moving`: sample that was seen to move.
void Follow::find_lift(Track& track, std::size_t moving) {
  const auto& s = track.samples;
  const auto size_over = [&](std::size_t from, std::size_t to) {
    std::vector<double> sizes;
    for (std::size_t i = from; i < to; ++i)
      if (s[i].known) sizes.push_back(s[i].pose.scale);
    return sizes.empty() ? track.rest_scale : median(sizes);
  };
  // Did it lie? It may grow about another point of it than the one that is followed.
  const double half = std::max(track.half_width, track.half_height) / 2;
  const auto lay = [&](const Pose& a, const Pose& b, double most) {
    return far(a, b) < most + half * std::abs(a.scale - b.scale);
  };
  std::size_t end = std::min(moving, s.size() - 1);  // last sample of the rest
  // What was held before and is as large now as it was then is in the hand already, which pauses.
  const double raised = track.known && track.rest_scale > 0
                            ? size_over(std::min(end, s.size() - 2), s.size()) - track.rest_scale
                            : 0;
  const auto in_hand = [&](std::size_t from, std::size_t to) {
    return std::abs(raised) > 0.022 && (size_over(from, to) - track.rest_scale) / raised > 0.7;
  };
  while (end > 0) {
    std::size_t a = end;
    while (a > 0 && s[a - 1].known && lay(s[a - 1].pose, s[end].pose, 0.7)) --a;
    if (a == 0 || (s[end].t_us - s[a].t_us >= 90'000 && !in_hand(a, end + 1))) break;
    --end;
  }
  std::size_t first = end;
  while (first > 0 && s[first - 1].known && lay(s[first - 1].pose, s[end].pose, 1)) --first;
  track.grab = end;
  if (end - first < 3) return;
  settle_sizes(track, first, end);
  // Its size.
  const double at_rest = track.known && track.rest_scale > 0
                             ? track.rest_scale
                             : size_over(first, first + 1 + (end - first) / 4);
  const double held = size_over(std::min(end, s.size() - 2), s.size());
  track.rest_scale = at_rest;
  if (std::abs(held - at_rest) > 0.01) {
    std::size_t lift = end;
    const double begun = std::max(0.05, 0.0025 / std::abs(held - at_rest));
    while (lift > first && (s[lift - 1].pose.scale - at_rest) / (held - at_rest) > begun) --lift;
    if (lift > first) track.grab = lift;
  }
  // What is close about it, against how it is just before it moves.
  const Kept* before = kept_at(s[end].frame);
  const double x = s[end].pose.x, y = s[end].pose.y, size = s[end].pose.scale;
  const Plate& plate = track.plate;
  if (!before || !plausible(plate, before->plane.width)) return;
  const double a = plate.width / 2 * size, b = plate.height / 2 * size, cx = x, cy = y;
  const auto changed = [&](const Plane& plane) {
    double sum = 0, n = 0;
    for (int py = std::max(0, static_cast<int>(cy - 1.25 * b));
         py < std::min<int>(plane.height, static_cast<int>(cy + 1.35 * b)); ++py)
      for (int px = std::max(0, static_cast<int>(cx - 1.25 * a));
           px < std::min<int>(plane.width, static_cast<int>(cx + 1.25 * a)); ++px) {
        if (std::abs(px - cx) < 0.97 * a && std::abs(py - cy) < 0.97 * b) continue;
        sum += std::abs(plane.row(py)[px] - before->plane.row(py)[px]), ++n;
      }
    return n > 0 ? sum / n : 0.0;
  };
  // A size that surely changes tells the lift by itself. What is about it changes with it, and what changed
  // there long before was another's.
  constexpr double surely = 0.04;
  constexpr std::int64_t with_it_us = 150'000;
  const bool sized = std::abs(held - at_rest) > surely && track.grab < end;
  while (sized && s[track.grab].t_us - s[first].t_us > with_it_us) ++first;
  std::vector<double> change;
  for (std::size_t i = first; i <= end; ++i) {
    const Kept* kept = kept_at(s[i].frame);
    change.push_back(kept ? changed(kept->plane) : 0);
  }
  if (const auto k = step_down(change)) track.grab = std::min(track.grab, first + *k);
  if (const auto k = end_of_stillness(change, s.data() + first);
      k && !sized && s[track.grab].t_us - s[first + *k].t_us > 60'000)
    track.grab = first + *k;
}

}  // namespace paneproof::video
