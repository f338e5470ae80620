// What speaks for a void being dead rather than not swept, and when it is enough (voids.hpp says what each
// is).
//
// No one sign settles it: a hand may lift over the same place again and again, a host may stall there, rows
// may swerve by chance. So the signs are added up as log odds,
//   faults    silences over it that repeat (repeats.hpp); three or more are enough by themselves
//   once      it was crossed once, or never
//   ahead     crossings come back further off than the finger's own way (crossings.hpp)
//   agreeing  their gaps exceed that way by much the same each time, or not
//   aligned   arrivals that lie on straight lines (alignment.hpp); beside a strip they speak against
//             it where they scatter as hands do (a round dead place has no straight border)
//   unround   arrivals that lie along no circle either (roundness.hpp); a strip is not round
//   shifts    what runs past it (bends), ends or begins there (veers) is told too far away from it
//   turned    fingers that vanished on their way to a side came back from it when a turn there takes them
//             (void_turns.hpp), or in the hand's own time
//   quick     crossings from one contact to the next that took less than 0.07 s, as hands hardly lift
//   alive     crossings within one contact: the finger was there
//   barriers  contacts that come to an end within the same millimetre; where chance does that less than once
//             in e^45 sweeps (the least seen of 2,400 sound ones was e^-21) they are enough by themselves
// with the weights of a logistic regression over voids of panels rehearsed by this model and by others that
// are not kept here, sound and faulty, of which it was known whether they were dead, rounded.
// `paneproof_truth --voids` fits them again to this model alone and counts how many are told rightly. Each
// sign counts up to a limit, so that none outweighs all others.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "analyzer/measure/alignment.hpp"
#include "analyzer/measure/barrier_reach.hpp"
#include "analyzer/measure/crossings.hpp"
#include "analyzer/measure/findings.hpp"

namespace paneproof {

struct Void {
  std::vector<Point> ends;  // where fingers vanished beside it and where they came back, in turn
  std::vector<Arrival>
      arrivals;  // contacts that end heading into it or begin heading out of it, and leaps over it
  std::vector<Block> beyond;    // what lies beyond its barriers, between neighbouring places
  int faults = 0;               // silences over it that are a fault's
  int crossings = 0;            // contacts that ended beside it and came back beyond it, and leaps over it
  int alive = 0;                // of them those within one contact: leaps and holes, 0.2 s apart or more
  std::vector<Crossing> paced;  // crossings from one contact to the next whose pace is known
  double alive_s = 0;           // end of the last of these, and its sweep
  std::uint32_t alive_sweep = 0;
  std::vector<double>
      shifts_mm;  // away from the void: of passages beside it, and of contacts that end or begin there
  double barriers_log_chance = 0;  // barriers about it: ln of the chance that hands alone do this
  bool strip = false;              // twice as long as wide, or more
  double log_aligned = 0;          // ln of the Bayes factor of its arrivals along straight lines
  double log_round = 0;            // the same along a circle
  double log_turned = 0;           // ln of the likelihood ratio of turns beyond it
  bool dead = false;
};

// ln of how much likelier these shifts are beside a dead place than elsewhere, where passages swerve by
// chance; a shift of 0 speaks a little against it. 0 for none.
double log_shifted(const std::vector<double>& shifts_mm);

struct VoidSign {
  const char* name;
  double weight;  // ln of the odds ratio of one unit of the sign
};
inline constexpr std::size_t void_signs = 13;
extern const std::array<VoidSign, void_signs> void_sign_weights;

// How strongly each sign speaks, in that order. The first is 1 always: what holds before anything is seen.
std::array<double, void_signs> signs(const Void& v);

// ln of the odds that the void is dead.
double log_odds(const Void& v);

// By what settles it alone: losses that repeat there, or barriers beyond all doubt.
bool surely_dead(const Void& v);
bool dead(const Void& v);

}  // namespace paneproof
