// The controller's firmware from touches to contacts: matching from scan to scan, debounce, contacts
// kept after a loss, landing hold, smoothing, prediction, palms.
#pragma once

#include <cstdint>
#include <deque>
#include <vector>

#include "capture/rehearse/touch_finder.hpp"

namespace paneproof {

// A contact as the controller tells it after one scan.
struct ToldContact {
  int id = 0;
  Vec at;           // mm, unclipped
  int peak = -1;    // which peak of this scan it follows; -1: kept or extrapolated
  int origin = 0;   // set by the truth keeper: see Origin in truth.hpp
  int finger = -1;  // set by the truth keeper: the finger under that peak; -1 for none
  Vec true_at;      // mm: where that finger was
};

using Told = std::vector<ToldContact>;  // all that are down

class Firmware {
 public:
  Firmware(const NodeGrid& grid, const Personality& personality) : grid_(grid), p_(personality) {}
  // Takes the touches of a scan (higher than the threshold for staying) and the number of loaded nodes.
  Told scan(std::int64_t t_us, const std::vector<Peak>& peaks, int loaded_nodes);
  bool idle() const { return tracks_.empty(); }
  bool blocked(std::int64_t t_us) const { return t_us < blocked_until_us_; }

 private:
  struct Track {
    int id = 0, seen = 0, missed = 0, peak = -1;
    bool told = false, holding = false;
    std::int64_t landed_us = 0;
    Vec raw, velocity, smooth, last_told, landing;
    std::deque<Vec> recent;
  };
  void match(const std::vector<Peak>& peaks, double dt_s);
  void land(const std::vector<Peak>& peaks, const std::vector<char>& used, std::int64_t t_us);
  void filter(Track& track, std::int64_t t_us);
  Vec output(Track& track) const;
  bool palm(std::int64_t t_us, int loaded_nodes);

  const NodeGrid& grid_;
  const Personality& p_;
  std::vector<Track> tracks_;
  std::vector<char> used_;
  std::int64_t last_us_ = -1;
  int next_id_ = 0;
  int palm_seen_ = 0;
  std::int64_t blocked_until_us_ = 0;  // nothing is told before, by a palm
};

}  // namespace paneproof
