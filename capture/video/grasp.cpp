// Filmed: which thing did the hand take up, where is its middle, and what of it goes on with the hand?
#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>

#include "capture/video/follow.hpp"
#include "capture/video/let_go.hpp"
#include "capture/video/slot.hpp"
#include "capture/video/vacated.hpp"

namespace paneproof::video {
namespace {

constexpr double on_it = 0.12;  // of the width
constexpr std::size_t most_left = 4;
// Of its size, one axis: by how much the middle is off of a plate that was seen as it lay, and of one that
// only its leaving showed, of which a part may be as light as what it lay on.
constexpr double off_seen = 0.02, off_left = 0.06;
constexpr std::int64_t lay_us = 2'600'000, left_us = 2'200'000;  // before and after the lift

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

// Are these two one plate? What changed may be less of it, where it is as light as what it lay on, or more,
// with its label.
bool same_plate(const Plate& a, const Plate& b) {
  const auto shared = [](double x, double w, double o, double p) {
    return std::max(0.0, std::min(x + w / 2, o + p / 2) - std::max(x - w / 2, o - p / 2));
  };
  const double both = shared(a.x, a.width, b.x, b.width) * shared(a.y, a.height, b.y, b.height);
  const double less = std::min(a.width * a.height, b.width * b.height),
               more = std::max(a.width * a.height, b.width * b.height);
  return both > 0.9 * less && both > 0.4 * more;
}

// In which of these pictures, of the time about a lift, does a hand end on a place? What made room
// elsewhere, or wiggles under the arm, is not under its end.
class Hand {
 public:
  struct On {
    std::size_t first, last, quiet;  // of those without a gap; quiet: in which it lies most still
  };
  explicit Hand(std::vector<const Plane*> pictures) : pictures_(std::move(pictures)) {}

  // `roughly`: only a box about the place is known.
  std::optional<On> on(const Vacated& place, bool roughly) {
    constexpr double covers = 0.12, ends = 0.6, most_around = 0.6, fingers = 0.2;  // fingers: of the width
    const double slack = roughly ? 0.15 : 0;
    std::optional<On> found;
    double least = 1e9;
    for (std::size_t k = 0; k < pictures_.size(); ++k) {
      const Touched by = between(place.before, k).touched(place.plate);
      // Of a large thing a finger covers little.
      const double size = std::sqrt(place.plate.width * place.plate.height) / (fingers * pictures_[k]->width);
      if (by.share * std::max(1.0, size * size) < covers || by.one_sided < ends - slack ||
          by.around > most_around + slack)
        continue;
      double moves = 1e9;
      for (const std::size_t other : {k - 1, k + 1})  // there is none before the first
        if (other < pictures_.size())
          moves = std::min(moves, unlike(*pictures_[k], *pictures_[other], place.plate));
      if (!found || found->last + 1 != k)
        found = On{k, k, k}, least = 1e9;  // before that it was another time
      found->last = k;
      if (moves <= least) least = moves, found->quiet = k;
    }
    return found;
  }

 private:
  const Covers& between(const Plane* before, std::size_t k) {
    auto& covers = covers_[{before, k}];
    if (!covers) covers = std::make_unique<Covers>(*before, *pictures_[k]);
    return *covers;
  }
  std::vector<const Plane*> pictures_;
  std::map<std::pair<const Plane*, std::size_t>, std::unique_ptr<Covers>> covers_;
};

}  // namespace

// Filmed: a hand covers much of what it drags, and what was learnt is a part of both, or of the arm. The slot
// that was left tells where the thing's own middle was at the lift: of those that were left, the one on which
// the hand ended last. `last_word`: what is followed may be the thing itself, and tells where it lay, for
// want of better.
void Follow::ask_slot(Track& track, bool last_word) {
  constexpr std::int64_t back_us = 1'000'000, after_us = 100'000, every_us = 80'000, until_us = 20'000,
                         rests_us = 2 * every_us;
  track.slot_asked_us = kept_.back().t_us;
  const Sample& lift = track.samples[track.grab];
  if (!lift.known) return;
  std::vector<const Plane*> before, then, about;
  for (const Kept& past : past_)
    if (past.t_us < lift.t_us + 60'000 && past.t_us > lift.t_us - lay_us)
      before.push_back(&past.plane);
    else if (past.t_us > lift.t_us + 200'000 && past.t_us < lift.t_us + left_us)
      then.push_back(&past.plane);
  std::vector<const Kept*> asked;
  for (const Kept& kept : kept_)
    if (kept.frame > closed_frame_ && kept.t_us > lift.t_us - back_us && kept.t_us <= lift.t_us + after_us &&
        (asked.empty() || kept.t_us - asked.back()->t_us >= every_us))
      asked.push_back(&kept), about.push_back(&kept.plane);
  Hand hand(about);
  const std::vector<Plane> lay = still(before), lies = still(then);
  std::optional<Hand::On> on;
  std::optional<Plate> slot;
  const Plane* as_it_lay = nullptr;
  const auto at_lift = [&](const Hand::On& at) { return asked[at.last]->t_us >= lift.t_us - until_us; };
  for (const Vacated& place :
       vacated(lay, lies, [&](const Vacated& v) { return hand.on(v, true).has_value(); }))
    if (const auto at = hand.on(place, false);
        at && (at_lift(*at) || (last_word && asked[at->last]->t_us - asked[at->first]->t_us >= rests_us)) &&
        (!on || at->last > on->last))
      on = at, slot = place.plate, as_it_lay = place.before;
  bool surely = on && at_lift(*on), seen = false;
  if (!surely && last_word && rested(track))
    if (const auto own = lying(before, lift.pose.x, lift.pose.y);
        own && is_near(lift.pose, *own) && !lies_yet(track, before, *own))
      if (const Plane* usual = most_alike(before, *own))
        if (const auto at = hand.on({*own, 1, usual}, false))
          on = at, slot = own, as_it_lay = usual, surely = seen = true;
  if (!on && last_word)  // back in the slot that it was taken from before, it may have lain too short a time
    for (const Left& left : left_)
      if (const auto at =
              is_near(lift.pose, left.slot) ? hand.on({left.slot, 1, &left.lay}, false) : std::nullopt)
        on = at, slot = left.slot, as_it_lay = &left.lay, surely = at_lift(*at);
  if (!on) return;
  if (const auto own = lying(before, slot->x, slot->y); own && same_plate(*own, *slot))
    slot = own, seen = true;
  track.slot = slot;
  track.slot_sd = (seen ? off_seen : off_left) * std::sqrt(slot->width * slot->height);
  track.taken = asked[on->quiet]->frame;
  track.beside = BesideFinger(*as_it_lay, asked[on->quiet]->plane, *slot);
  // What was found on the thing itself goes on while it is seen as well.
  const bool may_go_on = surely && is_near(lift.pose, *slot);
  auto fresh = from_slot(track);
  if (fresh && !(may_go_on && 10 * known_of(*fresh) < 9 * known_of(track)))
    track = std::move(*fresh);
  else if (!may_go_on)
    track.slot.reset();
  if (track.slot) left_.push_back({*slot, *as_it_lay});
  if (left_.size() > most_left) left_.pop_front();
}

// Is what is followed so near to a slot that it may be the thing itself?
bool Follow::is_near(const Pose& pose, const Plate& slot) const {
  return std::hypot(slot.x - pose.x, slot.y - pose.y) <= on_it * kept_.back().plane.width;
}

// What lay in the slot at the lift, with the end of the finger on it, followed from there on: that goes as
// one, while an arm bends and turns. Its middle is the plate's. Nothing when it is not followed well or does
// not go off: then it was not taken up.
std::optional<Track> Follow::from_slot(const Track& track) {
  const Kept* taken = kept_at(track.taken);
  if (!taken) return {};
  const Plate& slot = *track.slot;
  const int w = static_cast<int>(std::lround(slot.width)), h = static_cast<int>(std::lround(slot.height));
  const Box core{static_cast<int>(std::lround(slot.x - w / 2.0)),
                 static_cast<int>(std::lround(slot.y - h / 2.0)), w, h};
  Track fresh;
  fresh.model = std::make_unique<Model>(taken->plane, core, 6 + std::max(w, h) / 2);
  fresh.model->move_origin(slot.x - core.x - w / 2.0, slot.y - core.y - h / 2.0);
  fresh.model->let_size_change(false);
  fresh.samples.push_back({taken->frame, taken->t_us, {slot.x, slot.y, 1, 0}, 0.1, 0, 1, true});
  fresh.half_width = slot.width / 2, fresh.half_height = slot.height / 2;
  fresh.plate = slot, fresh.plate.x = fresh.plate.y = 0;
  fresh.by_slot = true, fresh.beside = track.beside;
  for (const Kept& kept : kept_)
    if (kept.frame > taken->frame) advance(fresh, kept, true);
  trace_back(fresh);
  const auto asked =
      std::count_if(fresh.samples.begin() + static_cast<std::ptrdiff_t>(fresh.grab), fresh.samples.end(),
                    [&](const Sample& s) { return s.t_us <= last_known(fresh); });
  if (10 * known_of(fresh) < 7 * asked || fresh.reach < std::max(slot.width, slot.height)) return {};
  fresh.since_us = track.since_us, fresh.contacts = track.contacts;
  fresh.slot = track.slot, fresh.slot_sd = track.slot_sd, fresh.slot_asked_us = track.slot_asked_us;
  fresh.taken = track.taken;
  return fresh;
}

// In how many pictures it was seen since the lift.
std::ptrdiff_t Follow::known_of(const Track& track) {
  return std::count_if(track.samples.begin() + static_cast<std::ptrdiff_t>(track.grab), track.samples.end(),
                       [](const Sample& s) { return s.known; });
}

// When it was seen last.
std::int64_t Follow::last_known(const Track& track) {
  const auto& s = track.samples;
  const auto seen = std::find_if(s.rbegin(), s.rend(), [](const Sample& sample) { return sample.known; });
  return seen == s.rend() ? 0 : seen->t_us;
}

// What was followed is lost: is what lay in the slot seen yet?
bool Follow::goes_on_by_slot(Track& track) {
  if (track.by_slot) return false;
  const std::int64_t seen = last_known(track);
  if (!track.slot) {
    ask_slot(track, true);
  } else if (auto fresh = from_slot(track); fresh && last_known(*fresh) > seen) {
    track = std::move(*fresh);
  }
  return track.by_slot && last_known(track) > seen;
}

// Was it still for a while before or after it was taken up? Else it was on its way already where it was first
// seen.
bool Follow::rested(const Track& track) {
  constexpr std::int64_t while_us = 100'000;
  constexpr double still_px = 3;
  const auto& s = track.samples;
  const auto moved = [&](const Sample& sample) {
    return sample.known && far(sample.pose, s[track.grab].pose) > still_px;
  };
  std::size_t first = track.grab, last = track.grab;
  while (first > 0 && !moved(s[first - 1])) --first;
  while (last + 1 < s.size() && !moved(s[last + 1])) ++last;
  return s[last].t_us - s[first].t_us >= while_us;
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
