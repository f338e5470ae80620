// Field names: W3C Pointer Events (type, pointerId, pointerType, timeStamp, clientX, clientY); elements:
// W3C InkML, Recommendation 20 September 2011 (ink, traceFormat, channel, trace).
#include "capture/log/writers.hpp"

#include <catch2/catch.hpp>

#include "tests/capture/log/read_text.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

template <typename Touches>
std::string written(void (*write)(const Touches&, const Sink&), const Touches& touches) {
  std::string out;
  write(touches, [&](std::string_view piece) { out += piece; });
  return out;
}

// Two contacts whose reports interleave; the second is cancelled.
Trace two_contacts() {
  Trace trace;
  trace.panel.width_mm = 68;
  trace.panel.height_mm = 142.5;
  trace.reports = {{0, 1, 2, 0, 0}, {16000, 1.5, 2, 0, 0}, {8000, 30.125, 0.001, 1, 0}, {24001, 31, 0, 1, 0}};
  trace.contacts = {{0, 2, 0, Ending::lifted, Tool::finger}, {2, 2, 0, Ending::cancelled, Tool::finger}};
  trace.sweeps.emplace_back();
  return trace;
}

Recording in_log_units() {
  Recording recording;
  recording.reports = {{0, 0.1, 1000, 0, 0}, {8000, 1e-7, 32767, 0, 0}};
  recording.contacts = {{0, 2, 0, Ending::lifted, Tool::finger}};
  return recording;
}

}  // namespace

TEST_CASE("CSV rows stand in order of time with exact decimals and an end row") {
  CHECK(written<Trace>(write_csv, two_contacts()) ==
        "t_s,contact,x_mm,y_mm,phase\n"
        "0.000000,1,1.000,2.000,down\n"
        "0.008000,2,30.125,0.001,down\n"
        "0.016000,1,1.500,2.000,move\n"
        "0.016000,1,1.500,2.000,up\n"
        "0.024001,2,31.000,0.000,move\n"
        "0.024001,2,31.000,0.000,cancel\n");
}

TEST_CASE("an open contact has no end row and a pen has its column") {
  Trace trace = two_contacts();
  trace.contacts[0].tool = Tool::pen;
  trace.contacts[1].ending = Ending::open;
  const std::string csv = written<Trace>(write_csv, trace);
  CHECK(holds(csv, "phase,tool\n0.000000,1,1.000,2.000,down,pen\n"));
  CHECK_FALSE(holds(csv, "cancel"));
}

TEST_CASE("a recording without a size is written in log units that read back as they were") {
  const std::string csv = written<Recording>(write_csv, in_log_units());
  CHECK(holds(csv, "t_s,contact,x,y,phase\n0.000000,1,0.1,1000,down\n0.008000,1,1e-07,32767,move\n"));
}

TEST_CASE("JSON Lines name the panel as the screen and each event by the standard's fields") {
  const std::string jsonl = written<Trace>(write_jsonl, two_contacts());
  CHECK(holds(jsonl,
              "{\"screen\":{\"width\":68.000,\"height\":142.500,\"left\":0,\"top\":0},\"all_reports\":true}\n"
              "{\"type\":\"pointerdown\",\"pointerId\":1,\"pointerType\":\"touch\",\"timeStamp\":0.000,"
              "\"clientX\":1.000,\"clientY\":2.000}\n"));
  CHECK(holds(jsonl, "{\"type\":\"pointercancel\",\"pointerId\":2,"));
}

TEST_CASE("JSON Lines of log units name a screen only for square axes from 0") {
  Recording recording = in_log_units();
  recording.axes.x = Axis{0, 1000, {}};
  recording.axes.y = Axis{0, 32767, {}};
  CHECK_FALSE(holds(written<Recording>(write_jsonl, recording), "screen"));
  recording.axes.square_units = true;
  CHECK(holds(written<Recording>(write_jsonl, recording), "\"width\":1000,\"height\":32767"));
}

TEST_CASE("InkML holds one trace a contact and the panel as the channels' range") {
  const std::string ink = written<Trace>(write_inkml, two_contacts());
  CHECK(holds(ink, "<channel name=\"X\" type=\"decimal\" min=\"0.000\" max=\"68.000\" units=\"mm\"/>"));
  CHECK(holds(ink, "<trace contextRef=\"#sweep\">1.000 2.000 0.000,\n1.500 2.000 16.000</trace>"));
  CHECK(holds(ink, "<annotation type=\"ending\">cancelled</annotation>"));
}

TEST_CASE("a recording in mm stays in mm though the panel's size is not known") {
  Recording recording = in_log_units();
  recording.axes.in_mm = true;
  CHECK(holds(written<Recording>(write_csv, recording),
              "t_s,contact,x_mm,y_mm,phase\n0.000000,1,0.100,1000.000,down\n"));
  CHECK(holds(written<Recording>(write_inkml, recording),
              "<channel name=\"X\" type=\"decimal\" units=\"mm\"/>"));
}
