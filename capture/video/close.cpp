// The end of what was held: its way is written out, as its plate's or its slot's middle, and it is forgotten.
#include <algorithm>
#include <cmath>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {
namespace {

constexpr std::size_t most_known = 4;
constexpr double surely_seen = 0.8;     // of a plate
constexpr double surely_proved = 0.95;  // of a plate's line: how it lay tells no better

}  // namespace

// Writes out the held thing's way up to sample `last`, and forgets it.
void Follow::close(std::size_t last, LetGo::Kind kind, bool lifted) {
  if (options_.filmed) return close_filmed(last, kind, lifted);
  const Track& track = *held_;
  Plate plate = find_plate(*track.model, true);
  if (!plausible(plate, kept_.back().plane.width)) plate = {};
  if (track.wide && plate.sure > surely_seen) {
    narrow_to(*held_, plate);
    relearn(*held_);
    plate = track.plate;
  }
  // What was surer before stays: since then it may have been learnt from worse pictures.
  const bool same_size = std::abs(plate.width - track.plate.width) < 0.06 * track.plate.width &&
                         std::abs(plate.height - track.plate.height) < 0.06 * track.plate.height;
  const auto merit = [](const Plate& p) { return p.sure + 0.3 * p.proved; };
  if (!track.wide && merit(track.plate) > merit(plate) + (same_size ? 0.1 : -0.02)) plate = track.plate;
  const auto& s = track.samples;
  while (last > track.grab && !s[last].known) --last;
  if (const auto seen = plate.proved < surely_proved ? seen_lying(track) : std::nullopt) {
    const Pose& p = s[track.grab].pose;
    Plate lying = *seen;
    lying.x = (lying.x - p.x) / p.scale, lying.y = (lying.y - p.y) / p.scale;
    lying.width /= p.scale, lying.height /= p.scale;
    if (tells_better(lying, plate)) plate = lying;
  }
  if (track.known && plate.width > 0 && merit(plate) > merit(track.plate) + 0.02)
    put_right(track, plate, s[last].pose.scale);
  count_held(track, last);
  const bool unknown = unsure(plate) && !options_.hint_x;
  Row row;
  for (std::size_t i = track.grab; i <= last && !unknown; ++i) {
    if (!s[i].known) continue;
    const Pose& p = s[i].pose;
    const double c = p.scale * std::cos(p.turn), n = p.scale * std::sin(p.turn);
    row = {s[i].t_us, contacts_, shrink_ * (p.x + c * plate.x - n * plate.y),
           shrink_ * (p.y + n * plate.x + c * plate.y), shrink_ * std::hypot(s[i].sd, 0.1)};
    path_.rows.push_back(row);
    ++path_.followed_frames;
    // Without a plate: as large as what was seen to move.
    const bool plated = plate.width > 0;
    path_.largest_width =
        std::max(path_.largest_width, shrink_ * p.scale * (plated ? plate.width : 2 * track.half_width));
    path_.largest_height =
        std::max(path_.largest_height, shrink_ * p.scale * (plated ? plate.height : 2 * track.half_height));
  }
  if (kind == LetGo::Kind::drop && fits_ill(s, last, track.model->contrast())) kind = LetGo::Kind::doubt;
  if (!unknown) path_.endings.push_back({kind, contacts_, row.t_us, row.x, row.y, lifted});
  closed_frame_ = s[last].frame;
  if (!track.cut && plate.width > 0 && (!track.wide || plate.sure > surely_seen)) {
    if (track.wide)
      narrow_to(*held_, plate);
    else
      track.model->move_origin(plate.x, plate.y);
    held_->contacts.push_back(contacts_);
    Plate settled = plate;
    settled.x = settled.y = 0;
    known_.push_back({std::move(held_->model), track.usual, track.rest_scale, s[last].pose.scale, settled,
                      held_->contacts});
    if (known_.size() > most_known) known_.erase(known_.begin());
  }
  held_.reset();
  halves_.clear();
}

void Follow::count_held(const Track& track, std::size_t last) {
  const auto& s = track.samples;
  path_.held_frames += static_cast<std::int64_t>(last - track.grab) + 1;
  if (path_.first_held < 0) path_.first_held = s[track.grab].frame;
  path_.last_held = std::max(path_.last_held, s[last].frame);
}

// Writes out the way of what a hand held in a film; of nothing whose slot was not seen, for a part of the
// hand may be what was followed.
void Follow::close_filmed(std::size_t last, LetGo::Kind kind, bool lifted) {
  Track& track = *held_;
  if (!track.slot) {
    const std::int64_t frame = track.samples[last].frame;
    ask_slot(track, true);
    last = track.grab;
    while (last + 1 < track.samples.size() && track.samples[last].frame < frame) ++last;
  }
  const auto& s = track.samples;
  // As it lies it may look otherwise than in the hand: asked from where it has gone off.
  std::size_t off = track.grab;
  while (track.slot && off < last &&
         far(s[off].pose, s[track.grab].pose) < std::max(track.slot->width, track.slot->height))
    ++off;
  if (const auto gone = track.by_slot ? gone_after(s, off) : std::nullopt; gone && *gone < last) {
    last = *gone;
    kind =
        kind_of_end({s.begin(), s.begin() + static_cast<std::ptrdiff_t>(last) + 1}, kept_.back().plane.width);
  }
  while (last > track.grab && !s[last].known) --last;
  count_held(track, last);
  if (kind == LetGo::Kind::drop && fits_ill(s, last, track.model->contrast())) kind = LetGo::Kind::doubt;
  if (track.slot) {
    const auto [x, y] = track.by_slot ? std::pair{0.0, 0.0} : middle_from(s, track.grab, *track.slot);
    Row row;
    for (std::size_t i = track.grab; i <= last; ++i) {
      if (!s[i].known) continue;
      row = {s[i].t_us, contacts_, shrink_ * (s[i].pose.x + x), shrink_ * (s[i].pose.y + y),
             shrink_ * std::hypot(s[i].sd, 0.1, track.slot_sd)};
      path_.rows.push_back(row);
      ++path_.followed_frames;
    }
    path_.largest_width = std::max(path_.largest_width, shrink_ * track.slot->width);
    path_.largest_height = std::max(path_.largest_height, shrink_ * track.slot->height);
    path_.endings.push_back({kind, contacts_, row.t_us, row.x, row.y, lifted});
  }
  closed_frame_ = s[last].frame;
  held_.reset();
  halves_.clear();
}

}  // namespace paneproof::video
