#include "analyzer/verdict/one_panel.hpp"

#include <algorithm>
#include <cmath>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr double same_size_mm = 0.01;

const std::string& file_of(const Trace& trace) { return trace.sweeps.front().file; }

bool same_sweep(const Trace& a, const Trace& b) {
  return std::equal(
      a.reports.begin(), a.reports.end(), b.reports.begin(), b.reports.end(),
      [](const Report& r, const Report& s) { return r.t_us == s.t_us && r.x == s.x && r.y == s.y; });
}

// What the device calls itself; a node (/dev/input/event5) is no name, it may change with each start.
std::string name_of(const Trace& trace) {
  const SourceFacts& facts = trace.sweeps.front();
  return facts.recording || facts.device.starts_with('/') ? "" : facts.device;
}

}  // namespace

void add_sweep(std::vector<Trace>& sweeps, Trace&& next, Notes& notes) {
  for (const Trace& earlier : sweeps)
    if (same_sweep(earlier, next))
      throw InputError(
          file_of(next), "",
          "expected sweeps that differ, but this one is the same as " + printable(file_of(earlier)),
          "give each sweep once: a copy proves nothing twice");
  if (!sweeps.empty()) {
    const Panel &first = sweeps.front().panel, &panel = next.panel;
    if (std::abs(first.width_mm - panel.width_mm) > same_size_mm ||
        std::abs(first.height_mm - panel.height_mm) > same_size_mm)
      throw InputError(file_of(next), "",
                       "expected sweeps of one panel, but this one's size differs from that of " +
                           printable(file_of(sweeps.front())),
                       "give --panel WIDTHxHEIGHT, or --each for separate panels");
  }
  const std::string name = name_of(next);
  const auto named =
      std::find_if(sweeps.begin(), sweeps.end(), [](const Trace& t) { return !name_of(t).empty(); });
  if (!name.empty() && named != sweeps.end() && name_of(*named) != name)
    notes.add("other_device", "are these sweeps of one panel? " + printable(file_of(next)) +
                                  " is of touch device " + printable(name) + ", " +
                                  printable(file_of(*named)) + " of " + printable(name_of(*named)));
  sweeps.push_back(std::move(next));
}

}  // namespace paneproof
