// Of a thing that lies in a slot again, where few pictures tell how it came there (let_go.hpp).
#include <algorithm>
#include <cmath>

#include "capture/video/let_go.hpp"
#include "capture/video/median.hpp"
#include "capture/video/way.hpp"

namespace paneproof::video {

Judged let_go_into_slot(const Track& track, std::size_t rest, double width) {
  constexpr std::int64_t glide_us = 500'000;
  const auto& s = track.samples;
  std::size_t last = rest;
  double faster = 0;
  bool slower = false;  // back in time: past its fastest
  while (last > track.grab && s[rest].t_us - s[last - 1].t_us <= glide_us) {
    if (!s[last - 1].known || !straight_to_rest(s, last - 1, rest)) break;
    const double step = far(s[last - 1].pose, s[last].pose);
    if (step < 1 || (slower && step > faster)) break;
    slower = slower || step < 0.8 * faster;
    faster = step, --last;
  }
  // Its size tells better.
  std::vector<double> sizes;
  for (std::size_t i = track.grab; i < rest; ++i)
    if (s[i].known) sizes.push_back(s[i].pose.scale);
  if (const double held = sizes.size() > 3 ? median(sizes) : 0;
      held > 0 && track.rest_scale > 0 && std::abs(held - track.rest_scale) > least_raised)
    last = std::max(last, std::min(rest, last_of_size(s, track.grab, held, track.rest_scale)));
  const LetGo::Kind kind = kind_at(s, last, track.grab, width);
  // A picture or two do not tell a hand that hurried from a contact that was lost.
  return {last, kind == LetGo::Kind::drop ? LetGo::Kind::doubt : kind, 0, false};
}

}  // namespace paneproof::video
