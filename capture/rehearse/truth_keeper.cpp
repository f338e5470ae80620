#include "capture/rehearse/truth_keeper.hpp"

#include <algorithm>
#include <optional>

namespace paneproof {
namespace {

double distance(Vec a, Vec b) { return portable::length(a.x - b.x, a.y - b.y); }

// The contact that follows a finger: the one that did so before, if it still does.
std::optional<int> following(const Told& told, int finger, int before) {
  std::optional<int> follower;
  for (const ToldContact& contact : told)
    if (contact.finger == finger && (!follower || contact.id == before)) follower = contact.id;
  return follower;
}

}  // namespace

TruthKeeper::TruthKeeper(const NodeGrid& grid, const Personality& personality, const Faults& faults,
                         std::size_t fingers)
    : grid_(grid), p_(personality), faults_(faults), watches_(fingers) {}

// A touch is a finger's when that finger gives a share of it that counts; else it is what gives most
// of the signal there.
void TruthKeeper::mark(ToldContact& contact, const std::vector<ScannedFinger>& fingers,
                       const NodeFrame& frame, const std::vector<Peak>& peaks) const {
  if (contact.peak < 0) return;
  const Peak& peak = peaks[static_cast<std::size_t>(contact.peak)];
  const std::size_t node = grid_.index(peak.column, peak.row);
  double nearest = 1e9;
  for (std::size_t k = 0; k < fingers.size(); ++k) {
    if (!fingers[k].state.down) continue;
    const double d = distance(fingers[k].state.at, peak.at);
    if (d < nearest) nearest = d, contact.finger = static_cast<int>(k), contact.true_at = fingers[k].state.at;
  }
  if (frame.finger[node] >= 0.5 * p_.off && nearest < 16) {
    contact.origin = static_cast<int>(Cause::finger);
    return;
  }
  contact.finger = -1;
  switch (static_cast<Touching>(frame.source[node])) {
    case Touching::water:
      contact.origin = static_cast<int>(Cause::water);
      break;
    case Touching::palm:
      contact.origin = static_cast<int>(Cause::palm);
      break;
    default:
      contact.origin = static_cast<int>(Cause::fault);
      break;
  }
}

// Would a sound panel follow this finger?
bool TruthKeeper::expected(const ScannedFinger& finger) const {
  const Vec at = finger.state.at;
  const double margin = p_.cut_drops ? p_.border_cut_mm + 1.5 : 0;
  if (!finger.state.down || finger.state.touch < 0.6) return false;
  if (at.x < margin || at.y < margin || at.x > grid_.width_mm - margin || at.y > grid_.height_mm - margin)
    return false;
  return sound_peak(grid_, finger.print) > 1.15 * p_.on;
}

void TruthKeeper::blame(Loss& loss, std::size_t which, const std::vector<ScannedFinger>& fingers,
                        bool palm_blocks) const {
  if (loss.cause == Cause::fault) return;
  const Vec at = fingers[which].state.at;
  const auto nearest = [](double v, double inset, double pitch, int count) {
    return std::clamp(static_cast<int>(std::floor((v - inset) / pitch + 0.5)), 0, count - 1);
  };
  const int fault = faults_.cause_at(nearest(at.x, grid_.inset_x, grid_.pitch_x, grid_.columns),
                                     nearest(at.y, grid_.inset_y, grid_.pitch_y, grid_.rows));
  if (palm_blocks) {
    loss.cause = Cause::palm;
  } else if (fault >= 0) {
    loss.cause = Cause::fault;
    loss.fault = faults_.specs()[static_cast<std::size_t>(fault)].kind;
  } else {
    for (std::size_t k = 0; k < fingers.size(); ++k)
      if (k != which && fingers[k].state.down && distance(fingers[k].state.at, at) < p_.merge_mm + 3)
        loss.cause = Cause::merged;
  }
}

void TruthKeeper::begin_loss(Watch& watch, int finger) {
  watch.losing = true;
  watch.loss = {};
  watch.loss.finger = finger;
  watch.loss.from_us = watch.last_us;
  watch.loss.from = watch.last_at;
  watch.loss.since_landing = !watch.seen;
}

void TruthKeeper::close(Watch& watch, std::int64_t t_us, Vec at, bool until_lift) {
  Loss& loss = watch.loss;
  watch.losing = false;
  loss.to_us = t_us;
  loss.to = at;
  loss.until_lift = until_lift;
  // A landing takes the firmware a scan or two: no loss unless something took the signal.
  if (loss.since_landing && loss.cause == Cause::finger && loss.scans <= p_.debounce + 1) return;
  losses_.push_back(loss);
}

void TruthKeeper::scan(std::int64_t t_us, const std::vector<ScannedFinger>& fingers, const NodeFrame& frame,
                       const std::vector<Peak>& peaks, Told& told, bool palm_blocks) {
  for (ToldContact& contact : told) {
    mark(contact, fingers, frame, peaks);
    // What a contact is, it is from its landing on: later it may be kept without a touch, or pulled over
    // to a finger.
    contact.origin = origins_.try_emplace(contact.id, contact.origin).first->second;
  }
  for (std::size_t k = 0; k < fingers.size(); ++k) {
    Watch& watch = watches_[k];
    const FingerSample& state = fingers[k].state;
    const auto follower = following(told, static_cast<int>(k), watch.contact);
    if (state.down && !watch.down) watch.seen = false, watch.last_us = t_us, watch.last_at = state.at;
    if (!state.down && watch.losing) close(watch, watch.now_us, watch.now_at, true);
    watch.down = state.down;
    if (!state.down) watch.contact = -1;
    if (!state.down) continue;
    if (follower) {
      if (!watch.losing && watch.contact >= 0 && *follower != watch.contact) {
        begin_loss(watch, static_cast<int>(k));
        blame(watch.loss, k, fingers, palm_blocks);
      }
      if (watch.losing) close(watch, t_us, state.at, false);
      watch.seen = true;
      watch.contact = *follower;
      watch.last_us = t_us;
      watch.last_at = state.at;
    } else if (expected(fingers[k])) {
      if (!watch.losing) begin_loss(watch, static_cast<int>(k));
      ++watch.loss.scans;
      blame(watch.loss, k, fingers, palm_blocks);
    } else if (!watch.losing) {
      watch.contact = -1;
      // Beyond the border or hardly pressed: nothing is owed; a loss after it starts here.
      watch.last_us = t_us;
      watch.last_at = state.at;
    }
    watch.now_us = t_us;
    watch.now_at = state.at;
  }
}

std::vector<Loss> TruthKeeper::finish() {
  for (Watch& watch : watches_)
    if (watch.losing) close(watch, watch.now_us, watch.now_at, true);
  std::stable_sort(losses_.begin(), losses_.end(),
                   [](const Loss& a, const Loss& b) { return a.from_us < b.from_us; });
  return std::move(losses_);
}

}  // namespace paneproof
