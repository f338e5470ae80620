#include "capture/video/show.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <filesystem>
#include <map>
#include <optional>

#include "capture/model/input_error.hpp"
#include "capture/video/draw_on.hpp"
#include "capture/video/frames.hpp"
#include "capture/video/video_file.hpp"

namespace paneproof::video {
namespace {

constexpr int before = 3, after = 5;  // frames of a strip
constexpr std::size_t most_strips = 50;
constexpr int show_width = 300;  // px, shorter side of what is drawn on
constexpr int film_width = 500;  // px: as main.cpp reads a film

// The rows by time, and how far they were drawn.
class Drawn {
 public:
  Drawn(const Path& path, const StreamFacts& facts) : path_(path), shrink_(facts.shrink) {
    for (const Row& row : path.rows) rows_[row.t_us].push_back(&row);
    width_ = facts.width / facts.shrink, height_ = facts.height / facts.shrink;
    cell_ = std::max(4, std::min(width_, height_) / 15);
    filled_.assign(static_cast<std::size_t>((width_ / cell_ + 1)) * (height_ / cell_ + 1), false);
  }
  // Draws what is known up to this frame.
  void on(Picture& picture, std::int64_t t_us) {
    const auto now = rows_.find(t_us);
    if (now != rows_.end())
      for (const Row* row : now->second) step(*row);
    for (int j = 0; j * cell_ < height_; ++j)
      for (int i = 0; i * cell_ < width_; ++i)
        if (filled_[place(i, j)])
          picture.tint(i * cell_ + 1, j * cell_ + 1, std::min(width_, (i + 1) * cell_),
                       std::min(height_, (j + 1) * cell_), ink_path, 0.35);
    for (std::size_t k = 1; k < trail_.size(); ++k)
      if (trail_[k].contact == trail_[k - 1].contact && t_us - trail_[k].t_us < 3'000'000)
        picture.line(trail_[k - 1].x, trail_[k - 1].y, trail_[k].x, trail_[k].y, ink_path);
    if (now != rows_.end())
      for (const Row* row : now->second) {
        picture.ring(row->x / shrink_, row->y / shrink_, 0.6 * cell_, 3, ink_now);
        picture.ring(row->x / shrink_, row->y / shrink_, 0.6 * cell_ + 2, 1.2, ink_dark);
      }
    for (const Ended& end : path_.endings)
      if (end.kind == LetGo::Kind::drop && end.t_us <= t_us) {
        const double x = end.x / shrink_, y = end.y / shrink_, r = 0.5 * cell_;
        picture.ring(x, y, 0.8 * cell_, 3, ink_drop);
        picture.line(x - r, y - r, x + r, y + r, ink_drop);
        picture.line(x - r, y + r, x + r, y - r, ink_drop);
      }
  }
  // The places in this frame alone.
  void rings(Plane& plane, std::int64_t t_us) const {
    const auto now = rows_.find(t_us);
    if (now == rows_.end()) return;
    Picture picture(std::move(plane));
    for (const Row* row : now->second) {
      picture.ring(row->x / shrink_, row->y / shrink_, 0.6 * cell_, 3, ink_now);
      picture.ring(row->x / shrink_, row->y / shrink_, 0.6 * cell_ + 2, 1.2, ink_dark);
    }
    plane = std::move(picture.luma);
  }

 private:
  struct Place {
    std::int64_t t_us;
    double x, y;
    int contact;
  };
  std::size_t place(int i, int j) const {
    return static_cast<std::size_t>(j) * (width_ / cell_ + 1) + static_cast<std::size_t>(i);
  }
  void fill(double x, double y) {
    if (x >= 0 && y >= 0 && x < width_ && y < height_)
      filled_[place(static_cast<int>(x) / cell_, static_cast<int>(y) / cell_)] = true;
  }
  void step(const Row& row) {
    const Place now{row.t_us, row.x / shrink_, row.y / shrink_, row.contact};
    const auto last = std::find_if(trail_.rbegin(), trail_.rend(),
                                   [&](const Place& p) { return p.contact == now.contact; });
    if (last != trail_.rend() && now.t_us - last->t_us < 100'000) {
      const double length = std::hypot(now.x - last->x, now.y - last->y);
      for (double d = 0; d < length; d += 2)
        fill(last->x + d / length * (now.x - last->x), last->y + d / length * (now.y - last->y));
    }
    fill(now.x, now.y);
    trail_.push_back(now);
    if (trail_.size() > 2000) trail_.pop_front();
  }

  const Path& path_;
  int shrink_, width_ = 0, height_ = 0, cell_ = 8;
  std::map<std::int64_t, std::vector<const Row*>> rows_;
  std::vector<bool> filled_;
  std::deque<Place> trail_;
};

struct Strip {
  std::int64_t t_us;
  std::vector<Plane> tiles;
  int held = -1;  // tile of the last frame in which it was held
  int more = after;
};

void write_strip(const std::string& folder, std::size_t number, const Strip& strip) {
  constexpr int gap = 4;
  const int w = strip.tiles.front().width, h = strip.tiles.front().height,
            n = static_cast<int>(strip.tiles.size());
  Plane all{n * (w + gap) + gap, h + 2 * gap, {}};
  all.luma.assign(static_cast<std::size_t>(all.width) * all.height, 40);
  for (int k = 0; k < n; ++k) {
    const int x0 = gap + k * (w + gap);
    if (k == strip.held)
      for (int y = 0; y < all.height; ++y) std::fill_n(all.row(y) + x0 - gap, w + 2 * gap, std::uint8_t{255});
    for (int y = 0; y < h; ++y)
      std::copy_n(strip.tiles[static_cast<std::size_t>(k)].row(y), w, all.row(gap + y) + x0);
  }
  write_png(folder + "/drop-" + std::to_string(number) + ".png", all);
}

}  // namespace

void show(const std::string& recording, const Path& path, const ShowOptions& options,
          const std::function<void(double)>& progress) {
  Frames frames(recording, {}, options.corners ? film_width : show_width);
  StreamFacts facts = frames.facts();
  std::optional<Rectify> upright;
  if (options.corners) {
    upright.emplace(*options.corners, facts.shrink);
    facts.width = upright->width(), facts.height = upright->height(), facts.shrink = 1;
  }
  Drawn drawn(path, facts);
  if (!options.strips.empty()) {
    std::error_code error;
    std::filesystem::create_directories(options.strips, error);
    if (error || !std::filesystem::is_directory(options.strips))
      throw InputError(options.strips, "", "expected a folder for --strips that can be made", "name another",
                       Exit::cannot_create);
  }
  std::optional<VideoFile> video;
  if (!options.annotate.empty())
    video.emplace(options.annotate, facts.width / facts.shrink, facts.height / facts.shrink);
  std::vector<std::int64_t> drops;
  for (const Ended& end : path.endings)
    if (end.kind == LetGo::Kind::drop && !options.strips.empty() && drops.size() < most_strips)
      drops.push_back(end.t_us);
  std::sort(drops.begin(), drops.end());
  std::deque<Plane> lately;
  std::vector<Strip> open;
  std::size_t next = 0, written = 0;
  double told = 0;
  for (Frame frame; frames.next(frame);) {
    const double share = facts.duration_s > 0 ? static_cast<double>(frame.t_us) * 1e-6 / facts.duration_s : 0;
    if (share > told + 0.05) progress(told = share);
    if (upright) {
      Plane panel;
      upright->apply(frame.plane, panel);
      std::swap(panel, frame.plane);
    }
    if (next < drops.size() || !open.empty()) {
      Plane tile = frame.plane;
      drawn.rings(tile, frame.t_us);
      for (Strip& strip : open) strip.tiles.push_back(tile), --strip.more;
      if (next < drops.size() && frame.t_us >= drops[next]) {
        Strip strip{drops[next], {lately.begin(), lately.end()}};
        strip.held = static_cast<int>(strip.tiles.size());
        strip.tiles.push_back(tile);
        open.push_back(std::move(strip));
        ++next;
      }
      while (!open.empty() && open.front().more <= 0) {
        write_strip(options.strips, ++written, open.front());
        open.erase(open.begin());
      }
      lately.push_back(std::move(tile));
      if (lately.size() > before) lately.pop_front();
    }
    if (!video) continue;
    Picture picture(frame.plane);
    drawn.on(picture, frame.t_us);
    video->add(picture, frame.t_us);
  }
  for (const Strip& strip : open) write_strip(options.strips, ++written, strip);
  if (video) video->commit();
}

}  // namespace paneproof::video
