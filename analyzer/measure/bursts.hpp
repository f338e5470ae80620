// Bursts: contact that is lost for a moment again and again, each time elsewhere: a connector that lets go.
//
// One such loss looks like a hand that re-grips in flight, so they are counted, in three ways, and more are
// asked for than hands make: the chances of as many, ln(Poisson tail), of the counts together must be below
// ln 0.001.
//   on pace   losses (silence.hpp) on the finger's own pace, shorter than 0.4 s, those too that only one end
//             is fit to tell, as contacts between bursts are short: 2 a minute of contact (1 at least) are
//             granted
//   brief     absences shorter than 0.2 s, well inside the panel, from which the finger came back no further
//             off than its pace can have carried it, whichever way it turned meanwhile: 4 a minute (1.5 at
//             least) are granted; those shorter than 0.07 s count for three, as hands hardly make them
//   straight  absences of 0.17 to 0.45 s (quick re-grips, as firmware tells them, are shorter), well inside,
//             from which it came back as far off as its pace says: 1 a minute (1 at least) is granted, and
//             one for every four after which it came down nearer or further off, as a hand that lifts does
// Once they are told, all losses shorter than 0.4 s, all absences up to 0.3 s and the straight ones up to
// 0.45 s are theirs that no other fault explains. Between ln 0.001 and ln 0.02 they are a doubt. A loss may
// be counted in all three, so the sum is a score and no chance; its limits were chosen by what they do.
// Fingers that are lost together, within 0.1 s, count once. None counts what comes again at a place, or
// along one column or row more often than by chance (0.0001), nor what leads over a place without a report,
// which a hand may have left out, or over one that is known to be faulty. The numbers come from rehearsals,
// sound and faulty, of this model and of others that are not kept here; docs/accuracy.md tells how many
// bursts are told.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "analyzer/measure/repeats.hpp"
#include "analyzer/measure/report_field.hpp"
#include "analyzer/measure/silence.hpp"

namespace paneproof {

// Absences of up to 0.45 s, from 2 mm inside the panel, in order of time within each sweep.
struct Absences {
  // The finger came back no further off than its pace can have carried it, and half as far at least.
  std::vector<Silence> on_pace;
  std::vector<Silence> elsewhere;  // it came down nearer or further off
};
// counts: per contact, 0 for those that are no finger of the sweep.
Absences absences(const Trace& trace, const std::vector<double>& usual_s,
                  const std::vector<std::uint8_t>& counts);

struct Bursts {
  std::vector<std::uint8_t> of;  // of each silence: a loss of the connector
  std::vector<Silence> others;   // absences that are none of the silences
  int lost = 0;                  // those that told them; 0 where hands may have made as many
  bool doubtful = false;         // hands hardly make as many
};

// `faulty(x_mm, y_mm)`: a place that does not answer by itself.
Bursts bursts(const Trace& trace, const std::vector<Silence>& silences, const std::vector<Repeat>& repeats,
              const Absences& absences, const ReportField& field,
              const std::function<bool(double, double)>& faulty);

}  // namespace paneproof
