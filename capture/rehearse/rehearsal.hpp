// A rehearsal: a made-up hand sweeps a made-up panel. From a seed and a specification to a recording,
// as a reader would give it, and the truth. The same specification gives the same bytes everywhere.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "capture/model/trace.hpp"
#include "capture/rehearse/faults.hpp"
#include "capture/rehearse/personality.hpp"
#include "capture/rehearse/sweep_path.hpp"
#include "capture/rehearse/truth.hpp"

namespace paneproof {

struct RehearsalSpec {
  std::uint64_t seed = 1;
  double width_mm = 68, height_mm = 142;  // sensing area
  HandSpec hand;
  double contact_mm = 8.5;               // mean width of the fingertip on the glass, 7..10
  double rate_hz = 120;                  // scans a second while touched, 60..240
  std::optional<FirmwareFamily> family;  // none: by the seed
  std::optional<Personality> firmware;   // every figure given; wins over `family`
  std::optional<HostSpec> host;          // none: by the seed
  std::vector<FaultSpec> faults;         // empty: a sound panel
  int palms = 0;                         // times that a palm touches for a moment
  int water_blobs = 0;                   // blobs of water that lie on the glass for some seconds
};

// What to draw.
enum class Mix {
  good_complete,    // sound panel, swept all over
  good_incomplete,  // sound panel, something left out
  one_fault,        // a fault of any kind, swept all over
  mixed,            // all of these; a third sound and complete, a fifth incomplete, sometimes two faults
};

// A specification with everything drawn by the seed.
RehearsalSpec random_spec(std::uint64_t seed, Mix mix);
// The same with this fault on the panel, swept all over.
RehearsalSpec random_spec(std::uint64_t seed, FaultKind fault);

struct Rehearsed {
  RehearsalSpec spec;
  Personality firmware;               // as used
  HostSpec host;                      // as used
  Recording recording;                // log units; t = 0 is the first report; axes filled
  std::vector<std::int64_t> lift_us;  // when each contact ended; of an open one: the last event
  Truth truth;                        // on the recording's clock
};

// Cost: about 0.1 s for a minute at 120 Hz on a 68 x 142 mm panel.
Rehearsed rehearse(const RehearsalSpec& spec);

// The truth and the specification as JSON text. Lengths mm, times s. Masks as rows of 0 and 1.
std::string truth_json(const Rehearsed& rehearsed);

// Names of the log formats that a rehearsal can be written in.
std::vector<std::string> rehearsal_formats();
// The recording as a log. Raw input_event logs and the kernel's packets without ids lose what those
// formats cannot tell (axes; which contact is which). Pointer events, CSV and InkML are in mm.
// Empty for a format that is not in the list.
std::string write_rehearsal(const Rehearsed& rehearsed, const std::string& format);

}  // namespace paneproof
