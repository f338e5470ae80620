// A trace: what the panel reported of the fingers on it, contact by contact.
//
// A reader gives a Recording, in the units of the log; `scale` (panel.hpp) makes it a Trace, in mm.
// Reports of one contact stand together, in order of time; contacts stand in order of landing.
// A report that repeats its contact's last position is not kept: some formats send a resting finger
// again and again and others not at all, and the result must not depend on which was used.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "capture/model/panel.hpp"

namespace paneproof {

// One position sample. 32 bytes.
struct Report {
  std::int64_t t_us = 0;      // time of its SYN_REPORT (or its own), from the chosen device's first event
  double x = 0, y = 0;        // log units in a Recording; mm, a whole number of micrometres, in a Trace
  std::uint32_t contact = 0;  // index into contacts
  float sd =
      0;  // of one axis, in the unit of x and y, where the source is not exact: a recording of the screen
};
static_assert(sizeof(Report) == 32);

enum class Ending : std::uint8_t {
  lifted,     // the panel said so, or the number stopped appearing
  cancelled,  // taken back by the system: pointercancel, palm
  broken,     // the capture lost events there: SYN_DROPPED, a clock that stepped back
  open,       // still down where the log ends
};

enum class Tool : std::uint8_t { finger, pen, palm };

// One finger from landing to lift as the panel reported it.
struct Contact {
  std::uint32_t first = 0, count = 0;  // its reports: [first, first + count), count >= 1
  std::uint32_t sweep = 0;             // which file it came from, 0-based
  Ending ending = Ending::open;
  Tool tool = Tool::finger;
};

// A stretch of time in which the capture (not the panel) lost events.
struct Hole {
  std::int64_t from_us = 0, to_us = 0;
  std::uint32_t sweep = 0;
  enum class Kind : std::uint8_t { events_dropped, clock_stepped_back } kind = Kind::events_dropped;
};

// How a dragged thing in a recording was let go (capture/video).
struct LetGo {
  enum class Kind : std::uint8_t {
    drop,     // it glided away while the hand was moving; a touch mark: gone and back sooner than a hand can
    release,  // after a rest: meant
    doubt,    // between the two
    lost,     // nothing is known of it: it could not be followed any more
    end,      // the recording ends
  } kind = Kind::end;
  std::int64_t t_us = 0;  // last frame in which it was followed
  double x = 0, y = 0;    // as in Report
  std::uint32_t contact = 0;
  std::uint32_t sweep = 0;
};

// What a recording of the screen tells of itself.
struct RecordingFacts {
  std::int64_t frames = 0;
  std::int64_t duration_us = 0;            // first to last frame
  std::int64_t span_frames = 0;            // from the first grab to the last release
  std::int64_t held_frames = 0;            // of these, those in which something is held
  std::int64_t followed_frames = 0;        // of these, those in which the place is known
  double half_width = 0, half_height = 0;  // of the largest thing held, as in Report: the finger is within it
  bool of_touches() const { return half_width == 0 && half_height == 0; }  // the marks the system draws
};

// Where a sweep came from.
struct SourceFacts {
  std::string file;                // as the user named it
  std::string format;              // "getevent", "evemu", ... the reader's name
  std::string device;              // as the log names it, "" when it does not
  std::string sha256;              // hex, of the file as handed in; "" unless asked for
  std::int64_t events = 0;         // kernel events, rows or points read
  std::int64_t duration_us = 0;    // first to last event of the device
  bool limited_by_source = false;  // points arrive once a displayed frame: missed reports mean nothing
  std::optional<RecordingFacts> recording = std::nullopt;  // the source is a video
};

// A rectangle of the touch area that the recorder could not feel (a status bar above a page), by its top
// left, in log units. It is masked: neither proven nor blamed.
struct OutOfReach {
  double x = 0, y = 0, width = 0, height = 0;
};

// What a reader gives: positions in the log's units.
struct Recording {
  std::vector<Report> reports;
  std::vector<Contact> contacts;
  std::vector<Hole> holes;
  std::vector<OutOfReach> out_of_reach;
  std::vector<LetGo> let_gos;  // recordings only, in order of time
  Axes axes;                   // as far as the log (or its companion) tells
  SourceFacts source;
};

// What the analysis reads: positions in mm on a known panel.
struct Trace {
  std::vector<Report> reports;
  std::vector<Contact> contacts;
  std::vector<Hole> holes;
  std::vector<LetGo> let_gos;
  Panel panel;
  std::vector<SourceFacts> sweeps;  // one a file
};

// Collects reports in the order in which they arrive and groups them by contact.
// Contacts are named by any key; a key that lands again is a new contact. Throws InputError (65), without
// the file's name, for more than eight million reports or contacts: no log may take all memory.
class RecordingBuilder {
 public:
  // Index of a new contact that lands now.
  std::uint32_t land(Tool tool = Tool::finger);
  // Adds a position unless it repeats the contact's last one. Units of the log.
  void report(std::uint32_t contact, std::int64_t t_us, double x, double y);
  // Ends a contact; the first ending counts.
  void end(std::uint32_t contact, Ending ending);
  // Changes what touched (a tool type told after landing).
  void set_tool(std::uint32_t contact, Tool tool);
  void hole(std::int64_t from_us, std::int64_t to_us, Hole::Kind kind);
  std::size_t report_count() const { return reports_.size(); }

  // Groups by contact (in place: no second copy of the reports), drops contacts without a report.
  Recording finish(Axes axes, SourceFacts source) &&;

 private:
  struct Open {
    double x = 0, y = 0;
    std::uint32_t count = 0;
    Ending ending = Ending::open;
    bool ended = false;
    Tool tool = Tool::finger;
  };
  void grow();
  std::vector<Report> reports_;
  std::vector<Open> contacts_;
  std::vector<Hole> holes_;
  bool grouped_ = true;
};

// Joins sweeps of one panel. Each keeps its own clock; contacts and holes carry the sweep's number.
// What a recorder could not reach stays masked only where no sweep reached it.
// All traces must be of the same panel size (a caller's mistake otherwise).
Trace merge(std::vector<Trace> sweeps);

}  // namespace paneproof
