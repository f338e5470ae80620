// Filmed: which thing did the hand take up, where is its middle, and what of it goes on with the hand?
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "capture/video/follow.hpp"
#include "capture/video/slot.hpp"

namespace paneproof::video {
namespace {

constexpr int least_pairs = 3;  // of pictures between which a place was left
constexpr double on_it = 0.12;  // of the width
// Of its size, one axis: by how much the middle is off of a plate that was seen as it lay, and of one that
// only its leaving showed, of which a part may be as light as what it lay on.
constexpr double off_seen = 0.02, off_left = 0.06;

// Mean difference on a plate and close about it, levels.
double unlike(const Plane& a, const Plane& b, const Plate& plate) {
  double sum = 0, n = 0;
  for (int y = std::max(0, static_cast<int>(plate.y - 0.8 * plate.height));
       y < std::min<int>(a.height, static_cast<int>(plate.y + 0.8 * plate.height)); ++y)
    for (int x = std::max(0, static_cast<int>(plate.x - 0.8 * plate.width));
         x < std::min<int>(a.width, static_cast<int>(plate.x + 0.8 * plate.width)); ++x)
      sum += std::abs(a.row(y)[x] - b.row(y)[x]), ++n;
  return n > 0 ? sum / n : 0;
}

// The picture in which a plate looks as it does in most.
const Plane* most_alike(const std::vector<const Plane*>& pictures, const Plate& plate) {
  const Plane* best = nullptr;
  std::ptrdiff_t most = 0;
  for (const Plane* a : pictures) {
    const auto same = std::count_if(pictures.begin(), pictures.end(),
                                    [&](const Plane* b) { return same_there(*a, *b, plate); });
    if (same > most) most = same, best = a;
  }
  return best;
}

// Are these two one plate?
bool same_plate(const Plate& a, const Plate& b) {
  const double size = std::sqrt(b.width * b.height);
  return std::hypot(a.x - b.x, a.y - b.y) < 0.08 * size && std::abs(a.width - b.width) < 0.25 * size &&
         std::abs(a.height - b.height) < 0.25 * size;
}

}  // namespace

// Filmed: a hand covers much of what it drags, and what was learnt is a part of both, or of the arm. The slot
// that was left tells where the thing's own middle was at the lift.
void Follow::ask_slot(Track& track) {
  track.slot_asked_us = kept_.back().t_us;
  const Sample& lift = track.samples[track.grab];
  if (!lift.known) return;
  std::vector<const Plane*> before, after;
  std::int64_t last_before = -1'000'000, last_after = -1'000'000;
  for (const Kept& kept : kept_) {
    if (kept.t_us < lift.t_us + 60'000) {
      const std::int64_t apart_us = lift.t_us - kept.t_us > 700'000 ? 220'000 : 70'000;
      if (kept.t_us - last_before > apart_us) before.push_back(&kept.plane), last_before = kept.t_us;
    } else if (kept.t_us > lift.t_us + 200'000 && kept.t_us - last_after > 140'000) {
      after.push_back(&kept.plane), last_after = kept.t_us;
    }
  }
  // What is followed may be the thing itself: then it lay there, and does no more.
  auto slot = lying(before, lift.pose.x, lift.pose.y);
  if (slot && (!is_near(lift.pose, *slot) || lies_yet(track, before, *slot))) slot.reset();
  bool seen = true;
  std::vector<Vacated> places;
  if (slot) places.push_back({*slot, 0, most_alike(before, *slot)});
  auto taken = left_by(track, places);
  if (!taken) {
    places = vacated(before, after);
    std::erase_if(places, [](const Vacated& place) { return place.pairs < least_pairs; });
    taken = left_by(track, places);
    if (!taken) return;
    const auto lay = lying(before, taken->plate.x, taken->plate.y);
    seen = lay && same_plate(*lay, taken->plate);
    slot = seen ? *lay : taken->plate;
  }
  track.slot = slot;
  track.slot_sd = (seen ? off_seen : off_left) * std::sqrt(slot->width * slot->height);
  hold_by_slot(track, *taken->picture);
}

// Is what is followed so near to a slot that it may be the thing itself?
bool Follow::is_near(const Pose& pose, const Plate& slot) const {
  return std::hypot(slot.x - pose.x, slot.y - pose.y) <= on_it * kept_.back().plane.width;
}

// Of the places that were left, the one on which the hand lay, and ended, at the lift: what made room
// elsewhere, or wiggles under the arm, was not under its end.
std::optional<Follow::Taken> Follow::left_by(const Track& track, std::vector<Vacated> places) const {
  constexpr double covers = 0.12, ends = 0.6, most_around = 0.6;
  constexpr std::int64_t back_us = 1'000'000, after_us = 100'000, every_us = 80'000;
  constexpr std::size_t most_asked = 6;
  const Sample& lift = track.samples[track.grab];
  const auto merit = [](const Vacated& v) { return v.pairs * std::sqrt(v.plate.width * v.plate.height); };
  std::sort(places.begin(), places.end(),
            [&](const Vacated& a, const Vacated& b) { return merit(a) > merit(b); });
  if (places.size() > most_asked) places.resize(most_asked);
  std::vector<const Kept*> asked;
  for (const Kept& kept : kept_)
    if (kept.frame > closed_frame_ && kept.t_us > lift.t_us - back_us && kept.t_us <= lift.t_us + after_us &&
        (asked.empty() || kept.t_us - asked.back()->t_us >= every_us))
      asked.push_back(&kept);
  for (const Vacated& place : places) {
    // The hand lies on it quite still before it goes off with it.
    const Kept* taken = nullptr;
    double least = 1e9;
    for (std::size_t k = 0; k < asked.size(); ++k) {
      const Touched by = touched(*place.before, asked[k]->plane, place.plate);
      if (by.share < covers || by.one_sided < ends || by.around > most_around) continue;
      double moves = 1e9;
      for (const std::size_t other : {k - 1, k + 1})  // there is none before the first
        if (other < asked.size())
          moves = std::min(moves, unlike(asked[k]->plane, asked[other]->plane, place.plate));
      if (moves <= least) least = moves, taken = asked[k];
    }
    if (taken) return Taken{place.plate, taken};
  }
  return {};
}

// From now on what is followed is what lay in the slot at the lift, with the end of the finger on it: that
// goes as one, while an arm bends and turns. Its middle is the plate's.
void Follow::hold_by_slot(Track& track, const Kept& taken) {
  const Plate& slot = *track.slot;
  const int w = static_cast<int>(std::lround(slot.width)), h = static_cast<int>(std::lround(slot.height));
  const Box core{static_cast<int>(std::lround(slot.x - w / 2.0)),
                 static_cast<int>(std::lround(slot.y - h / 2.0)), w, h};
  Track fresh;
  fresh.model = std::make_unique<Model>(taken.plane, core, 6 + std::max(w, h) / 2);
  fresh.model->move_origin(slot.x - core.x - w / 2.0, slot.y - core.y - h / 2.0);
  fresh.model->let_size_change(false);
  fresh.samples.push_back({taken.frame, taken.t_us, {slot.x, slot.y, 1, 0}, 0.1, 0, 1, true});
  fresh.half_width = slot.width / 2, fresh.half_height = slot.height / 2;
  fresh.plate = slot, fresh.plate.x = fresh.plate.y = 0;
  fresh.by_slot = true;
  for (const Kept& kept : kept_)
    if (kept.frame > taken.frame) advance(fresh, kept, true);
  trace_back(fresh);
  // What was found on the thing itself goes on while it is seen well.
  const auto known = [](const Track& t) {
    return std::count_if(t.samples.begin() + static_cast<std::ptrdiff_t>(t.grab), t.samples.end(),
                         [](const Sample& s) { return s.known; });
  };
  const auto asked = static_cast<std::ptrdiff_t>(track.samples.size() - track.grab);
  if (is_near(track.samples[track.grab].pose, slot) &&
      (10 * known(track) >= 9 * asked || known(fresh) < known(track)))
    return;
  fresh.since_us = track.since_us, fresh.contacts = track.contacts;
  fresh.slot = track.slot, fresh.slot_sd = track.slot_sd, fresh.slot_asked_us = track.slot_asked_us;
  track = std::move(fresh);
}

// Is a thing seen where it lay, as it was, while what is followed is elsewhere? Then it is not what is
// dragged.
bool Follow::lies_yet(const Track& track, const std::vector<const Plane*>& before, const Plate& slot) const {
  const Sample& lift = track.samples[track.grab];
  return std::any_of(track.samples.begin(), track.samples.end(), [&](const Sample& s) {
    if (!s.known || s.t_us < lift.t_us || far(s.pose, lift.pose) < std::max(slot.width, slot.height))
      return false;
    const Kept* kept = kept_at(s.frame);
    return kept && lies_as_before(kept->plane, before, slot);
  });
}

}  // namespace paneproof::video
