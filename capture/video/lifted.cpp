// Is a thing seen to be lifted: larger, or smaller, than it lay?
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/median.hpp"

namespace paneproof::video {

bool surely_lifted(const Track& track) {
  const auto& s = track.samples;
  if (track.rest_scale <= 0) return false;
  // While it was on its way, where it is neither as it lay nor as it may lie now.
  std::vector<double> sizes;
  for (std::size_t i = track.grab; i < s.size(); ++i)
    if (s[i].known && far(s[i].pose, s[track.grab].pose) > 4 && far(s[i].pose, s.back().pose) > 4)
      sizes.push_back(s[i].pose.scale);
  return sizes.size() > 3 && std::abs(median(sizes) - track.rest_scale) > surely_raised;
}

bool still_lifted(const Track& track) {
  if (track.rest_scale <= 0 || track.samples.size() < track.grab + 8) return false;
  std::vector<double> sizes, now;
  for (std::size_t i = track.grab; i < track.samples.size(); ++i) {
    const Sample& s = track.samples[i];
    if (!s.known) continue;
    sizes.push_back(s.pose.scale);
    if (track.samples.back().t_us - s.t_us < 100'000) now.push_back(s.pose.scale);
  }
  if (now.empty()) return false;
  const double raised = median(sizes) - track.rest_scale;
  return std::abs(raised) > least_raised && (median(now) - track.rest_scale) / raised > 0.7;
}

// What went off and rests may have made room, or be held by a hand that is quick and then waits. That is
// larger, or smaller, than it lay before, as no icon that makes room is.
bool Follow::take_lifted(Track& track) {
  if (!track.known) learn_wide(track);
  trace_back(track);
  if (!surely_lifted(track)) return false;
  held_ = std::move(track);
  candidates_.clear();
  if (!held_->known) keep_lying(*held_);
  ++contacts_;
  return true;
}

}  // namespace paneproof::video
