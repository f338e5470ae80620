// How near a followed path is to the truth of a made-up recording.
#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "capture/video/follow.hpp"
#include "tests/clips/story.hpp"

namespace paneproof::clips {

struct Scored {
  double median = 1, p95 = 1;  // of the width
  double followed = 0;  // share of the frames with something held in which it is within 2 % of the width
  int drops = 0, found = 0, told = 0;  // true; true and told within 50 ms and one frame; told
};

// Renders the story and follows it, without a codec.
inline video::Path followed(const Story& story) {
  video::Follow follow(1, {});
  Canvas canvas;
  for (const Moment& moment : story.moments) {
    render(story, moment, canvas);
    video::Frame frame;
    frame.t_us = std::llround(moment.t_s * 1e6);
    frame.plane.width = canvas.width, frame.plane.height = canvas.height;
    frame.plane.luma.resize(canvas.luma.size());
    for (std::size_t i = 0; i < canvas.luma.size(); ++i)
      frame.plane.luma[i] = static_cast<std::uint8_t>(std::clamp(canvas.luma[i] + 0.5F, 0.0F, 255.0F));
    follow.add(std::move(frame));
  }
  return follow.finish();
}

inline Scored scored(const Story& story, const video::Path& path) {
  std::map<std::int64_t, std::vector<video::Row>> rows;
  for (const video::Row& row : path.rows) rows[row.t_us].push_back(row);
  std::vector<double> off;
  double held = 0, near = 0;
  for (const Moment& moment : story.moments)
    for (const Held& truth : moment.held) {
      ++held;
      const auto at = rows.find(std::llround(moment.t_s * 1e6));
      if (at == rows.end()) continue;
      double least = 1;
      for (const video::Row& row : at->second)
        least = std::min(least, std::hypot(row.x - truth.x, row.y - truth.y) / story.options.width);
      off.push_back(least);
      near += least < 0.02;
    }
  Scored out;
  std::sort(off.begin(), off.end());
  if (!off.empty()) out.median = off[off.size() / 2], out.p95 = off[off.size() * 95 / 100];
  out.followed = held > 0 ? near / held : 0;
  const double within_s = 0.05 + 1 / story.options.rate_hz;
  for (const video::Ended& end : path.endings) out.told += end.kind == LetGo::Kind::drop;
  for (const Event& event : story.events) {
    if (event.kind != Event::Kind::drop) continue;
    ++out.drops;
    out.found += std::any_of(path.endings.begin(), path.endings.end(), [&](const video::Ended& end) {
      return end.kind == LetGo::Kind::drop &&
             std::abs(static_cast<double>(end.t_us) * 1e-6 - event.t_s) <= within_s;
    });
  }
  return out;
}

}  // namespace paneproof::clips
