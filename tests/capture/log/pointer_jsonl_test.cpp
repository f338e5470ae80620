// Semantics: W3C "Pointer Events Level 3" (Candidate Recommendation Snapshot 29 April 2025 and the
// editor's draft); the passage that a test rests on is named beside it.
#include "capture/log/pointer_jsonl.hpp"

#include <catch2/catch.hpp>

#include "tests/capture/log/read_text.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

Reading read(const std::string& text) { return read_text(pointer_jsonl_format(), text); }
std::string refused(const std::string& text) { return refusal(pointer_jsonl_format(), text); }

// One line; `more` are further members.
std::string event(const std::string& type, int id, double t_ms, double x, double y,
                  const std::string& more = "", const std::string& pointer_type = "touch") {
  return "{\"type\":\"" + type + "\",\"pointerId\":" + std::to_string(id) + ",\"pointerType\":\"" +
         pointer_type + "\",\"timeStamp\":" + std::to_string(t_ms) + ",\"clientX\":" + std::to_string(x) +
         ",\"clientY\":" + std::to_string(y) + more + "}\n";
}

std::string coalesced(std::initializer_list<std::pair<double, double>> t_and_x) {
  std::string out = ",\"coalesced\":[";
  for (const auto& [t, x] : t_and_x)
    out += std::string(out.back() == '[' ? "" : ",") + "{\"timeStamp\":" + std::to_string(t) +
           ",\"clientX\":" + std::to_string(x) + ",\"clientY\":1}";
  return out + "]";
}

}  // namespace

// "getCoalescedEvents()": the parent sums its coalesced events up, so they stand in its place; the list
// holds at least the event itself when the browser made it, and is empty when a script did.
TEST_CASE("coalesced points stand in place of their parent unless the list is empty") {
  const auto got = read(event("pointerdown", 3, 0, 1, 1) +
                        event("pointermove", 3, 16.6, 9, 1, coalesced({{4.2, 2}, {8.3, 3}})) +
                        event("pointermove", 3, 33, 10, 1, ",\"coalesced\":[]"))
                       .recording;
  REQUIRE(got.reports.size() == 4);
  CHECK(got.reports[1].x == 2);
  CHECK(got.reports[1].t_us == 4200);
  CHECK(got.reports[2].x == 3);
  CHECK(got.reports[3].x == 10);
  CHECK(got.contacts.size() == 1);  // a coalesced event has its parent's pointerId
  CHECK_FALSE(got.source.limited_by_source);
}

TEST_CASE("moves without coalesced points arrive once a displayed frame") {
  CHECK(read(event("pointerdown", 3, 0, 1, 1) + event("pointermove", 3, 16, 2, 1))
            .recording.source.limited_by_source);
}

// "getPredictedEvents()": guesses of what may come; "pointerrawupdate": fires besides pointermove.
TEST_CASE("predicted points and raw updates beside moves are not counted") {
  const auto got = read(event("pointerdown", 3, 0, 1, 1) + event("pointerrawupdate", 3, 4, 2, 1) +
                        event("pointerrawupdate", 3, 8, 3, 1) +
                        event("pointermove", 3, 9, 4, 1,
                              ",\"predicted\":[{\"timeStamp\":17,\"clientX\":99,\"clientY\":1}]") +
                        event("pointerrawupdate", 3, 12, 5, 1) + event("pointerup", 3, 20, 4, 1))
                       .recording;
  REQUIRE(got.reports.size() == 2);
  CHECK(got.reports[1].x == 4);
}

TEST_CASE("raw updates are the points of a contact that has no moves") {
  std::string text = event("pointerdown", 3, 0, 1, 1);
  for (int i = 1; i <= 1500; ++i) text += event("pointerrawupdate", 3, i, 1 + i, 1);
  const auto early = read(text).recording;
  CHECK(early.reports.size() == 1501);
  CHECK(read(text + event("pointermove", 3, 1600, 7, 1)).recording.reports.size() == 1501);
  CHECK_FALSE(early.source.limited_by_source);
}

// "pointercancel": the browser takes the pointer back (a pan or zoom, for one): nothing the panel did.
TEST_CASE("a cancelled pointer ends as cancelled and has no place of its own") {
  const auto got = read(event("pointerdown", 3, 0, 1, 1) + event("pointercancel", 3, 8, 0, 0) +
                        event("pointerout", 3, 8, 0, 0) + event("pointerleave", 3, 8, 0, 0))
                       .recording;
  REQUIRE(got.reports.size() == 1);
  CHECK(got.contacts[0].ending == Ending::cancelled);
}

// "buttons": 0 while nothing touches; "pressure": 0 for a pointer that is not active.
TEST_CASE("a hovering pointer proves nothing") {
  const std::string pen = event("pointermove", 1, 0, 1, 1, ",\"buttons\":0", "pen") +
                          event("pointermove", 1, 5, 2, 1, ",\"pressure\":0", "pen");
  CHECK(holds(refused(pen), "no touch"));
  const auto got = read(pen + event("pointerdown", 1, 9, 3, 1, ",\"buttons\":1", "pen") +
                        event("pointerup", 1, 12, 3, 1, ",\"buttons\":0", "pen") +
                        event("pointermove", 1, 20, 4, 1, ",\"buttons\":0", "pen"));
  REQUIRE(got.recording.reports.size() == 1);
  CHECK(got.recording.contacts[0].tool == Tool::pen);
  CHECK(got.recording.contacts[0].ending == Ending::lifted);
  CHECK(got.notes.has("pen_log"));
}

TEST_CASE("a log that begins under a finger gives that finger") {
  CHECK(read(event("pointermove", 3, 0, 1, 1) + event("pointermove", 3, 8, 2, 1)).recording.contacts.size() ==
        1);
}

// "pointerType": mouse, pen or touch.
TEST_CASE("a mouse is not counted, and refused by name when it is all there is") {
  const std::string mouse = event("pointermove", 1, 0, 1, 1, ",\"buttons\":1", "mouse");
  CHECK(holds(refused(mouse), "mouse"));
  CHECK(read(mouse + event("pointerdown", 3, 0, 5, 5)).recording.reports.size() == 1);
}

TEST_CASE("interleaved pointers keep each its own order") {
  const auto got = read(event("pointerdown", 7, 0, 1, 1) + event("pointerdown", 8, 1, 50, 1) +
                        event("pointermove", 8, 9, 51, 1) + event("pointermove", 7, 8, 2, 1) +
                        event("pointerup", 7, 16, 2, 1) + event("pointerup", 8, 17, 51, 1))
                       .recording;
  REQUIRE(got.contacts.size() == 2);
  CHECK(got.reports[1].x == 2);
  CHECK(got.reports[3].x == 51);
  CHECK(got.holes.empty());
}

TEST_CASE("the screen gives both axes in one square unit and the page's place on it") {
  const auto got = read("{\"screen\":{\"width\":412,\"height\":892,\"left\":10,\"top\":24}}\n" +
                        event("pointerdown", 3, 0, 1, 2))
                       .recording;
  CHECK(got.reports[0].x == 11);
  CHECK(got.reports[0].y == 26);
  REQUIRE(got.axes.x.has_value());
  CHECK(got.axes.x->max == 412);
  CHECK(got.axes.y->max == 892);
  CHECK(got.axes.square_units);
}

TEST_CASE("unknown keys are ignored at any depth") {
  const auto got = read(
      event("pointerdown", 3, 0, 1, 1,
            ",\"target\":{\"clientX\":[{\"timeStamp\":\"x\"}],\"type\":7},\"path\":[[1],{}],\"width\":1"));
  CHECK(got.recording.reports[0].x == 1);
}

TEST_CASE("bad Pointer Events input gives one clear line with its place") {
  const std::string good = event("pointerdown", 3, 0, 1, 1);
  CHECK(holds(refused(good + event("pointermove", 3, 8, 1, 1, ",\"clientX\":5")), "line 2, column"));
  CHECK(holds(refused(good + event("pointermove", 3, 8, 1, 1, ",\"clientX\":5")), "one key \"clientX\""));
  CHECK(holds(refused("{\"type\":\"pointerdown\",\"pointerId\":1,\"timeStamp\":NaN}\n"),
              "expected JSON at ^ in: "));
  CHECK(holds(refused("{\"type\":\"pointerdown\",\"pointerId\":1,\"timeStamp\":\"5\"}\n"),
              "a number as \"timeStamp\""));
  CHECK(holds(
      refused("{\"type\":\"pointerdown\",\"pointerId\":1.5,\"timeStamp\":5,\"clientX\":1,\"clientY\":1}\n"),
      "an integer"));
  CHECK(holds(refused("{\"type\":\"pointerdown\",\"pointerId\":1,\"clientX\":1,\"clientY\":1}\n"),
              "without a time"));
  CHECK(holds(refused(event("pointerdown", 3, -5, 1, 1)), "a time from 0"));
  CHECK(holds(
      refused("{\"type\":\"pointerdown\",\"pointerId\":1,\"timeStamp\":1e999,\"clientX\":1,\"clientY\":1}\n"),
      "expected JSON"));
  CHECK(holds(
      refused("{\"type\":\"pointerdown\",\"pointerId\":1,\"timeStamp\":1,\"clientX\":1e30,\"clientY\":1}\n"),
      "up to 1e9"));
  CHECK(holds(refused(good + "[1,2]\n"), "one JSON object"));
  CHECK(holds(refused(good + "{}\n"), "a \"type\""));
  CHECK(holds(refused("{\"screen\":{\"width\":0,\"height\":5}}\n" + good), "width and height above 0"));
  CHECK(holds(refused(good + "{\"screen\":{\"width\":5,\"height\":5}}\n"), "the screen on the first line"));
}

TEST_CASE("a Pointer Events log cut at any byte counts its whole lines") {
  const std::string text = "{\"screen\":{\"width\":40,\"height\":80}}\n" + event("pointerdown", 3, 0, 1, 1) +
                           event("pointermove", 3, 8, 2, 1, coalesced({{4, 11}, {8, 12}})) +
                           event("pointerup", 3, 9, 12, 1);
  CHECK(cut_that_breaks(pointer_jsonl_format(), text, [&](const std::string& beginning) {
          // A JSON object tells its own end, so a line counts as soon as it is whole.
          const auto whole = [&](int line) {
            std::size_t end = 0;
            for (int i = 0; i < line; ++i) end = text.find('\n', end) + 1;
            return beginning.size() + 1 >= end;
          };
          return static_cast<std::size_t>(whole(3) ? 3 : whole(2) ? 1 : 0);
        }) == -1);
  CHECK(read(text.substr(0, text.size() - 20)).notes.has("cut_at_end"));
}
