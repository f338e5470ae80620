// Which silences lie over one place.
//
// What is looked through is bounded, whatever the log: a place that was silent a thousand times is beyond any
// doubt.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "analyzer/measure/segment.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

inline constexpr double passage_apart_s = 0.2;  // what is closer in time may be one passage

// The part of a gap that was surely passed over: a fifth off each end.
Segment core(const Silence& s);

// Of one sweep, and nearly at once: two fingers that go together, or a leap and its way back.
bool same_passage(const Silence& s, const Silence& t);

class NearSilences {
 public:
  // `all` must outlive it. d_mm: the fingertip width.
  NearSilences(const Panel& panel, const std::vector<Silence>& all, double d_mm);

  // Silences of other passages over the same place as silence i, in no order; at most 1000.
  std::vector<std::uint32_t> of(std::size_t i);

 private:
  bool over_one_place(const Silence& s, const Silence& t) const;
  // visit(square) for each square within `around` of the gap's way; false from it ends the walk.
  template <class Visit>
  void each_square(const Silence& s, int around, Visit visit);

  const std::vector<Silence>& all_;
  double d_;
  int columns_ = 0, rows_ = 0;
  std::vector<std::vector<std::uint32_t>> squares_;  // silences by 8 mm square of their way
  std::vector<std::size_t> looked_from_;             // by silence: whose neighbours were last looked for
};

}  // namespace paneproof
