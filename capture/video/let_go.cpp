#include "capture/video/let_go.hpp"

#include <algorithm>
#include <cmath>

#include "capture/video/median.hpp"
#include "capture/video/way.hpp"

namespace paneproof::video {
namespace {

constexpr std::int64_t slowing_us = 400'000;  // within which a hand comes to rest ...
constexpr double slowed = 0.2;                // ... and has almost, at this share of its speed

// It was nowhere but where it lay before its lift, and went off: had it been let go there it would have gone
// back.
bool sets_off(const Track& track, std::size_t last) {
  const auto& s = track.samples;
  const double near = std::max(track.half_width, track.half_height);
  for (std::size_t i = track.grab; i <= last; ++i)
    if (s[i].known && far(s[i].pose, s[track.grab].pose) > near) return false;
  return far(s.back().pose, s[track.grab].pose) > near;
}

}  // namespace

LetGo::Kind kind_of_end(const std::vector<Sample>& samples, double width) {
  const std::size_t last = samples.size() - 1;
  const LetGo::Kind kind = kind_at(samples, last, 0, width);
  if (kind != LetGo::Kind::drop) return kind;
  // A hand slows down before it is lifted; a contact that is lost knows nothing of the hand.
  double fastest = 0;
  for (std::size_t i = last; i > 0 && samples[last].t_us - samples[i].t_us < slowing_us; --i) {
    if (!samples[i].known) break;
    std::size_t a = i;
    while (a > 0 && samples[i].t_us - samples[a].t_us < 60'000) --a;
    if (samples[a].known) fastest = std::max(fastest, speed_before(samples, i, 0));
  }
  return speed_before(samples, last, 0) < slowed * fastest ? LetGo::Kind::doubt : kind;
}

bool fits_ill(const std::vector<Sample>& samples, std::size_t last, double contrast) {
  std::vector<double> misfits;
  for (std::size_t i = last + 1; i-- > 0 && samples[last].t_us - samples[i].t_us < 350'000;)
    if (samples[i].known) misfits.push_back(samples[i].misfit);
  return misfits.empty() || median(misfits) > 0.4 * contrast + 0.5;
}

namespace {

std::optional<Judged> let_go_by_its_way(const Track& track, double width, bool surely) {
  const auto& s = track.samples;
  if (s.size() < track.grab + 6 || !s.back().known) return {};
  const std::size_t rest = rest_start(s, track.grab);
  const std::int64_t rested = s.back().t_us - s[rest].t_us;
  if (rested < 100'000 || rest <= track.grab + 2) return {};
  // Size while held, against size at rest before the lift.
  std::vector<double> sizes;
  for (std::size_t i = track.grab; i < rest; ++i)
    if (s[i].known) sizes.push_back(s[i].pose.scale);
  if (sizes.size() < 4) return {};
  const double held = median(sizes), lifted = track.rest_scale > 0 ? held - track.rest_scale : 0;
  // The straight way that ends in the rest.
  const Pose r = s.back().pose;
  std::size_t glide = rest;
  double before = 0;
  const Pose* first = nullptr;
  for (std::size_t i = rest; i-- > track.grab && s.back().t_us - rested - s[i].t_us < 600'000;) {
    if (!s[i].known) break;
    const double d = far(s[i].pose, r);
    if (d < before - 0.3) break;
    if (d > 6 && !first) first = &s[i].pose;
    if (first) {  // off the line from here to the rest?
      const double ux = (s[i].pose.x - r.x) / d, uy = (s[i].pose.y - r.y) / d;
      double off = 0;
      for (std::size_t k = i; k < rest; ++k)
        off = std::max(off, std::abs((s[k].pose.x - r.x) * uy - (s[k].pose.y - r.y) * ux));
      if (off > still_px + 0.05 * d) break;
    }
    before = std::max(before, d);
    glide = i;
  }
  std::vector<double> at_rest;
  for (std::size_t i = rest; i < s.size(); ++i)
    if (s[i].known) at_rest.push_back(s[i].pose.scale);
  const double rest_size = median(at_rest);
  // Size before the lift known: back to it? Not known: did it change while it went to its rest?
  const bool glided = far(s[glide].pose, r) > 4;
  const double base = lifted != 0 ? track.rest_scale : glided ? rest_size : held;
  double raised = held - base;
  // A slot tells more of its size at rest than a lift that was seen late.
  if (glided && (held - rest_size) * raised > raised * raised) raised = held - rest_size;
  const auto otherwise = [&]() -> std::optional<Judged> {
    if (!surely) return {};
    return Judged{rest, LetGo::Kind::doubt};
  };
  if (std::abs(raised) > least_raised) {
    if ((held - rest_size) / raised < 0.5) {  // neither back to it nor further
      return otherwise();
    } else {
      std::size_t last = last_of_size(s, track.grab, held, rest_size);
      if (glided) {
        const auto lay = end_of_rest(s, std::max(last, glide), track.grab);
        last = lay ? *lay : turning_point(s, std::max(last, glide), track.grab);
      }
      const bool as_before = std::abs(rest_size - track.rest_scale) < 0.35 * std::abs(lifted);
      return Judged{last, kind_at(s, last, track.grab, width), rest_size,
                    std::abs(lifted) > surely_raised && as_before};
    }
  }
  // No size to go by: a glide starts with a leap in speed and slows down to its slot.
  if (rested < rest_us) return otherwise();
  if (const auto at = snapped(track, rest)) return Judged{*at, kind_at(s, *at, track.grab, width)};
  if (!glided) return otherwise();
  double leap = 0;
  std::size_t last = glide;
  for (std::size_t i = std::max(glide, track.grab + 2); i + 3 < rest; ++i) {
    if (s[rest].t_us - s[i].t_us >= 500'000) continue;  // a hand that was on the same way already
    const double dt = static_cast<double>(s[i + 2].t_us - s[i].t_us) * 1e-6,
                 ds = static_cast<double>(s[i].t_us - s[i - 2].t_us) * 1e-6;
    if (dt <= 0 || ds <= 0) continue;
    const double jump =
        std::hypot((s[i + 2].pose.x - s[i].pose.x) / dt - (s[i].pose.x - s[i - 2].pose.x) / ds,
                   (s[i + 2].pose.y - s[i].pose.y) / dt - (s[i].pose.y - s[i - 2].pose.y) / ds);
    if (jump > leap) leap = jump, last = i;
  }
  if (leap < 0.7 * width) return otherwise();
  // On that way already, and not much slower, a hand may have hurried and stopped.
  const bool along = s[rest].t_us - s[glide].t_us >= 500'000;
  if (along && leap < 2 * speed_before(s, last, track.grab)) return otherwise();
  // After the leap it slows down, or starts as softly as it ends: then half way in time some 0.65 are left.
  const double d0 = far(s[last].pose, r), half = far(s[(last + rest) / 2].pose, r);
  // And it runs out into its slot: a hand that stops short does not.
  const std::size_t late = last + 7 * (rest - last) / 8;
  const double left =
      static_cast<double>(s[rest].t_us - s[late].t_us) / static_cast<double>(s[rest].t_us - s[last].t_us);
  const bool runs_out = far(s[late].pose, r) < 0.6 * left * d0 + still_px;
  if (d0 < 4 || half > 0.7 * d0 || !runs_out) return otherwise();
  return Judged{last, kind_at(s, last, track.grab, width)};
}

}  // namespace

std::optional<Judged> judge_let_go(const Track& track, double width, bool surely) {
  const auto judged = let_go_by_its_way(track, width, surely);
  if (judged && judged->rest_scale <= 0 && !surely && sets_off(track, judged->last)) return {};
  return judged;
}

std::optional<std::size_t> released_before_end(const Track& track) {
  const auto& s = track.samples;
  if (s.size() < track.grab + 6 || !s.back().known) return {};
  const std::size_t rest = rest_start(s, track.grab);
  if (s.back().t_us - s[rest].t_us < rest_us || rest <= track.grab) return {};
  const auto lay = end_of_rest(s, rest, track.grab, rest_us);
  if (!lay || far(s[*lay].pose, s.back().pose) < 3) return {};
  return lay;
}

}  // namespace paneproof::video
