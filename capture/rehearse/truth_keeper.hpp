// Keeps the truth while a rehearsal runs: scan by scan, which finger each contact follows, which
// fingers nobody sees and why. A finger that goes on under another contact's number was lost too, for no
// scan.
#pragma once

#include <map>
#include <vector>

#include "capture/rehearse/truth.hpp"

namespace paneproof {

// A finger as one scan meets it.
struct ScannedFinger {
  FingerSample state;
  Footprint print;
};

class TruthKeeper {
 public:
  TruthKeeper(const NodeGrid& grid, const Personality& personality, const Faults& faults,
              std::size_t fingers);
  // Marks each told contact with its origin and finger, and follows losses.
  void scan(std::int64_t t_us, const std::vector<ScannedFinger>& fingers, const NodeFrame& frame,
            const std::vector<Peak>& peaks, Told& told, bool palm_blocks);
  // Ends what is open and hands the losses over, in order of time.
  std::vector<Loss> finish();

 private:
  struct Watch {
    bool down = false, seen = false;  // seen since the landing
    bool losing = false;
    int contact = -1;          // the id that followed it until now or until this loss; -1: none
    std::int64_t last_us = 0;  // last scan that saw it, or its landing
    Vec last_at, now_at;
    std::int64_t now_us = 0;
    Loss loss;
  };
  void mark(ToldContact& contact, const std::vector<ScannedFinger>& fingers, const NodeFrame& frame,
            const std::vector<Peak>& peaks) const;
  bool expected(const ScannedFinger& finger) const;
  void blame(Loss& loss, std::size_t which, const std::vector<ScannedFinger>& fingers,
             bool palm_blocks) const;
  static void begin_loss(Watch& watch, int finger);
  void close(Watch& watch, std::int64_t t_us, Vec at, bool until_lift);

  const NodeGrid& grid_;
  const Personality& p_;
  const Faults& faults_;
  std::vector<Watch> watches_;
  std::vector<Loss> losses_;
  std::map<int, int> origins_;  // by contact id, as it landed
};

}  // namespace paneproof
