#include "capture/log/touch_rows.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numeric>
#include <queue>

namespace paneproof {
namespace {

Axes panel_axes(const Panel& panel) {
  Axes axes;
  axes.x = Axis{0, panel.width_mm, 1.0};
  axes.y = Axis{0, panel.height_mm, 1.0};
  axes.square_units = true;
  return axes;
}

// The next report of a contact, for the walk in order of time.
struct Next {
  std::int64_t t_us;
  std::uint32_t contact, index;
  bool operator>(const Next& other) const {
    return t_us != other.t_us ? t_us > other.t_us : contact > other.contact;
  }
};

}  // namespace

Touches::Touches(const Trace& trace)
    : reports(trace.reports),
      contacts(trace.contacts),
      source(trace.sweeps.front()),
      in_mm(true),
      axes(panel_axes(trace.panel)) {}

Touches::Touches(const Recording& recording)
    : reports(recording.reports),
      contacts(recording.contacts),
      source(recording.source),
      in_mm(recording.axes.in_mm),
      axes(recording.axes) {}

void each_row(const Touches& touches, const std::function<void(const TouchRow&)>& visit) {
  const auto first_us = [&](std::uint32_t c) { return touches.reports[touches.contacts[c].first].t_us; };
  std::vector<std::uint32_t> landing(touches.contacts.size());
  std::iota(landing.begin(), landing.end(), 0u);
  std::stable_sort(landing.begin(), landing.end(),
                   [&](std::uint32_t a, std::uint32_t b) { return first_us(a) < first_us(b); });
  std::priority_queue<Next, std::vector<Next>, std::greater<>> down;
  std::size_t landed = 0;
  while (landed < landing.size() || !down.empty()) {
    while (landed < landing.size() && (down.empty() || first_us(landing[landed]) <= down.top().t_us)) {
      down.push({first_us(landing[landed]), landing[landed], 0});
      ++landed;
    }
    const Next next = down.top();
    down.pop();
    const Contact& contact = touches.contacts[next.contact];
    const Report& report = touches.reports[contact.first + next.index];
    const std::int64_t number = std::int64_t{next.contact} + 1;
    visit({report, contact, number, next.index == 0 ? Phase::down : Phase::move});
    if (next.index + 1 < contact.count)
      down.push({touches.reports[contact.first + next.index + 1].t_us, next.contact, next.index + 1});
    else if (contact.ending != Ending::open)
      visit({report, contact, number, contact.ending == Ending::lifted ? Phase::up : Phase::cancel});
  }
}

std::string decimal(std::int64_t value, int decimals) {
  std::string digits = std::to_string(value < 0 ? -value : value);
  const auto width = static_cast<std::size_t>(decimals);
  if (digits.size() <= width) digits.insert(0, width + 1 - digits.size(), '0');
  const std::string_view all = digits;
  std::string text = value < 0 ? "-" : "";
  text.append(all.substr(0, all.size() - width)).append(".").append(all.substr(all.size() - width));
  return text;
}

std::string position_text(double value, bool in_mm) {
  if (in_mm) return decimal(std::llround(value * 1000), 3);
  char text[32];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return std::string(text, end);
}

Pieces& Pieces::operator<<(std::string_view text) {
  constexpr std::size_t kPiece = 65536;
  pending_ += text;
  if (pending_.size() >= kPiece) finish();
  return *this;
}

void Pieces::finish() {
  if (!pending_.empty()) sink_(pending_);
  pending_.clear();
}

}  // namespace paneproof
