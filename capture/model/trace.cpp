#include "capture/model/trace.hpp"

#include <algorithm>
#include <cassert>
#include <string>
#include <utility>

#include "capture/model/input_error.hpp"
#include "capture/model/large_pages.hpp"

namespace paneproof {
namespace {

constexpr std::size_t long_log = 65536;
constexpr std::size_t long_log_reports = std::size_t{1} << 22;  // address space; pages are taken as used
constexpr std::size_t most_reports = std::size_t{1} << 23;      // 256 MiB; ten hours of a finger at 240 Hz

void refuse_endless(std::size_t reports) {
  if (reports < most_reports) return;
  throw InputError("", "",
                   "expected at most " + std::to_string(most_reports) + " reports, more than any sweep has",
                   "give a shorter file; a long log can be cut into sweeps");
}

}  // namespace

// A vector that grows by doubling touches every page twice: a long log gets room for most sweeps at once.
void RecordingBuilder::grow() {
  refuse_endless(reports_.size());
  reserve_on_large_pages(reports_, std::max(2 * reports_.size(), long_log_reports));
}

std::uint32_t RecordingBuilder::land(Tool tool) {
  refuse_endless(contacts_.size());
  contacts_.push_back({});
  contacts_.back().tool = tool;
  return static_cast<std::uint32_t>(contacts_.size() - 1);
}

void RecordingBuilder::report(std::uint32_t contact, std::int64_t t_us, double x, double y) {
  Open& open = contacts_[contact];
  if (open.count > 0 && open.x == x && open.y == y) return;
  if (!reports_.empty() && reports_.back().contact > contact) grouped_ = false;
  if (reports_.size() == reports_.capacity() && reports_.size() >= long_log) grow();
  open.x = x;
  open.y = y;
  ++open.count;
  reports_.push_back({t_us, x, y, contact, 0.0F});
}

void RecordingBuilder::end(std::uint32_t contact, Ending ending) {
  Open& open = contacts_[contact];
  if (open.ended) return;
  open.ended = true;
  open.ending = ending;
}

void RecordingBuilder::set_tool(std::uint32_t contact, Tool tool) { contacts_[contact].tool = tool; }

void RecordingBuilder::hole(std::int64_t from_us, std::int64_t to_us, Hole::Kind kind) {
  holes_.push_back({from_us, to_us, 0, kind});
}

Recording RecordingBuilder::finish(Axes axes, SourceFacts source) && {
  Recording out;
  std::vector<std::uint32_t> renamed(contacts_.size(), 0);
  std::uint32_t next = 0;
  for (std::size_t i = 0; i < contacts_.size(); ++i) {
    const Open& open = contacts_[i];
    if (open.count == 0) continue;
    renamed[i] = static_cast<std::uint32_t>(out.contacts.size());
    out.contacts.push_back({next, open.count, 0, open.ending, open.tool});
    next += open.count;
  }
  for (Report& report : reports_) report.contact = renamed[report.contact];
  if (!grouped_) {
    // Each report's place is known, so whole cycles are walked.
    std::vector<std::uint32_t> fill(out.contacts.size());
    for (std::size_t i = 0; i < fill.size(); ++i) fill[i] = out.contacts[i].first;
    std::vector<std::uint32_t> place(reports_.size());
    for (std::size_t i = 0; i < reports_.size(); ++i) place[i] = fill[reports_[i].contact]++;
    for (std::size_t i = 0; i < reports_.size(); ++i)
      while (place[i] != i) {
        const std::uint32_t to = place[i];
        std::swap(reports_[i], reports_[to]);
        std::swap(place[i], place[to]);
      }
  }
  out.reports = std::move(reports_);
  out.holes = std::move(holes_);
  out.axes = std::move(axes);
  out.source = std::move(source);
  return out;
}

namespace {

MaskShape shared(const MaskShape& a, const MaskShape& b) {
  MaskShape both = a;
  both.x_mm = std::max(a.x_mm, b.x_mm);
  both.y_mm = std::max(a.y_mm, b.y_mm);
  both.width_mm = std::min(a.x_mm + a.width_mm, b.x_mm + b.width_mm) - both.x_mm;
  both.height_mm = std::min(a.y_mm + a.height_mm, b.y_mm + b.height_mm) - both.y_mm;
  return both;
}

// What one sweep could not reach another may have: only what none reached stays masked.
void reach_further(std::vector<MaskShape>& mask, const std::vector<MaskShape>& of_next) {
  std::vector<MaskShape> left;
  for (const MaskShape& a : mask) {
    if (a.name != out_of_reach_name) {
      left.push_back(a);
      continue;
    }
    for (const MaskShape& b : of_next)
      if (b.name == out_of_reach_name)
        if (const MaskShape both = shared(a, b); both.width_mm > 0 && both.height_mm > 0)
          left.push_back(both);
  }
  mask = std::move(left);
}

}  // namespace

Trace merge(std::vector<Trace> sweeps) {
  assert(!sweeps.empty());
  Trace out = std::move(sweeps.front());
  for (std::size_t i = 1; i < sweeps.size(); ++i) {
    Trace& next = sweeps[i];
    reach_further(out.panel.mask, next.panel.mask);
    const auto reports = static_cast<std::uint32_t>(out.reports.size());
    const auto contacts = static_cast<std::uint32_t>(out.contacts.size());
    for (Report report : next.reports) {
      report.contact += contacts;
      out.reports.push_back(report);
    }
    for (Contact contact : next.contacts) {
      contact.first += reports;
      contact.sweep = static_cast<std::uint32_t>(i);
      out.contacts.push_back(contact);
    }
    for (Hole hole : next.holes) {
      hole.sweep = static_cast<std::uint32_t>(i);
      out.holes.push_back(hole);
    }
    for (LetGo let_go : next.let_gos) {
      let_go.contact += contacts;
      let_go.sweep = static_cast<std::uint32_t>(i);
      out.let_gos.push_back(let_go);
    }
    out.sweeps.push_back(std::move(next.sweeps.front()));
  }
  return out;
}

}  // namespace paneproof
