// The numbers that decide: one text, each with unit and reason. docs/limits.txt is the default, built
// in; a file given with --limits replaces the values that it names.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

struct Limits {
  double fingertip_mm = 0;    // d: proof, pass and guarantee
  double cell_mm = 0;         // side of a cell
  double jitter_rms_mm = 0;   // moving, across the path; above it: fault
  double ghosts = 0;          // this many ghost touches or more: fault
  double edge_deeper_mm = 0;  // an edge that stops short by this much more than the opposite one
  double report_rate_hz = 0;  // below it: sweep again
  double jitter_ratio = 0;    // against a known-good panel: this many times its jitter is a fault
  double followed = 0;    // recordings: share of the frames with something held in which its place is known
  double rate_ratio = 0;  // against a known-good panel: below this share of its rate, sweep again
};

// One limit as it is printed.
struct LimitLine {
  std::string name, unit;
  double value = 0;
};

// docs/limits.txt, as built in.
std::string_view default_limits_text();
Limits default_limits();

// Lines `name = value unit`, '#' begins a comment; names not there keep the default. Throws InputError
// (65, with the line and a caret) for an unknown or repeated name, a wrong unit or a value out of range.
Limits parse_limits(std::string_view text, const std::string& file);

std::vector<LimitLine> limit_lines(const Limits& limits);

}  // namespace paneproof
