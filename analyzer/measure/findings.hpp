// What the measures found. Plain data: every length in mm, time in s, already rounded to the decimals
// that are printed, so that every machine decides and prints alike. Origin top left, x right, y down.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace paneproof {

struct Point {
  double x_mm = 0, y_mm = 0;
};

// proven: a report within half a fingertip, no passage silent. silent: a finger passed, no report.
// intermittent: silent on one passage, reported on another. unswept: no evidence of a finger.
enum class CellState : std::uint8_t { proven, silent, intermittent, unswept };

struct Grid {
  int columns = 0, rows = 0;
  double cell_mm = 0;                // square cells from the top left; the last column and row may be cut
  std::vector<CellState> cells;      // rows x columns, top row first
  std::vector<std::uint8_t> masked;  // 1 where most of the cell is not judged (rim, mask)
  CellState at(int column, int row) const { return cells[static_cast<std::size_t>(row) * columns + column]; }
};

struct Circle {
  double x_mm = 0, y_mm = 0, diameter_mm = 0;
};

// Fractions of the judged area, by area (not by cell).
struct Coverage {
  double proven = 0, silent = 0, intermittent = 0, unswept = 0;
  Circle largest_untested;  // diameter rounded up: never understated
  double judged_mm2 = 0, masked_mm2 = 0;
};

// line: a row or column of electrodes, across the panel; partial_line: part of one; area: anything
// else inside; edge_band: along one side; bursts: contact lost over the whole panel.
enum class ZoneKind : std::uint8_t { line, partial_line, area, edge_band, bursts };
enum class Along : std::uint8_t { none, row, column };  // row: the zone runs along x

struct DeadZone {
  ZoneKind kind = ZoneKind::area;
  Along along = Along::none;
  double x_mm = 0, y_mm = 0, width_mm = 0, height_mm = 0;  // top left and extent
  int lost = 0, passages = 0;  // lost n of m passages over it; 0 of 0 when attested
  bool intermittent = false;   // some passages over it were reported
  bool attested = false;       // from --swept-all: the operator says the finger went there
  double confidence = 0;       // 0..1, calibrated on the rehearsal mix
};

// Contact lost and regained under a finger that did not lift.
struct Dropout {
  int sweep = 0;
  double t_s = 0, gap_s = 0;              // last report before the loss; time to the next report
  double x_mm = 0, y_mm = 0, gap_mm = 0;  // place of that report; distance to the next
  Point regained;
  int missed = 0;              // reports missed at the local report rate
  int lost = 0, passages = 0;  // over passages of this place: lost n of m times
  bool same_contact = false;   // the panel kept the contact's number across the loss
  double confidence = 0;
  bool of_recording = false;  // seen in a recording of the screen: what was dragged glided away
};

// Something that may be a loss but may be the hand or the host: asks to drag there again.
struct Doubt {
  int sweep = 0;
  double t_s = 0, gap_s = 0;
  Point from, to;
  std::string id;  // "regrip_or_loss", "host_stall", "landing_leap", ...: stable identifiers
};

struct Ghost {
  int sweep = 0;
  double t_s = 0, x_mm = 0, y_mm = 0;
};

// A step that no finger makes: position leapt and came back or went on elsewhere.
struct Jump {
  int sweep = 0;
  double t_s = 0;
  Point from, to;
};

struct Jitter {
  double rms_mm = 0, p95_mm = 0;         // across the path, one axis, moving
  std::optional<double> resting_rms_mm;  // one axis, finger at rest
  std::optional<double> linearity_mm;    // largest distance from the fitted line, near straight strokes
  std::int64_t reports = 0;              // how many reports it rests on
};

struct ReportRate {
  double rate_hz = 0;  // 0 when too few intervals
  double interval_median_s = 0, interval_p05_s = 0, interval_p95_s = 0;
  std::int64_t intervals = 0;
  double missed_share = 0;  // share of frames missing by doubled or longer intervals
  bool limited_by_source = false;
};

// An edge's depth: how near reports come to it, over strokes that run towards it still moving.
struct EdgeDepth {
  double left_mm = 0, right_mm = 0, top_mm = 0, bottom_mm = 0;  // nearest report to each side
};

// What a known-good panel of the same model showed in a sweep (--reference): edge filters, rate and
// smoothing differ by design from model to model.
struct Reference {
  EdgeDepth edges;
  double jitter_rms_mm = 0, rate_hz = 0;
};

// What recordings of the screen tell of themselves; all of them together.
struct RecordingFound {
  std::int64_t frames = 0;
  double duration_s = 0;     // first to last frame
  double followed = 0;       // share of the frames from the first grab to the last release with a known place
  double followed_held = 0;  // the same over the frames in which something is held
  double position_sd_mm = 0;    // median, one axis
  double finger_within_mm = 0;  // the finger is at most this far from the place, the same way within a grab
};

struct StrokeLeft {
  Point from, to;
};

struct SweepQuality {
  double duration_s = 0, contact_share = 0;  // share of the time with a finger on the glass
  double speed_median_mm_s = 0, speed_p95_mm_s = 0;
  double fastest_useful_mm_s = 0;  // faster leaves steps wider than half a fingertip at this rate
  std::vector<StrokeLeft> left;    // what is left to sweep, as strokes to draw
};

struct Findings {
  double panel_width_mm = 0, panel_height_mm = 0, rim_mm = 0;
  double fingertip_mm = 0;
  Grid grid;
  Coverage coverage;
  std::vector<DeadZone> dead_zones;
  std::vector<Dropout> dropouts;
  std::vector<Doubt> doubts;
  std::vector<Doubt> cleared;  // were doubts, but other passages were reported there: nothing to do
  std::vector<Ghost> ghosts;
  std::vector<Jump> jumps;
  Jitter jitter;
  ReportRate rate;
  EdgeDepth edges;
  SweepQuality quality;
  std::optional<RecordingFound> recording;  // a sweep comes from a recording
  std::optional<Reference> reference;       // judged against, where one was given
  int most_contacts = 0;                    // most simultaneous contacts seen
  int contacts = 0;
  std::int64_t reports = 0;
  double out_of_reach_mm = 0;  // width of the widest strip that no recorder could reach
  bool pen_only = false;       // the log shows a pen: the pen layer only
};

}  // namespace paneproof
