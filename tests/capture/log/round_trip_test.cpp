// A trace that is written and read again is the same trace: times, places and contacts to the bit.
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "capture/log/csv.hpp"
#include "capture/log/formats.hpp"
#include "capture/log/inkml.hpp"
#include "capture/log/pointer_jsonl.hpp"
#include "capture/log/writers.hpp"
#include "capture/model/panel.hpp"
#include "tests/capture/log/read_text.hpp"

using namespace paneproof;
using namespace paneproof::testing;

namespace {

using Random = std::mt19937_64;

std::int64_t between(Random& random, std::int64_t low, std::int64_t high) {
  return low + static_cast<std::int64_t>(random() % static_cast<std::uint64_t>(high - low + 1));
}

// Contacts in order of landing, some at once, with every ending and tool; whole us and um.
Trace any_trace(Random& random) {
  Trace trace;
  trace.panel.width_mm = static_cast<double>(between(random, 40'000, 300'000)) / 1000;
  trace.panel.height_mm = static_cast<double>(between(random, 40'000, 300'000)) / 1000;
  const auto place = [&](double size_mm) {
    return static_cast<double>(between(random, 0, std::llround(size_mm * 1000))) / 1000.0;
  };
  std::int64_t landing_us = between(random, 0, 2'000'000);
  const auto contacts = static_cast<std::uint32_t>(between(random, 1, 12));
  for (std::uint32_t c = 0; c < contacts; ++c) {
    Contact contact;
    contact.first = static_cast<std::uint32_t>(trace.reports.size());
    contact.count = static_cast<std::uint32_t>(between(random, 1, 40));
    contact.ending = static_cast<Ending>(between(random, 0, 3));
    contact.tool = static_cast<Tool>(between(random, 0, 2));
    std::int64_t t_us = landing_us;
    for (std::uint32_t i = 0; i < contact.count; ++i) {
      Report report{t_us, place(trace.panel.width_mm), place(trace.panel.height_mm), c, 0};
      if (i > 0 && report.x == trace.reports.back().x && report.y == trace.reports.back().y)
        report.x = report.x > 1 ? report.x - 1 : report.x + 1;  // a trace holds no repeated place
      trace.reports.push_back(report);
      t_us += between(random, 0, 400'000);
    }
    trace.contacts.push_back(contact);
    landing_us += between(random, 0, 300'000);
  }
  trace.sweeps.emplace_back();
  return trace;
}

// What the format cannot tell stands as it is read.
Ending as_told(Ending ending, const Format& format) {
  const bool tells_broken = std::string(format.name) == "inkml";
  return ending == Ending::broken && !tells_broken ? Ending::cancelled : ending;
}

std::string differs(const Trace& a, const Trace& b, const Format& format) {
  if (a.reports.size() != b.reports.size()) return "number of reports";
  if (a.contacts.size() != b.contacts.size()) return "number of contacts";
  for (std::size_t i = 0; i < a.reports.size(); ++i) {
    const Report &p = a.reports[i], &q = b.reports[i];
    if (p.t_us != q.t_us || p.x != q.x || p.y != q.y || p.contact != q.contact)
      return "report " + std::to_string(i);
  }
  for (std::size_t i = 0; i < a.contacts.size(); ++i) {
    const Contact &p = a.contacts[i], &q = b.contacts[i];
    if (p.first != q.first || p.count != q.count || p.tool != q.tool || as_told(p.ending, format) != q.ending)
      return "contact " + std::to_string(i);
  }
  return a.sweeps[0].limited_by_source != b.sweeps[0].limited_by_source ? "limited_by_source" : "";
}

std::string text_of(void (*write)(const Trace&, const Sink&), const Trace& trace) {
  std::string text;
  write(trace, [&](std::string_view piece) { text += piece; });
  return text;
}

}  // namespace

TEST_CASE("a trace comes back the same to the bit from every format that is written") {
  struct Way {
    const Format& format;
    void (*write)(const Trace&, const Sink&);
  };
  const Way ways[] = {
      {csv_format(), write_csv}, {pointer_jsonl_format(), write_jsonl}, {inkml_format(), write_inkml}};
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Random random(seed);
    const Trace trace = any_trace(random);
    PanelRequest request;
    request.width_mm = trace.panel.width_mm;
    request.height_mm = trace.panel.height_mm;
    for (const Way& way : ways) {
      INFO("seed " << seed << ", format " << way.format.name);
      const std::string text = text_of(way.write, trace);
      const auto first = std::find_if(formats().begin(), formats().end(),
                                      [&](const Format& format) { return format.recognises(text); });
      REQUIRE(first != formats().end());
      CHECK(std::string(first->name) == way.format.name);
      Reading reading = read_text(way.format, text);
      CHECK(differs(trace, scale(std::move(reading.recording), request, reading.notes), way.format) == "");
    }
  }
}

TEST_CASE("a log in mm keeps its places and turns with the panel") {
  const std::string text = "t_s,contact,x_mm,y_mm\n0,1,10.5,20.25\n";
  const auto at = [&](int rotate_deg) {
    Reading reading = read_text(csv_format(), text);
    PanelRequest request;
    request.width_mm = 68;
    request.height_mm = 142;
    request.rotate_deg = rotate_deg;
    const Report report = scale(std::move(reading.recording), request, reading.notes).reports[0];
    return std::make_pair(report.x, report.y);
  };
  CHECK(at(0) == std::make_pair(10.5, 20.25));
  CHECK(at(90) == std::make_pair(68 - 20.25, 10.5));
  CHECK(at(180) == std::make_pair(68 - 10.5, 142 - 20.25));
  CHECK(at(270) == std::make_pair(20.25, 142 - 10.5));
}

TEST_CASE("a log in mm asks for the panel's size when it is not given") {
  Reading reading = read_text(csv_format(), "t_s,contact,x_mm,y_mm\n0,1,10.5,20.25\n");
  CHECK_THROWS_AS(scale(std::move(reading.recording), PanelRequest{}, reading.notes), InputError);
}

TEST_CASE("log units come back the same to the bit") {
  Random random(7);
  Recording recording;
  std::uniform_real_distribution<double> any(-1e6, 1e6);
  for (int i = 0; i < 500; ++i)
    recording.reports.push_back({i * 8000, any(random), any(random) * 1e-9, 0, 0});
  recording.contacts = {{0, 500, 0, Ending::lifted, Tool::finger}};
  const auto back = [&](const Format& format, void (*write)(const Recording&, const Sink&)) {
    std::string text;
    write(recording, [&](std::string_view piece) { text += piece; });
    return read_text(format, text).recording.reports;
  };
  for (const auto& reports : {back(csv_format(), write_csv), back(pointer_jsonl_format(), write_jsonl),
                              back(inkml_format(), write_inkml)}) {
    REQUIRE(reports.size() == 500);
    for (std::size_t i = 0; i < 500; ++i) {
      CHECK(reports[i].x == recording.reports[i].x);
      CHECK(reports[i].y == recording.reports[i].y);
    }
  }
}

TEST_CASE("damage anywhere gives a reading or one clear error, never a crash") {
  const std::pair<const Format*, void (*)(const Trace&, const Sink&)> ways[] = {
      {&csv_format(), write_csv}, {&pointer_jsonl_format(), write_jsonl}, {&inkml_format(), write_inkml}};
  int read = 0, refused = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    Random random(seed);
    const Trace trace = any_trace(random);
    for (const auto& [format, write] : ways) {
      INFO("seed " << seed << ", format " << format->name);
      std::string text = text_of(write, trace);
      for (std::int64_t i = between(random, 1, 6); i > 0; --i) {
        const auto at =
            static_cast<std::size_t>(between(random, 0, static_cast<std::int64_t>(text.size()) - 1));
        if (between(random, 0, 2) == 0)
          text.erase(at, static_cast<std::size_t>(between(random, 1, 40)));
        else
          text[at] = static_cast<char>(between(random, 0, 255));
        if (text.empty()) text = " ";
      }
      try {
        const Recording recording = read_text(*format, text).recording;
        CHECK(recording.contacts.back().first + recording.contacts.back().count == recording.reports.size());
        ++read;
      } catch (const InputError& error) {
        CHECK(error.exit == Exit::bad_data);
        CHECK(std::string(error.what()).find('\n') == std::string::npos);
        ++refused;
      }
    }
  }
  CHECK(read > 0);
  CHECK(refused > 0);
}
