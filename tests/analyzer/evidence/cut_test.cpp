// From a raw log to the sweep in it, for every format: what was typed before the sweep stays out, and what
// stays in are the log's own lines, which read as they did.
#include "analyzer/evidence/cut.hpp"

#include <catch2/catch.hpp>

#include "analyzer/verdict/limits.hpp"
#include "capture/model/input_error.hpp"
#include "capture/rehearse/rehearsal.hpp"

using namespace paneproof;

namespace {

constexpr std::size_t taps = 4;

// A rehearsed sweep, before it four taps of 80 ms at one place each, the last `pause_us` before the sweep.
Rehearsed typed_before(std::uint64_t seed, std::int64_t pause_us) {
  RehearsalSpec spec = random_spec(seed, Mix::good_complete);
  spec.palms = spec.water_blobs = 0;
  Rehearsed made = rehearse(spec);
  Recording& recording = made.recording;
  const std::int64_t shift_us = static_cast<std::int64_t>(taps) * 400'000 + pause_us;
  const double width = recording.axes.x->max - recording.axes.x->min,
               height = recording.axes.y->max - recording.axes.y->min;
  std::vector<Report> reports;
  std::vector<Contact> contacts;
  std::vector<std::int64_t> lifts;
  for (std::uint32_t i = 0; i < taps; ++i) {
    const double x = std::round(recording.axes.x->min + width * (0.2 + 0.15 * i)),
                 y = std::round(recording.axes.y->min + height * 0.6);
    const std::int64_t t_us = i * 400'000;
    contacts.push_back({2 * i, 2, 0, Ending::lifted, Tool::finger});
    reports.push_back({t_us, x, y, i, 0});
    reports.push_back({t_us + 40'000, x + 1, y, i, 0});
    lifts.push_back(t_us + 80'000);
  }
  for (Report report : recording.reports) {
    report.t_us += shift_us;
    report.contact += taps;
    reports.push_back(report);
  }
  for (Contact contact : recording.contacts) {
    contact.first += 2 * taps;
    contacts.push_back(contact);
  }
  for (const std::int64_t lift_us : made.lift_us) lifts.push_back(lift_us + shift_us);
  for (Hole& hole : recording.holes) hole.from_us += shift_us, hole.to_us += shift_us;
  recording.reports = reports;
  recording.contacts = contacts;
  made.lift_us = lifts;
  return made;
}

Question question_of(const Rehearsed& made, const std::string& format) {
  Question question;
  question.panel.width_mm = made.spec.width_mm;
  question.panel.height_mm = made.spec.height_mm;
  question.panel.size_origin = "--panel";
  question.limits_text = std::string(default_limits_text());
  if (format.find("input_event") != format.npos) question.axes = made.recording.axes;  // it cannot tell them
  return question;
}

bool made_of_its_lines(const std::string& cut, const std::string& whole) {
  std::size_t at = 0;
  for (std::size_t from = 0; from < cut.size();) {
    const std::size_t end = std::min(cut.find('\n', from), cut.size() - 1) + 1;
    const std::string line = cut.substr(from, end - from);
    for (;;) {
      if (at >= whole.size()) return false;
      const std::size_t whole_end = std::min(whole.find('\n', at), whole.size() - 1) + 1;
      const bool same = whole.compare(at, whole_end - at, line) == 0;
      at = whole_end;
      if (same) break;
    }
    from = end;
  }
  return true;
}

void check_cut(const Rehearsed& made, const std::string& format, std::optional<double> from_s,
               const char* by) {
  INFO(format << ", seed " << made.spec.seed << ", cut by " << by);
  const std::string log = write_rehearsal(made, format);
  const Question question = question_of(made, format);
  const Part whole{"trace-1.txt", log};
  const ReadPart read = read_part(whole, question);
  REQUIRE(read.trace.contacts.size() > taps);
  const Cut cut = cut_to_sweep(whole, read, question, from_s, std::nullopt);
  CHECK(cut.facts.chosen_by == by);
  CHECK(cut.facts.lines_before > 0);
  CHECK(cut.part.bytes.size() < log.size());
  if (format.find("input_event") == format.npos) CHECK(made_of_its_lines(cut.part.bytes, log));
  // At most one more contact goes: a kernel log says only what changed, so one may hang on a tap.
  const ReadPart again = read_part(cut.part, question);
  const std::size_t gone = read.trace.contacts.size() - again.trace.contacts.size();
  CHECK(gone >= taps);
  CHECK(gone <= taps + 1);
  for (std::size_t i = 0; i < again.trace.contacts.size(); ++i) {
    const Contact &now = again.trace.contacts[i], &was = read.trace.contacts[gone + i];
    REQUIRE(now.count == was.count);
    for (std::uint32_t k = 0; k < now.count; ++k) {
      REQUIRE(again.trace.reports[now.first + k].x == read.trace.reports[was.first + k].x);
      REQUIRE(again.trace.reports[now.first + k].y == read.trace.reports[was.first + k].y);
    }
  }
}

}  // namespace

TEST_CASE("what was typed before the sweep stays out, in every log format") {
  for (const std::string& format : rehearsal_formats()) {
    if (format == "inkml") continue;
    for (const std::uint64_t seed : {3u, 11u}) {
      check_cut(typed_before(seed, 2'500'000), format, std::nullopt, "program");  // a pause before the sweep
      check_cut(typed_before(seed, 400'000), format, std::nullopt, "program");    // none
      check_cut(typed_before(seed, 2'500'000), format, 2.5, "operator");
    }
  }
}

TEST_CASE("a log that cannot be cut by lines is refused and not handed in whole") {
  const Rehearsed made = typed_before(3, 2'500'000);
  const Part whole{"trace-1.txt", write_rehearsal(made, "inkml")};
  const Question question = question_of(made, "inkml");
  CHECK_THROWS_AS(cut_to_sweep(whole, read_part(whole, question), question, std::nullopt, std::nullopt),
                  InputError);
  CHECK(cut_to_sweep(whole, read_part(whole, question), question, 0, std::nullopt).facts.chosen_by ==
        "nobody");
}

TEST_CASE("a log of nothing but the sweep goes in as it was handed in") {
  for (const std::string& format : rehearsal_formats()) {
    INFO(format);
    RehearsalSpec spec = random_spec(5, Mix::good_complete);
    spec.palms = spec.water_blobs = 0;
    const Rehearsed made = rehearse(spec);
    const Question question = question_of(made, format);
    const Part whole{"trace-1.txt", write_rehearsal(made, format)};
    const Cut cut = cut_to_sweep(whole, read_part(whole, question), question, std::nullopt, std::nullopt);
    if (cut.facts.chosen_by == "nobody") CHECK(cut.part.bytes == whole.bytes);
  }
}

TEST_CASE("places swept once more at the end stay where only the start is cut") {
  // 12 rows, a pause, and one short stroke: an episode of less than a quarter of the longest.
  std::string log = "t_s,contact,x_mm,y_mm,phase\n";
  const auto stroke = [&](int number, double t, double x0, double x1, double y) {
    for (int i = 0; i <= 20; ++i) {
      char line[80];
      std::snprintf(line, sizeof line, "%.3f,%d,%.2f,%.2f,%s\n", t + 0.01 * i, number,
                    x0 + (x1 - x0) * i / 20, y,
                    i == 0    ? "down"
                    : i == 20 ? "up"
                              : "move");
      log += line;
    }
  };
  for (int row = 0; row < 12; ++row) stroke(row + 1, 0.3 * row, 1, 59, 2 + 5 * row);
  stroke(13, 8, 20, 40, 30);
  Question question;
  question.panel.width_mm = question.panel.height_mm = 60;
  question.limits_text = std::string(default_limits_text());
  const Part whole{"trace-1.txt", log};
  const ReadPart read = read_part(whole, question);
  CHECK(cut_to_sweep(whole, read, question, std::nullopt, std::nullopt, CutDepth::both_ends)
            .read.trace.contacts.size() == 12);
  CHECK(cut_to_sweep(whole, read, question, std::nullopt, std::nullopt, CutDepth::start)
            .read.trace.contacts.size() == 13);
}
