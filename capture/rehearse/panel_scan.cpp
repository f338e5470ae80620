#include "capture/rehearse/panel_scan.hpp"

namespace paneproof {

PanelScan::PanelScan(const NodeGrid& grid, const Personality& personality, Faults& faults,
                     const OnGlass& glass, std::optional<Random> noise)
    : grid_(grid),
      p_(personality),
      faults_(faults),
      glass_(glass),
      noise_(noise),
      spread_(spread_of_contact(glass.contact_mm)),
      finder_(grid, personality),
      firmware_(grid, personality),
      keeper_(grid, personality, faults, glass.fingers.size()),
      frame_(grid),
      scanned_(glass.fingers.size()) {}

// All that lies on the glass at a time.
void PanelScan::look(std::int64_t t_us) {
  const double t_s = static_cast<double>(t_us) * 1e-6;
  prints_.clear();
  for (std::size_t k = 0; k < glass_.fingers.size(); ++k) {
    ScannedFinger& finger = scanned_[k];
    finger.state = finger_at(glass_.fingers[k], t_us);
    // A pressed fingertip is a little longer than wide.
    finger.print = {finger.state.at, spread_ * 0.97, spread_ * 1.05, finger.state.touch, Touching::finger};
    if (finger.state.down) prints_.push_back(finger.print);
  }
  for (const Blob& blob : glass_.blobs)
    if (t_s >= blob.from_s && t_s < blob.to_s) prints_.push_back(blob.print);
  faults_.add_ghosts(prints_, t_s);
}

Told PanelScan::at(double t_us) {
  const auto now = static_cast<std::int64_t>(t_us);
  look(now);
  std::vector<Peak> peaks;
  if (!prints_.empty()) {
    collect(frame_, grid_, prints_);
    faults_.act(frame_, t_us * 1e-6);
    if (noise_)
      for (std::size_t k = 0; k < grid_.size(); ++k)
        if (frame_.near[k]) frame_.signal[k] += p_.node_noise * noise_->normal();
    peaks = finder_.find(frame_, p_.off);
  }
  Told told = firmware_.scan(now, peaks, prints_.empty() ? 0 : finder_.loaded_nodes(frame_));
  keeper_.scan(now, scanned_, frame_, peaks, told, firmware_.blocked(now));
  return told;
}

}  // namespace paneproof
