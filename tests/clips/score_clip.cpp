// How well made-up recordings are followed: score_clip CLIP TRUTH [CLIP TRUTH]... (make_clip writes both).
// With -v first, a line a true grab as well: how much of it is followed, and the mean and spread of what is
// off, px. A line a clip, and one for all: position error (median and 95th percentile, % of the width), share
// of the frames with something held in which it is within 5 % of the width, and drops within 50 ms and a
// frame.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "capture/model/input_error.hpp"
#include "capture/video/follow.hpp"
#include "capture/video/rectify.hpp"

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

struct Grab {
  double from_s = 0, to_s = 0, side = 0, height = 0;
  int held = 0;
  std::map<int, int> by;  // contacts told
  std::vector<double> dx, dy;
};

void tell(const std::map<int, Grab>& grabs, const video::Path& path) {
  const auto mean = [](const std::vector<double>& v) {
    double sum = 0;
    for (const double x : v) sum += x;
    return v.empty() ? 0 : sum / static_cast<double>(v.size());
  };
  const auto spread = [&](const std::vector<double>& v) {
    double sum = 0, m = mean(v);
    for (const double x : v) sum += (x - m) * (x - m);
    return v.empty() ? 0 : std::sqrt(sum / static_cast<double>(v.size()));
  };
  for (const auto& [number, g] : grabs) {
    std::printf("   grab %d  %.3f..%.3f s  %.0f x %.0f px  %d frames  off %.2f %.2f  sd %.2f %.2f  by",
                number, g.from_s, g.to_s, g.side, g.height, g.held, mean(g.dx), mean(g.dy), spread(g.dx),
                spread(g.dy));
    for (const auto& [contact, count] : g.by) std::printf(" %d:%d", contact, count);
    std::printf("\n");
  }
  for (const video::Ended& end : path.endings) {
    double from = 1e9;
    for (const video::Row& row : path.rows)
      if (row.contact == end.contact) from = std::min(from, row.t_us * 1e-6);
    std::printf("   told %d  %.3f..%.3f s  %s at %.1f %.1f\n", end.contact, from, end.t_us * 1e-6,
                end.kind == LetGo::Kind::drop      ? "drop"
                : end.kind == LetGo::Kind::release ? "release"
                : end.kind == LetGo::Kind::doubt   ? "doubt"
                : end.kind == LetGo::Kind::lost    ? "lost"
                                                   : "end",
                end.x, end.y);
  }
}

// A film of a device: the corners of its screen, and the px of that screen in which the truth is.
struct Filmed {
  std::optional<video::Corners> corners;
  double width = 0, height = 0;
};

Sum score(const std::string& clip, const std::string& truth, bool verbose, const Filmed& filmed) {
  video::Frames frames(clip, {}, filmed.corners ? 480 : 240);
  std::optional<video::Rectify> upright;
  if (filmed.corners) upright.emplace(*filmed.corners, frames.facts().shrink);
  video::FollowOptions options;
  options.filmed = upright.has_value();
  video::Follow follow(upright ? 1 : frames.facts().shrink, options);
  video::Plane panel;
  for (video::Frame frame; frames.next(frame);) {
    if (upright) {
      upright->apply(frame.plane, panel);
      std::swap(panel, frame.plane);
    }
    follow.add(std::move(frame));
  }
  video::Path path = follow.finish();
  const double width = upright ? filmed.width : frames.facts().width;
  if (upright) {
    const double sx = filmed.width / upright->width(), sy = filmed.height / upright->height();
    for (video::Row& row : path.rows) row.x *= sx, row.y *= sy;
    for (video::Ended& end : path.endings) end.x *= sx, end.y *= sy;
  }
  std::map<std::int64_t, std::vector<video::Row>> rows;
  for (const video::Row& row : path.rows) rows[row.t_us].push_back(row);
  Sum sum;
  std::ifstream in(truth);
  std::string line;
  std::getline(in, line);
  std::map<int, Grab> grabs;
  for (const video::Ended& end : path.endings) sum.told += end.kind == LetGo::Kind::drop;
  while (std::getline(in, line)) {
    std::replace(line.begin(), line.end(), ',', ' ');
    std::istringstream fields(line);
    std::string kind;
    double t = 0, x = 0, y = 0, side = 0, height = 0;
    int contact = 0;
    fields >> kind >> t >> contact >> x >> y >> side >> height;
    if (kind == "held") {
      ++sum.held;
      Grab& grab = grabs[contact];
      if (grab.held++ == 0) grab.from_s = t;
      grab.to_s = t, grab.side = std::max(grab.side, side), grab.height = std::max(grab.height, height);
      const video::Row* nearest = nullptr;
      const auto from = rows.lower_bound(std::llround(t * 1e6) - 1500),
                 to = rows.upper_bound(std::llround(t * 1e6) + 1500);
      double least = 1e9;
      for (auto at = from; at != to; ++at)
        for (const video::Row& row : at->second) {
          const double off = 100 * std::hypot(row.x - x, row.y - y) / width;
          if (off < least) least = off, nearest = &row;
        }
      if (nearest) {
        ++grab.by[nearest->contact];
        if (least < 20) grab.dx.push_back(nearest->x - x), grab.dy.push_back(nearest->y - y);
      }
      if (least < 1e9) sum.off.push_back(least);
      sum.near += least < 5;
    } else if (kind == "drop") {
      ++sum.drops;
      sum.found += std::any_of(path.endings.begin(), path.endings.end(), [&](const video::Ended& e) {
        return e.kind == LetGo::Kind::drop && std::abs(static_cast<double>(e.t_us) * 1e-6 - t) < 0.067;
      });
    }
  }
  if (verbose) tell(grabs, path);
  return sum;
}

}  // namespace

int main(int argc, char** argv) {
  Sum all;
  const bool verbose = argc > 1 && std::string(argv[1]) == "-v";
  int first = verbose ? 2 : 1;
  Filmed filmed;
  if (argc > first + 2 && std::string(argv[first]) == "--filmed") {  // --filmed CORNERS WIDTHxHEIGHT
    filmed.corners = video::corners_of(argv[first + 1]);
    std::sscanf(argv[first + 2], "%lfx%lf", &filmed.width, &filmed.height);
    first += 3;
  }
  for (int i = first; i + 1 < argc; i += 2) {
    try {
      Sum one = score(argv[i], argv[i + 1], verbose, filmed);
      all.add(one);
      one.print(argv[i]);
    } catch (const InputError& error) {
      std::printf("%s: %s\n", argv[i], error.what());
    }
  }
  all.print("all");
}
