#include "capture/log/point_contacts.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace paneproof {
namespace {

constexpr std::int64_t kDay_us = 86'400'000'000;
constexpr std::int64_t kLatest_us = std::int64_t{1} << 60;
constexpr std::size_t kMostDown = 1000;  // far past any panel: more is damage, and memory is bounded

// Stable order by first point; the reports follow. Rare: only logs that list a whole contact after
// another, so a second copy of the reports is made only here.
void sort_by_landing(Recording& recording) {
  auto& contacts = recording.contacts;
  const auto first_us = [&](const Contact& c) { return recording.reports[c.first].t_us; };
  const auto earlier = [&](const Contact& a, const Contact& b) { return first_us(a) < first_us(b); };
  if (std::is_sorted(contacts.begin(), contacts.end(), earlier)) return;
  std::stable_sort(contacts.begin(), contacts.end(), earlier);
  std::vector<Report> reports;
  reports.reserve(recording.reports.size());
  for (std::size_t i = 0; i < contacts.size(); ++i) {
    Contact& contact = contacts[i];
    const auto first = static_cast<std::uint32_t>(reports.size());
    for (std::uint32_t k = 0; k < contact.count; ++k) {
      reports.push_back(recording.reports[contact.first + k]);
      reports.back().contact = static_cast<std::uint32_t>(i);
    }
    contact.first = first;
  }
  recording.reports = std::move(reports);
}

}  // namespace

std::optional<std::int64_t> whole_us(double value, double us_per_unit) {
  constexpr double kLatest = 9007199254740992.0;
  const double us = value * us_per_unit;
  if (!(us > -0.5 && us <= kLatest)) return std::nullopt;
  return std::llround(us);
}

InputError line_error(const std::string& file, std::int64_t number, std::string_view line, std::size_t at,
                      const std::string& expected, const std::string& remedy) {
  constexpr std::size_t kAround = 24;
  at = std::min(at, line.size());
  const std::size_t from = at > kAround ? at - kAround : 0;
  std::string shown = from > 0 ? "..." : "";
  shown += printable(line.substr(from, at - from)) + "^" + printable(line.substr(at, kAround));
  if (at + kAround < line.size()) shown += "...";
  return InputError(file, "line " + std::to_string(number) + ", column " + std::to_string(at + 1),
                    "expected " + expected + " at ^ in: " + shown, remedy);
}

std::int64_t PointContacts::on_clock(std::int64_t key, std::int64_t t_us) {
  t_us += offset_us_;
  const auto found = down_.find(key);
  if (found != down_.end() && t_us < found->second.last_us) {
    notes_.add("clock_stepped_back",
               "the log's clock stepped back; contacts that were down end there as broken");
    for (const auto& [other, state] : down_) builder_.end(state.contact, Ending::broken);
    down_.clear();
    builder_.hole(latest_us_, latest_us_, Hole::Kind::clock_stepped_back);
    offset_us_ += latest_us_ - t_us;
    t_us = latest_us_;
    if (latest_us_ > kLatest_us)
      throw InputError(file_, "", "the log's clock steps back again and again", "record the sweep again");
  }
  first_us_ = any_ ? std::min(first_us_, t_us) : t_us;
  latest_us_ = any_ ? std::max(latest_us_, t_us) : t_us;
  any_ = true;
  return t_us;
}

void PointContacts::land(std::int64_t key, std::int64_t t_us, Tool tool) {
  if (down_.size() >= kMostDown)
    throw InputError(file_, "", "more than " + std::to_string(kMostDown) + " contacts are down at once",
                     "no panel reports that many: check the contact numbers");
  down_[key] = {builder_.land(tool), t_us};
  only_pen_ = only_pen_ && tool == Tool::pen;
}

void PointContacts::down(std::int64_t key, std::int64_t t_us, double x, double y, Tool tool) {
  t_us = on_clock(key, t_us);
  if (is_down(key)) {
    notes_.add("end_missing", "a contact landed again without an end; the earlier one counts as broken");
    end(key, Ending::broken);
  }
  land(key, t_us, tool);
  builder_.report(down_[key].contact, t_us, x, y);
}

void PointContacts::point(std::int64_t key, std::int64_t t_us, double x, double y, Tool tool) {
  t_us = on_clock(key, t_us);
  if (!is_down(key)) land(key, t_us, tool);
  Down& state = down_[key];
  state.last_us = t_us;
  builder_.report(state.contact, t_us, x, y);
}

void PointContacts::end(std::int64_t key, Ending ending) {
  const auto found = down_.find(key);
  if (found == down_.end()) return;
  builder_.end(found->second.contact, ending);
  down_.erase(found);
}

bool PointContacts::is_down(std::int64_t key) const { return down_.count(key) > 0; }

std::optional<std::int64_t> PointContacts::last_us(std::int64_t key) const {
  const auto found = down_.find(key);
  if (found == down_.end()) return std::nullopt;
  return found->second.last_us - offset_us_;
}

void PointContacts::lift_silent_since(std::int64_t before_us) {
  for (auto it = down_.begin(); it != down_.end();) {
    if (it->second.last_us < before_us) {
      builder_.end(it->second.contact, Ending::lifted);
      it = down_.erase(it);
    } else {
      ++it;
    }
  }
}

Recording PointContacts::finish(Axes axes, SourceFacts source) && {
  if (builder_.report_count() == 0)
    throw InputError(file_, "", "no touch in this log", "record again while a finger drags over the panel");
  if (only_pen_) notes_.add("pen_log", "the log is of a pen: it proves the pen layer only");
  source.duration_us = latest_us_ - first_us_;
  Recording out = std::move(builder_).finish(std::move(axes), std::move(source));
  sort_by_landing(out);
  if (first_us_ >= kDay_us) {
    for (Report& report : out.reports) report.t_us -= first_us_;
    for (Hole& hole : out.holes) {
      hole.from_us -= first_us_;
      hole.to_us -= first_us_;
    }
  }
  return out;
}

}  // namespace paneproof
