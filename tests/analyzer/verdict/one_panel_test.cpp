#include "analyzer/verdict/one_panel.hpp"

#include <catch2/catch.hpp>

#include "capture/model/input_error.hpp"

using namespace paneproof;

namespace {

Trace sweep(const char* file, const char* device, double x, double width_mm = 68) {
  Trace trace;
  trace.panel.width_mm = width_mm, trace.panel.height_mm = 142;
  trace.sweeps.emplace_back();
  trace.sweeps.front().file = file, trace.sweeps.front().device = device;
  trace.reports.push_back({8000, x, 3, 0, 0});
  trace.contacts.emplace_back();
  return trace;
}

}  // namespace

TEST_CASE("a sweep of a touch device of another name is asked about, and judged all the same") {
  std::vector<Trace> sweeps;
  Notes notes;
  add_sweep(sweeps, sweep("a.log", "kestrel-hh touchscreen", 1), notes);
  add_sweep(sweeps, sweep("page.jsonl", "", 2), notes);
  add_sweep(sweeps, sweep("node.log", "/dev/input/event5", 3), notes);
  add_sweep(sweeps, sweep("again.log", "kestrel-hh touchscreen", 4), notes);
  CHECK(notes.all().empty());
  add_sweep(sweeps, sweep("b.log", "merlin-tab touchscreen", 5), notes);
  REQUIRE(notes.has("other_device"));
  for (const char* part : {"a.log", "b.log", "kestrel-hh", "merlin-tab"})
    CHECK(notes.all().front().text.find(part) != std::string::npos);
  CHECK(sweeps.size() == 5);
}

TEST_CASE("a sweep given twice proves nothing twice, whichever it repeats") {
  std::vector<Trace> sweeps;
  Notes notes;
  add_sweep(sweeps, sweep("a.log", "", 1), notes);
  add_sweep(sweeps, sweep("b.log", "", 2), notes);
  CHECK_THROWS_AS(add_sweep(sweeps, sweep("c.log", "", 1), notes), InputError);
  CHECK_THROWS_AS(add_sweep(sweeps, sweep("c.log", "", 2), notes), InputError);
}

TEST_CASE("sweeps of panels of two sizes are not judged together") {
  std::vector<Trace> sweeps;
  Notes notes;
  add_sweep(sweeps, sweep("a.log", "", 1), notes);
  CHECK_THROWS_AS(add_sweep(sweeps, sweep("b.log", "", 2, 69), notes), InputError);
}
