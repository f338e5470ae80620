// A panel that is scanned again and again: what lies on the glass, its faults and its noise, the touches
// found in the nodes and the contacts that the firmware makes of them.
#pragma once

#include <optional>
#include <vector>

#include "capture/rehearse/truth_keeper.hpp"

namespace paneproof {

// A palm or a blob of water for a while.
struct Blob {
  double from_s = 0, to_s = 0;
  Footprint print;
};

struct Scan {
  std::int64_t t_us = 0;
  Told told;
};

// What lies on the glass in the course of a rehearsal.
struct OnGlass {
  const std::vector<std::vector<FingerSample>>& fingers;
  const std::vector<Blob>& blobs;
  double contact_mm = 8;
};

class PanelScan {
 public:
  // noise: of the nodes; none: they have none.
  PanelScan(const NodeGrid& grid, const Personality& personality, Faults& faults, const OnGlass& glass,
            std::optional<Random> noise);
  Told at(double t_us);
  bool idle() const { return firmware_.idle(); }
  std::vector<Loss> finish() { return keeper_.finish(); }

 private:
  void look(std::int64_t t_us);

  const NodeGrid& grid_;
  const Personality& p_;
  Faults& faults_;
  OnGlass glass_;
  std::optional<Random> noise_;
  double spread_;
  TouchFinder finder_;
  Firmware firmware_;
  TruthKeeper keeper_;
  NodeFrame frame_;
  std::vector<ScannedFinger> scanned_;
  std::vector<Footprint> prints_;
};

}  // namespace paneproof
