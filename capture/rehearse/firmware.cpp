#include "capture/rehearse/firmware.hpp"

#include <algorithm>

namespace paneproof {
namespace {

constexpr double longest_lead_mm = 3;

double distance(Vec a, Vec b) { return portable::length(a.x - b.x, a.y - b.y); }
Vec between(Vec a, Vec b, double share) { return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)}; }

}  // namespace

// Nearest pairs first, from where each contact should be by now.
void Firmware::match(const std::vector<Peak>& peaks, double dt_s) {
  used_.assign(peaks.size(), 0);
  for (Track& track : tracks_) track.peak = -1;
  for (;;) {
    double best = p_.gate_mm;
    Track* nearest = nullptr;
    int which = -1;
    for (Track& track : tracks_) {
      if (track.peak >= 0) continue;
      const double ahead = dt_s * std::min(track.missed + 1, 4);
      const Vec expected{track.raw.x + track.velocity.x * ahead, track.raw.y + track.velocity.y * ahead};
      for (std::size_t k = 0; k < peaks.size(); ++k) {
        if (used_[k] || peaks[k].cut) continue;
        const double d = std::min(distance(expected, peaks[k].at), distance(track.raw, peaks[k].at));
        if (d < best) best = d, nearest = &track, which = static_cast<int>(k);
      }
    }
    if (nearest == nullptr) break;
    nearest->peak = which;
    used_[static_cast<std::size_t>(which)] = 1;
  }
}

void Firmware::land(const std::vector<Peak>& peaks, const std::vector<char>& used, std::int64_t t_us) {
  for (std::size_t k = 0; k < peaks.size(); ++k) {
    if (used[k] || peaks[k].cut || peaks[k].height < p_.on || tracks_.size() >= 10) continue;
    Track track;
    track.id = next_id_++;
    track.peak = static_cast<int>(k);
    track.landed_us = t_us;
    track.raw = track.smooth = track.last_told = track.landing = peaks[k].at;
    track.holding = p_.landing_hold_s > 0;
    tracks_.push_back(std::move(track));
  }
}

// Smooths the raw position of a track that was seen.
void Firmware::filter(Track& track, std::int64_t t_us) {
  const double speed = portable::length(track.velocity.x, track.velocity.y);
  if (track.seen == 1) {
    track.smooth = track.raw;
  } else {
    const double share = std::min(1.0, p_.alpha + p_.alpha_per_mm_s * speed);
    track.smooth = between(track.smooth, track.raw, share);
  }
  track.recent.push_back(track.smooth);
  while (static_cast<int>(track.recent.size()) > p_.average) track.recent.pop_front();
  if (track.holding && (static_cast<double>(t_us - track.landed_us) * 1e-6 > p_.landing_hold_s ||
                        distance(track.landing, track.raw) > p_.landing_slop_mm)) {
    track.holding = false;
    track.smooth = track.raw;
    track.recent.assign(1, track.raw);
  }
}

Vec Firmware::output(Track& track) const {
  if (track.holding) return track.landing;
  Vec at;
  for (const Vec& v : track.recent) {
    at.x += v.x / static_cast<double>(track.recent.size());
    at.y += v.y / static_cast<double>(track.recent.size());
  }
  // A prediction is bounded: firmware that trusts a leap would throw the contact across the panel.
  const double ahead = p_.lead_s * portable::length(track.velocity.x, track.velocity.y);
  const double lead_s = ahead > longest_lead_mm ? p_.lead_s * longest_lead_mm / ahead : p_.lead_s;
  at = {at.x + track.velocity.x * lead_s, at.y + track.velocity.y * lead_s};
  if (distance(at, track.last_told) < p_.dead_move_mm) return track.last_told;
  return at;
}

// A palm is shown as its touches for a few scans; then everything is taken back and nothing told
// until a while after it is gone.
bool Firmware::palm(std::int64_t t_us, int loaded_nodes) {
  if (loaded_nodes < p_.palm_nodes) {
    palm_seen_ = 0;
    return t_us < blocked_until_us_;
  }
  if (t_us >= blocked_until_us_ && ++palm_seen_ < p_.palm_scans) return false;
  tracks_.clear();
  palm_seen_ = 0;
  blocked_until_us_ = t_us + static_cast<std::int64_t>(p_.palm_block_s * 1e6);
  return true;
}

Told Firmware::scan(std::int64_t t_us, const std::vector<Peak>& peaks, int loaded_nodes) {
  Told told;
  const double dt_s = last_us_ < 0 ? 0.01 : static_cast<double>(t_us - last_us_) * 1e-6;
  last_us_ = t_us;
  if (palm(t_us, loaded_nodes)) return told;
  match(peaks, dt_s);
  land(peaks, used_, t_us);
  for (Track& track : tracks_) {
    if (track.peak < 0) {
      ++track.missed;
      continue;
    }
    const Vec now = peaks[static_cast<std::size_t>(track.peak)].at;
    if (track.seen > 0) {
      const double since = dt_s * (track.missed + 1);
      const Vec v{(now.x - track.raw.x) / since, (now.y - track.raw.y) / since};
      track.velocity = between(track.velocity, v, track.seen < 3 ? 0.6 : 0.35);
    }
    track.raw = now;
    track.missed = 0;
    ++track.seen;
    filter(track, t_us);
    if (track.seen >= p_.debounce && !track.told) {
      track.told = true;
      track.landing = track.last_told = track.raw;
      track.landed_us = t_us;
    }
  }
  tracks_.erase(std::remove_if(tracks_.begin(), tracks_.end(),
                               [&](const Track& t) { return t.missed > (t.told ? p_.hold : 0); }),
                tracks_.end());
  for (Track& track : tracks_) {
    if (!track.told) continue;
    if (track.missed == 0)
      track.last_told = output(track);
    else if (track.missed <= p_.coast && !track.holding)
      track.last_told = {track.last_told.x + track.velocity.x * dt_s,
                         track.last_told.y + track.velocity.y * dt_s};
    ToldContact contact;
    contact.id = track.id;
    contact.at = track.last_told;
    contact.peak = track.peak;
    told.push_back(contact);
  }
  return told;
}

}  // namespace paneproof
