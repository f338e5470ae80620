// Of a thing that is let go and does not glide: it is in its slot at once (let_go.hpp).
#include <algorithm>

#include "capture/video/let_go.hpp"

namespace paneproof::video {

std::optional<std::size_t> snapped(const Track& track, std::size_t rest) {
  constexpr std::int64_t at_once_us = 60'000, before_us = 250'000;
  constexpr double least_px = 4, much = 3;  // times as far as it went in any picture before
  const auto& s = track.samples;
  std::size_t last = rest;
  while (last > track.grab && !s[--last].known) {
  }
  const double leap = far(s[last].pose, s[rest].pose);
  if (!s[last].known || s[rest].t_us - s[last].t_us > at_once_us || leap < least_px) return {};
  double most = 0;
  std::size_t i = last;
  for (; i > track.grab && s[last].t_us - s[i].t_us < before_us; --i)
    if (s[i].known && s[i - 1].known) most = std::max(most, far(s[i].pose, s[i - 1].pose));
  if (s[last].t_us - s[i].t_us < before_us / 2 || leap < much * most) return {};
  return last;
}

}  // namespace paneproof::video
