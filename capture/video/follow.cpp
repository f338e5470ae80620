#include "capture/video/follow.hpp"

#include <algorithm>
#include <cmath>

#include "capture/video/let_go.hpp"
#include "capture/video/plate.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t kept_us = 2'200'000;    // pictures kept, in time ...
constexpr std::size_t kept_bytes = 48u << 20;  // ... and in memory
constexpr std::int64_t lost_us = 600'000, ask_slot_every_us = 550'000,
                       last_word_us = 1'200'000;  // before the lift is kept no longer
constexpr std::int64_t past_every_us = 120'000, past_us = 5'000'000;
constexpr double leap_px = 8;  // off its way

// Is it where it was going and alike, though much fits ill? So is what shines through to the ground it
// passes.
bool on_its_way(const Fit& fit, const Pose& guess, double step) {
  return far(fit.pose, guess) < std::min(3.0, 1 + 0.15 * step) &&
         std::abs(fit.pose.scale - guess.scale) < 0.02 && !fit.plain &&
         (fit.visible > 0.6 ? fit.alike > 0.8 : fit.visible > 0.45 && fit.alike > 0.95);
}

bool backwards(const std::vector<Sample>& samples) {
  return samples.size() > 1 && samples.front().t_us > samples.back().t_us;
}

}  // namespace

Follow::Follow(int shrink, const FollowOptions& options)
    : shrink_(shrink), options_(options), touches_(shrink) {}

const Follow::Kept* Follow::kept_at(std::int64_t frame) const {
  if (kept_.empty() || frame < kept_.front().frame || frame > kept_.back().frame) return nullptr;
  return &kept_[static_cast<std::size_t>(frame - kept_.front().frame)];
}

// Refines at the expected place and where it was last, then searches about both: near, and far off in every
// fourth picture once it is missed. `samples` run forwards in time, or backwards.
Fit Follow::look(const Track& track, const std::vector<Sample>& samples, int missed, const Kept& kept,
                 bool wide) const {
  if (track.cut) return look_for_cut(track, samples, kept);
  const Pose guess = ahead(samples, kept.t_us);
  Pose last = guess;
  for (auto s = samples.rbegin(); s != samples.rend(); ++s)
    if (s->known) {
      last = s->pose;
      break;
    }
  // Of two places that look about alike, the one nearer to where it was going.
  const auto better = [&](const Fit& a, const Fit& b) {
    return a.misfit + 0.08 * far(a.pose, guess) < b.misfit + 0.08 * far(b.pose, guess);
  };
  Fit fit = track.model->refine(kept.plane, guess);
  const double doubtful = track.usual * 1.5 + 2;
  const Fit here = fit;
  if (!fit.good || fit.misfit > doubtful) {
    const Fit still = track.model->refine(kept.plane, last);
    if (better(still, fit)) fit = still;
  }
  if (!fit.good || fit.misfit > doubtful) {
    Fit found = track.model->search(kept.plane, guess, 16);
    // Let go, or taken up, it changes its size faster than a fit can follow.
    if (track.rest_scale > 0 && std::abs(track.rest_scale - guess.scale) > 0.03) {
      Pose resting = guess;
      resting.scale = track.rest_scale;
      const Fit as_at_rest = track.model->search(kept.plane, resting, 16);
      if (better(as_at_rest, found)) found = as_at_rest;
    }
    if ((wide ? missed < 4 || missed % 4 == 0 : missed < 2) && (!found.good || found.misfit > doubtful)) {
      const Fit farther = track.model->search(kept.plane, last, wide ? 160 : 70);
      if (better(farther, found)) found = farther;
    }
    // Out of sight for a while it may come into sight again anywhere, and is known by its very look.
    if (wide && stands_out(track) && track.model->learnt() >= 14 && missed > 0 &&
        missed % (track.wide ? 8 : 4) == 0 && !found.good) {
      const Fit anywhere =
          track.model->search(kept.plane, last, std::max(kept.plane.width, kept.plane.height));
      if (anywhere.good && very_look(anywhere) && anywhere.misfit < doubtful) found = anywhere;
    }
    if (better(found, fit) || (found.good && !fit.good)) fit = found;
  }
  if (!fit.good && stands_out(track) && missed == 0 && on_its_way(here, guess, far(guess, last)))
    fit = here, fit.good = true;
  if (track.usual > 0 && fit.misfit > 3 * track.usual + 6) fit.good = false;
  if (!options_.filmed && beyond_size(fit)) fit.good = false;
  // Hardly seen and elsewhere than it was going: only if what is seen is its very look. A finger with what it
  // holds is one of a kind, and fast at a side of the panel, where little of it is seen.
  const double very = track.by_slot ? 0.9 : 0.97, half = track.by_slot ? 0.3 : 0.5;
  if (fit.visible < 0.5 && far(fit.pose, guess) > 10 && (fit.alike < very || fit.plain)) fit.good = false;
  // It leapt: only if it has not lain there all along.
  if (fit.good && !options_.filmed && !backwards(samples) && far(fit.pose, guess) > leap_px &&
      lay_there(track, samples.size() - 1, fit.pose, 1.6 * fit.misfit + 1))
    fit.good = false;
  // Found again elsewhere: only if it is the thing beyond doubt.
  if (missed > 2 && (fit.visible < half || fit.alike < 0.85) && far(fit.pose, guess) > 12) fit.good = false;
  return fit;
}

// One more picture for a track.
void Follow::advance(Track& track, const Kept& kept, bool wide) {
  const Fit fit = look(track, track.samples, track.missed, kept, wide);
  track.samples.push_back(sample_of(kept.frame, kept.t_us, fit));
  if (track.by_slot && fit.good)
    track.samples.back().beside = track.beside.misfit(kept.plane, fit.pose.x, fit.pose.y);
  if (!fit.good) {
    ++track.missed;
    return;
  }
  track.missed = 0;
  // Once its look is known, what fits ill is no measure of how well it fits.
  const bool settled = !track.wide && track.model->learnt() >= 14;
  if (track.usual == 0)
    track.usual = fit.misfit;
  else if (!settled || (fit.visible > 0.5 && fit.misfit < 2 * track.usual + 2))
    track.usual += 0.05 * (std::min(fit.misfit, 2 * track.usual + 1) - track.usual);
  track.away = far(fit.pose, track.samples.front().pose);
  track.reach = std::max(track.reach, track.away);
  if (track.cut) return;  // its look is known, and places half a thing apart are no good to learn from
  if ((fit.visible > 0.5 && fit.misfit < 1.6 * track.usual + 1.5) ||
      (!settled && stands_out(track) && fit.visible > 0.6 && fit.alike > 0.8))
    track.model->learn(kept.plane, fit);
}

// Has a held thing been still for a while? Then something else may be what is held now.
bool Follow::resting(const Track& track) const {
  const auto& s = track.samples;
  if (!s.back().known) return false;
  for (auto i = s.rbegin(); i != s.rend(); ++i) {
    if (i->known && far(i->pose, s.back().pose) > 1) return false;
    if (s.back().t_us - i->t_us > 300'000) return true;
  }
  return false;
}

// Did something lie there that looked as much like it as what is seen there now (a misfit up to `most`),
// while it was held elsewhere, in sample `last` or before? Then that is what is seen, and it would be
// mistaken for it.
bool Follow::lay_there(const Track& track, std::size_t last, const Pose& there, double most) const {
  const auto& s = track.samples;
  for (std::size_t i = last + 1; i-- > track.grab;) {
    if (!s[i].known ||
        far(s[i].pose, there) < std::max(track.model->core().width, track.model->core().height))
      continue;
    const Kept* kept = kept_at(s[i].frame);
    if (!kept) return false;
    const Fit fit = track.model->refine(kept->plane, there);
    return fit.good && !fit.plain && far(fit.pose, there) < 3 && fit.misfit < most;
  }
  return false;
}

void Follow::judge_held(bool at_end) {
  Track& track = *held_;
  const std::int64_t now = track.samples.back().t_us;
  const double width = kept_.back().plane.width;
  if (const auto rest = track.cut ? lies_again(track) : std::nullopt) {
    const Judged judged = let_go_into_slot(track, *rest, width);
    return close(judged.last, judged.kind);
  }
  // Of what a finger covers most of, it may be the finger that comes to rest.
  const bool finger = track.by_slot && track.beside.shows() < 0.5;
  // What was cut out comes to its slot again, or rests.
  const bool goes_on = track.cut && !resting(track);
  if (const auto judged = finger || goes_on ? std::nullopt : judge_let_go(track, width)) {
    const Sample& rests = track.samples.back();
    if (judged->kind == LetGo::Kind::drop &&
        lay_there(track, judged->last, rests.pose, 1.3 * rests.misfit + 0.5))
      return close(judged->last, LetGo::Kind::lost);
    if (judged->rest_scale > 0) track.rest_scale = judged->rest_scale;
    return close(judged->last, judged->kind, judged->lifted);
  }
  std::size_t known = track.samples.size() - 1;
  while (known > track.grab && !track.samples[known].known) --known;
  if (now - track.samples[known].t_us > lost_us) {
    if (options_.filmed && goes_on_by_slot(track)) return;
    known = track.samples.size() - 1;
    while (known > track.grab && !track.samples[known].known) --known;
    return close(known, LetGo::Kind::lost);
  }
  if (const auto last = at_end ? released_before_end(track) : std::nullopt)
    return close(*last, LetGo::Kind::release);
  if (at_end) close(known, known + 1 == track.samples.size() ? LetGo::Kind::end : LetGo::Kind::lost);
}

void Follow::add(Frame&& frame) {
  Kept kept{path_.frames, frame.t_us, {}};
  std::swap(kept.plane, frame.plane);
  ++path_.frames;
  path_.last_us = kept.t_us;
  kept_.push_back(std::move(kept));
  const Kept& now = kept_.back();
  if (options_.filmed && (past_.empty() || now.t_us - past_.back().t_us >= past_every_us)) {
    past_.push_back(now);
    if (now.t_us - past_.front().t_us > past_us) past_.pop_front();
  }
  if (!options_.filmed) touches_.add(now.plane, now.frame, now.t_us);
  if (now.frame % 30 == 0)
    touches_.compare(path_.followed_frames + (held_ ? static_cast<std::int64_t>(held_->samples.size()) : 0));
  while (kept_.size() > 3 &&
         (now.t_us - kept_.front().t_us > kept_us || kept_.size() * now.plane.luma.size() > kept_bytes)) {
    std::swap(frame.plane, kept_.front().plane);  // its memory serves the next picture
    kept_.pop_front();
  }
  if (options_.hint_t_s && static_cast<double>(now.t_us) * 1e-6 >= *options_.hint_t_s) {
    take_hint();
    return;
  }
  see_what_lies();
  if (held_) {
    advance(*held_, now, true);
    recognise();
    narrow(*held_);
    if (options_.filmed && !held_->slot &&
        now.t_us - std::max(held_->slot_asked_us, held_->samples[held_->grab].t_us) > ask_slot_every_us)
      ask_slot(*held_, now.t_us - held_->samples[held_->grab].t_us > last_word_us);
    judge_held(false);
    if (held_ && !resting(*held_)) candidates_.clear();
  }
  for (Track& track : candidates_) advance(track, now, track.cut);
  look_for_left();
  judge_candidates();
  look_for_movers();
}

Path Follow::finish() {
  if (held_) judge_held(true);
  doubt_hasty_endings(path_);
  if (!options_.filmed) touches_.finish(path_);
  return std::move(path_);
}

}  // namespace paneproof::video
