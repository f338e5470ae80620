// How well made-up recordings are followed: score_clip CLIP TRUTH [CLIP TRUTH]... (make_clip writes both).
// A line a clip, and one for all: position error (median and 95th percentile, % of the width), share of the
// frames with something held in which it is within 5 % of the width, and drops within 50 ms and a frame.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "capture/model/input_error.hpp"
#include "capture/video/follow.hpp"

using namespace paneproof;

namespace {

struct Sum {
  std::vector<double> off;
  int held = 0, near = 0, drops = 0, found = 0, told = 0;
  void add(const Sum& s) {
    off.insert(off.end(), s.off.begin(), s.off.end());
    held += s.held, near += s.near, drops += s.drops, found += s.found, told += s.told;
  }
  void print(const char* name) {
    std::sort(off.begin(), off.end());
    const double median = off.empty() ? 100 : off[off.size() / 2],
                 p95 = off.empty() ? 100 : off[off.size() * 95 / 100];
    std::printf("%-20s median %.3f %%  95th %.3f %%  followed %.1f %%  drops: %d true, %d found, %d told\n",
                name, median, p95, held ? 100.0 * near / held : 0.0, drops, found, told);
  }
};

Sum score(const std::string& clip, const std::string& truth) {
  video::Frames frames(clip, {}, 250);
  video::Follow follow(frames.facts().shrink, {});
  for (video::Frame frame; frames.next(frame);) follow.add(std::move(frame));
  const video::Path path = follow.finish();
  std::map<std::int64_t, std::vector<video::Row>> rows;
  for (const video::Row& row : path.rows) rows[row.t_us].push_back(row);
  Sum sum;
  std::ifstream in(truth);
  std::string line;
  std::getline(in, line);
  for (const video::Ended& end : path.endings) sum.told += end.kind == LetGo::Kind::drop;
  while (std::getline(in, line)) {
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream fields(line);
    std::string kind;
    double t = 0, x = 0, y = 0;
    int contact = 0;
    fields >> kind >> t >> contact >> x >> y;
    if (kind == "held") {
      ++sum.held;
      const auto from = rows.lower_bound(std::llround(t * 1e6) - 1500),
                 to = rows.upper_bound(std::llround(t * 1e6) + 1500);
      double least = 1e9;
      for (auto at = from; at != to; ++at)
        for (const video::Row& row : at->second)
          least = std::min(least, 100 * std::hypot(row.x - x, row.y - y) / frames.facts().width);
      if (least < 1e9) sum.off.push_back(least);
      sum.near += least < 5;
    } else if (kind == "drop") {
      ++sum.drops;
      sum.found += std::any_of(path.endings.begin(), path.endings.end(), [&](const video::Ended& e) {
        return e.kind == LetGo::Kind::drop && std::abs(static_cast<double>(e.t_us) * 1e-6 - t) < 0.067;
      });
    }
  }
  return sum;
}

}  // namespace

int main(int argc, char** argv) {
  Sum all;
  for (int i = 1; i + 1 < argc; i += 2) {
    try {
      Sum one = score(argv[i], argv[i + 1]);
      all.add(one);
      one.print(argv[i]);
    } catch (const InputError& error) {
      std::printf("%s: %s\n", argv[i], error.what());
    }
  }
  all.print("all");
}
