#include "tests/fuzz/expect.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>

namespace paneproof {
namespace {

void expect_sound(const Report& report, const Report* before) {
  expect(report.t_us >= 0, "no time before the first event");
  expect(std::isfinite(report.x) && std::isfinite(report.y), "positions are finite");
  expect(!before || before->t_us <= report.t_us, "a contact's reports stand in order of time");
}

bool same(const Report& a, const Report& b) {
  return a.t_us == b.t_us && a.x == b.x && a.y == b.y && a.contact == b.contact;
}
bool same(const Contact& a, const Contact& b) {
  return a.first == b.first && a.count == b.count && a.ending == b.ending && a.tool == b.tool;
}
bool same(const Hole& a, const Hole& b) {
  return a.from_us == b.from_us && a.to_us == b.to_us && a.kind == b.kind;
}
bool same(const std::optional<Axis>& a, const std::optional<Axis>& b) {
  if (a.has_value() != b.has_value()) return false;
  return !a || (a->min == b->min && a->max == b->max && a->units_per_mm == b->units_per_mm);
}

template <class Item>
bool all_same(const std::vector<Item>& a, const std::vector<Item>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const Item& p, const Item& q) { return same(p, q); });
}

}  // namespace

void expect(bool held, const char* promise) {
  if (held) return;
  std::fprintf(stderr, "broken promise: %s\n", promise);
  std::abort();
}

void expect_sound(const Recording& recording) {
  std::size_t at = 0;
  for (std::size_t c = 0; c < recording.contacts.size(); ++c) {
    const Contact& contact = recording.contacts[c];
    expect(contact.count >= 1, "every contact has a report");
    expect(contact.first == at, "reports stand by contact, without gaps");
    const std::size_t end = contact.first + std::size_t{contact.count};
    expect(end <= recording.reports.size(), "contacts have their reports");
    for (std::size_t i = 0; i < contact.count; ++i, ++at) {
      expect(recording.reports[at].contact == c, "a report names its contact");
      expect_sound(recording.reports[at], i > 0 ? &recording.reports[at - 1] : nullptr);
    }
  }
  expect(at == recording.reports.size(), "every report belongs to a contact");
  for (const Hole& hole : recording.holes) expect(hole.from_us <= hole.to_us, "a hole ends after its start");
}

void expect_sound(const InputError& error) {
  expect(error.exit == Exit::bad_data, "bytes of an input can only be bad data");
  const std::string_view line = error.what();
  expect(!line.empty() && line.size() < 2000, "an error is one line");
  for (const char c : line)
    expect(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "an error is printable");
}

bool same(const Recording& a, const Recording& b) {
  return all_same(a.reports, b.reports) && all_same(a.contacts, b.contacts) && all_same(a.holes, b.holes) &&
         same(a.axes.x, b.axes.x) && same(a.axes.y, b.axes.y) && a.axes.in_mm == b.axes.in_mm &&
         a.source.events == b.source.events && a.source.duration_us == b.source.duration_us;
}

}  // namespace paneproof
