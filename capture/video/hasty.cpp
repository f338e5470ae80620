// Endings that no hand can have made so soon before the next grab (let_go.hpp).
#include <cmath>
#include <map>

#include "capture/video/let_go.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t takeover_us = 60'000, regrab_us = 200'000, shortest_drag_us = 600'000;
constexpr double moved_px = 4;

struct Span {
  std::int64_t first_us = 0, last_us = 0, moves_us = 0;
  double x = 0, y = 0;
};

// What lay still for a while may have been taken up as late as the end of it.
std::int64_t taken_up_us(const Span& span) {
  return span.moves_us - span.first_us > rest_us ? span.moves_us - rest_us : span.first_us;
}

}  // namespace

void doubt_hasty_endings(Path& path) {
  std::map<int, Span> spans;
  for (const Row& row : path.rows) {
    Span& span = spans.try_emplace(row.contact, Span{row.t_us, row.t_us, 0, row.x, row.y}).first->second;
    span.last_us = row.t_us;
    if (span.moves_us == 0 && std::hypot(row.x - span.x, row.y - span.y) > moved_px) span.moves_us = row.t_us;
  }
  for (Ended& end : path.endings) {
    const auto held = spans.find(end.contact), next = spans.upper_bound(end.contact);
    const std::int64_t until_us = next == spans.end() ? regrab_us : taken_up_us(next->second) - end.t_us,
                       lasted_us = held == spans.end() ? 0 : held->second.last_us - held->second.first_us;
    if (until_us <= takeover_us)
      end.kind = LetGo::Kind::lost;
    else if (end.kind == LetGo::Kind::drop &&
             ((lasted_us < shortest_drag_us && !end.lifted) || until_us < regrab_us))
      end.kind = LetGo::Kind::doubt;
  }
}

}  // namespace paneproof::video
