// Repeats: which silences are a fault of the panel, because they come again at a place or along a line.
//
// On a sound panel silences fall anywhere: a hand re-grips in flight, a host stalls. On a faulty one
// they come back where the fault is. So the question is put as a scan with one error rate for the whole
// sweep: at this place (or along this column or row of electrodes) n passages were silent; how likely
// is that when the silences of this sweep fall at random (Poisson, rate from all silences elsewhere,
// never below what common hands and hosts do)? The chance is multiplied by the number of places tried
// (Bonferroni), and each passage that was reported at the very place takes evidence away.
#pragma once

#include <vector>

#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

inline constexpr double error_rate_of_sweep = 0.002;  // a sound panel's sweep gives one fault by chance

struct Repeat {
  bool fault = false;    // beyond chance
  bool cleared = false;  // not repeated beyond chance, and other passages over the very place were reported
  int lost = 1, passages = 1;  // lost n of m passages at the place
  double log_chance = 0;       // natural log of the chance, places counted; 0 or less
  enum class Over { place, column, row } over = Over::place;
};

// One for each silence, in the same order. fingertip_mm is d.
std::vector<Repeat> repeats(const Trace& trace, const std::vector<Silence>& silences,
                            const ReportField& field, double fingertip_mm);

}  // namespace paneproof
