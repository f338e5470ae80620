#include "capture/video/touch.hpp"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "capture/video/let_go.hpp"

namespace paneproof::video {
namespace {

// No hand lifts and lands again so soon, the interval of the pictures not counted (docs/method.md).
constexpr std::int64_t no_hand_us = 45'000;
constexpr double wiggles = 0.012;  // of the width: what shakes in its place goes no further

bool same_size(double a, double b) { return std::abs(a - b) < 0.15 * b + 1; }

}  // namespace

std::int64_t Touches::Contact::known() const {
  return std::count_if(way.begin(), way.end(), [](const At& at) { return at.known; });
}

bool Touches::restored(const Plane& plane, double x, double y, double size, double most) const {
  const double r = size / 2;
  double differ = 0, all = 0;
  for (int j = static_cast<int>(y - r); j <= static_cast<int>(y + r); ++j)
    for (int i = static_cast<int>(x - r); i <= static_cast<int>(x + r); ++i) {
      if (i < 0 || j < 0 || i >= width_ || j >= height_) continue;
      const std::size_t k = static_cast<std::size_t>(j) * width_ + i;
      differ += std::abs(plane.luma[k] - ground_[k]) > telling, ++all;
    }
  return differ <= most * all;
}

void Touches::end(Contact&& contact, bool went, const Plane* plane) {
  while (!contact.way.empty() && !contact.way.back().known) contact.way.pop_back();
  if (contact.way.size() < 6) return;
  if (contact.known() * 2 < static_cast<std::int64_t>(contact.way.size())) return;
  contact.went =
      went && (contact.cross || look_.ready() ||
               (plane && restored(*plane, contact.way.back().x, contact.way.back().y, contact.size, 0.3)));
  double reach = 0;
  for (const At& at : contact.way)
    reach = std::max(reach, std::hypot(at.x - contact.way.front().x, at.y - contact.way.front().y));
  if (reach < 0.05 * width_ && !contact.cross) return;
  if (!contact.cross && contact.round < 0.6 * static_cast<double>(contact.known())) return;
  // What was taken for a mark before the look of marks was known, and is of another size, is none.
  if (!contact.cross && look_.ready() && !same_size(contact.size, look_.size())) return;
  if (contact.went || !went) closed_.push_back(std::move(contact));
}

// A system draws one kind of indicator, of one size: what else came and went is none.
void Touches::keep_one_kind() {
  double most = 0, size = 0;
  bool cross = false;
  const auto alike = [](const Contact& a, bool b_cross, double b_size) {
    return a.cross == b_cross && same_size(a.size, b_size);
  };
  for (const Contact& a : closed_) {
    double sum = 0;
    for (const Contact& b : closed_)
      if (alike(b, a.cross, a.size)) sum += static_cast<double>(b.known());
    if (sum > most) most = sum, size = a.size, cross = a.cross;
  }
  std::erase_if(closed_, [&](const Contact& c) { return !alike(c, cross, size); });
}

void Touches::keep_picture(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  Old old{frame, t_us, {}};
  while (!old_.empty() &&
         (t_us - old_.front().t_us > (look_.ready() ? 250'000 : 2'000'000) || old_.size() > 130)) {
    std::swap(old.plane, old_.front().plane);
    old_.pop_front();
  }
  old.plane = plane;
  old_.push_back(std::move(old));
}

void Touches::add(const Plane& plane, std::int64_t frame, std::int64_t t_us) {
  if (off_) return;
  learn_ground(plane);
  const bool was_ready = look_.ready();
  std::vector<Spot> found = spots(plane);
  follow_spots(plane, found, frame, t_us);
  start_spots(plane, found, frame, t_us);
  if (look_.ready() && !was_ready)
    for (Contact& contact : open_)
      if (!contact.cross) trace_back(contact);
  keep_picture(plane, frame, t_us);
  if (!explained_.empty()) std::swap(ground_, explained_), explained_.clear();
  if (crowded_ < 0.3) follow_cross(plane, frame, t_us);
  // A look that was not seen to come and is found in too many places at once is that of a badge or a drawing.
  if (look_.ready() && doubtful_ && std::count_if(open_.begin(), open_.end(), [](const Contact& c) {
                                      return !c.cross && c.missed == 0;
                                    }) > most_at_once) {
    std::erase_if(open_, [](const Contact& c) { return !c.cross; });
    std::erase_if(closed_, [](const Contact& c) { return !c.cross; });
    look_ = {};  // and what is seen without a look is in doubt as it was
  }
  before_.push_back(std::move(found));
  if (before_.size() > 3) before_.erase(before_.begin());
  ++frames_;
  if (t_us > 20'000'000 && closed_.empty() && open_.empty()) off_ = true;  // no touches are shown here
}

// May it be a mark yet? What lies still for long drags nothing, and the look of a mark is known soon.
bool Touches::promises(const Contact& contact) const {
  if (contact.cross) return true;
  if (!look_.ready() && contact.look.learnt() > most_learnt) return false;
  return rested_us(contact, contact.way.back().t_us) < longest_rest_us;
}

void Touches::compare(std::int64_t dragged) {
  if (off_ || dragged < 150) return;
  std::int64_t touched = 0;
  for (const Contact& contact : open_) touched += promises(contact) ? contact.known() : 0;
  for (const Contact& contact : closed_) touched += contact.known();
  // Marks of a doubtful look may be what is dragged: they go on being looked for only while there are nearly
  // as many (finish).
  if (touched * 10 >= dragged * (doubtful_ ? 8 : 4)) return;
  off_ = true;
  open_.clear(), closed_.clear(), old_.clear();
}

// What was taken for marks moved a little and has lain still since, as what makes room does.
bool Touches::mostly_at_rest() const {
  std::size_t moving = 0, all = 0;
  for (const Contact& c : closed_)
    for (std::size_t i = 0, before = 0; i < c.way.size(); ++i) {
      while (c.way[i].t_us - c.way[before].t_us > rests_us) ++before;
      ++all;
      moving += std::hypot(c.way[i].x - c.way[before].x, c.way[i].y - c.way[before].y) > wiggles * width_;
    }
  return 4 * moving < all;
}

// Fingers do not land three at once, but what makes room sets off so.
bool Touches::mostly_together() const {
  std::int64_t together = 0, all = 0;
  for (const Contact& c : closed_) {
    const auto with = std::count_if(closed_.begin(), closed_.end(), [&](const Contact& other) {
      return std::abs(other.way.front().frame - c.way.front().frame) <= 1;
    });
    all += c.known(), together += with >= 3 ? c.known() : 0;
  }
  return 2 * together > all;
}

// Is what was dragged, most of the time, where a mark is?
bool Touches::is_marks(const Path& path) const {
  std::size_t with = 0;
  for (const Row& row : path.rows)
    with += std::any_of(closed_.begin(), closed_.end(), [&](const Contact& c) {
      const auto at = std::lower_bound(c.way.begin(), c.way.end(), row.t_us,
                                       [](const At& a, std::int64_t t_us) { return a.t_us < t_us; });
      return at != c.way.end() && at->t_us == row.t_us &&
             std::hypot(shrink_ * at->x - row.x, shrink_ * at->y - row.y) < 0.05 * shrink_ * width_;
    });
  return 2 * with > path.rows.size();
}

// A mark that is gone in plain view, be it for one picture, and comes back is a new contact.
void Touches::part_where_gone() {
  const auto known = [](const At& at) { return at.known; };
  const auto seen_gone = [](const At& at) { return at.gone; };
  std::vector<Contact> parts;
  for (Contact& whole : closed_) {
    const std::vector<At> way = std::exchange(whole.way, {});
    for (auto from = way.begin(), back = from; from != way.end();) {
      const auto gone = std::find_if_not(back, way.end(), known);
      back = std::find_if(gone, way.end(), known);
      if (gone != way.end() && !std::all_of(gone, back, seen_gone)) continue;
      Contact part = whole;
      part.way.assign(from, gone);
      if (gone != way.end())
        part.went = true, part.lost = false, part.back = back->t_us - gone->t_us < no_hand_us;
      parts.push_back(std::move(part));
      from = back;
    }
  }
  closed_ = std::move(parts);
}

// In full motion a hand may lift as well, but not be back at once.
LetGo::Kind Touches::kind_of(const Contact& contact, const std::vector<Sample>& samples) const {
  if (contact.lost) return LetGo::Kind::lost;
  if (!contact.went) return LetGo::Kind::end;
  const LetGo::Kind kind = kind_of_end(samples, width_);
  return kind == LetGo::Kind::drop && !contact.back ? LetGo::Kind::doubt : kind;
}

bool Touches::finish(Path& path) {
  for (Contact& contact : open_) end(std::move(contact), false, nullptr);
  open_.clear();
  keep_one_kind();
  std::int64_t touched = 0;
  for (const Contact& contact : closed_) touched += contact.known();
  const bool same = is_marks(path);
  if (!same && static_cast<double>(touched) < 0.7 * static_cast<double>(path.followed_frames)) return false;
  // What was followed may be a mark itself, and what vanishes there was not dropped.
  if (doubtful_ && same)
    for (Ended& end : path.endings)
      if (end.kind == LetGo::Kind::drop && !end.lifted) end.kind = LetGo::Kind::doubt;
  if (doubtful_ && (2 * path.followed_frames > touched || mostly_at_rest())) return false;
  // Something was dragged, and what was taken for marks lay still meanwhile.
  if (!same && path.followed_frames > 0 && mostly_at_rest()) return false;
  if (mostly_together()) return false;
  // What went to a slot and shrank there, twice, was dragged, unless it is a mark itself: then what was taken
  // for marks elsewhere are other icons.
  const auto to_slots = std::count_if(path.endings.begin(), path.endings.end(), [](const Ended& end) {
    return end.kind == LetGo::Kind::drop || end.kind == LetGo::Kind::release;
  });
  if (to_slots >= 2 && touched > 2 * path.followed_frames && !same) return false;
  if (std::none_of(closed_.begin(), closed_.end(),
                   [&](const Contact& c) { return c.went && !(doubtful_ && c.lost); }))
    return false;
  part_where_gone();
  std::sort(closed_.begin(), closed_.end(),
            [](const Contact& a, const Contact& b) { return a.way.front().frame < b.way.front().frame; });
  path.rows.clear(), path.endings.clear();
  path.held_frames = path.followed_frames = 0;
  path.first_held = closed_.front().way.front().frame, path.last_held = -1;
  path.largest_width = path.largest_height = 0;
  int number = 0;
  for (const Contact& contact : closed_) {
    ++number;
    std::vector<Sample> samples;
    for (const At& at : contact.way) {
      Sample sample;
      sample.frame = at.frame, sample.t_us = at.t_us, sample.pose.x = at.x, sample.pose.y = at.y;
      sample.known = at.known;
      samples.push_back(sample);
      path.held_frames += 1, path.followed_frames += at.known;
      if (at.known) path.rows.push_back({at.t_us, number, shrink_ * at.x, shrink_ * at.y, shrink_ * 0.15});
    }
    path.last_held = std::max(path.last_held, contact.way.back().frame);
    path.endings.push_back({kind_of(contact, samples), number, contact.way.back().t_us,
                            shrink_ * contact.way.back().x, shrink_ * contact.way.back().y});
  }
  return true;
}

}  // namespace paneproof::video
