#include "analyzer/measure/recordings.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "analyzer/measure/decimals.hpp"
#include "analyzer/measure/pace.hpp"
#include "analyzer/measure/side.hpp"

namespace paneproof {
namespace {

bool recorded(const Trace& trace, std::uint32_t sweep) {
  return sweep < trace.sweeps.size() && trace.sweeps[sweep].recording.has_value();
}

bool shows_touches(const Trace& trace, std::uint32_t sweep) {
  return recorded(trace, sweep) && trace.sweeps[sweep].recording->of_touches();
}

// A touch that ended in motion: is its loss told already, or did the finger run off the glass?
bool explained(const Trace& trace, const LetGo& let_go, const Findings& told) {
  const std::uint32_t end = trace.contacts[let_go.contact].first + trace.contacts[let_go.contact].count - 1;
  const auto pace = pace_before(trace, end);
  if (pace && leaves_glass(trace.panel, let_go.x, let_go.y, pace->direction_x, pace->direction_y))
    return true;
  const double t_s = round_s(static_cast<double>(trace.reports[end].t_us) * 1e-6);
  const auto here = [&](const auto& event) {
    return event.sweep == static_cast<int>(let_go.sweep) && event.t_s == t_s;
  };
  return std::any_of(told.dropouts.begin(), told.dropouts.end(), here) ||
         std::any_of(told.doubts.begin(), told.doubts.end(), here) ||
         std::any_of(told.cleared.begin(), told.cleared.end(), here);
}

// The first report of the next grab in the same recording.
const Report* next_grab(const Trace& trace, const LetGo& let_go) {
  const Report* next = nullptr;
  for (const Contact& contact : trace.contacts) {
    if (contact.sweep != let_go.sweep || contact.count == 0) continue;
    const Report& first = trace.reports[contact.first];
    if (first.t_us > let_go.t_us && (!next || first.t_us < next->t_us)) next = &first;
  }
  return next;
}

std::vector<float> deviations(const Trace& trace) {
  std::vector<float> all;
  for (const Contact& contact : trace.contacts)
    if (recorded(trace, contact.sweep))
      for (std::uint32_t i = contact.first; i < contact.first + contact.count; ++i)
        all.push_back(trace.reports[i].sd);
  return all;
}

double share_of(std::vector<float> values, double share) {
  if (values.empty()) return 0;
  const auto at =
      values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return static_cast<double>(*at);
}

void tell_let_go(const Trace& trace, const LetGo& let_go, Findings& out) {
  const bool of_touch = shows_touches(trace, let_go.sweep),
             in_motion = let_go.kind == LetGo::Kind::drop || let_go.kind == LetGo::Kind::doubt;
  if (of_touch && in_motion && explained(trace, let_go, out)) return;
  const Report* next = next_grab(trace, let_go);
  const double none = std::numeric_limits<double>::quiet_NaN();
  const double gap_s = next ? static_cast<double>(next->t_us - let_go.t_us) * 1e-6 : none;
  const Point from{round_mm(let_go.x), round_mm(let_go.y)};
  const Point to = next ? Point{round_mm(next->x), round_mm(next->y)} : from;
  const double t_s = static_cast<double>(let_go.t_us) * 1e-6;
  if (let_go.kind == LetGo::Kind::drop && !of_touch) {
    Dropout dropout;
    dropout.sweep = static_cast<int>(let_go.sweep);
    dropout.t_s = t_s, dropout.gap_s = gap_s;
    dropout.x_mm = from.x_mm, dropout.y_mm = from.y_mm;
    dropout.gap_mm = next ? round_mm(std::hypot(to.x_mm - from.x_mm, to.y_mm - from.y_mm)) : none;
    dropout.regained = to;
    dropout.lost = dropout.passages = 1;
    dropout.confidence = 0.95;
    dropout.of_recording = true;
    out.dropouts.push_back(dropout);
  } else if (in_motion || let_go.kind == LetGo::Kind::lost) {
    out.doubts.push_back({static_cast<int>(let_go.sweep), t_s, gap_s, from, to,
                          in_motion ? "drop_or_release" : "tracking_lost"});
  }
}

}  // namespace

bool has_recording(const Trace& trace) {
  return std::any_of(trace.sweeps.begin(), trace.sweeps.end(),
                     [](const SourceFacts& s) { return s.recording.has_value(); });
}

std::vector<std::uint8_t> of_logs(const Trace& trace, const std::vector<std::uint8_t>& counts) {
  std::vector<std::uint8_t> logs = counts;
  for (std::size_t i = 0; i < logs.size(); ++i)
    if (recorded(trace, trace.contacts[i].sweep)) logs[i] = 0;
  return logs;
}

std::vector<std::uint8_t> of_touches(const Trace& trace, const std::vector<std::uint8_t>& counts) {
  std::vector<std::uint8_t> touches = counts;
  for (std::size_t i = 0; i < touches.size(); ++i) {
    const std::uint32_t sweep = trace.contacts[i].sweep;
    if (recorded(trace, sweep) && !shows_touches(trace, sweep)) touches[i] = 0;
  }
  return touches;
}

std::vector<Silence> of_panel(const Trace& trace, std::vector<Silence> silences) {
  std::erase_if(silences, [&](const Silence& s) {
    return recorded(trace, s.sweep) && (s.kind != Silence::Kind::loss || s.missed() == 0);
  });
  return silences;
}

double uncertainty_mm(const Trace& trace) { return round_mm(2 * share_of(deviations(trace), 0.95)); }

void tell_recordings(const Trace& trace, Findings& out) {
  if (!has_recording(trace)) return;
  RecordingFound found;
  std::int64_t held = 0, followed = 0, span = 0;
  for (const SourceFacts& source : trace.sweeps) {
    if (!source.recording) continue;
    const RecordingFacts& facts = *source.recording;
    found.frames += facts.frames;
    found.duration_s += static_cast<double>(facts.duration_us) * 1e-6;
    held += facts.held_frames, followed += facts.followed_frames, span += facts.span_frames;
    found.finger_within_mm =
        std::max({found.finger_within_mm, round_mm(facts.half_width), round_mm(facts.half_height)});
  }
  found.followed = span > 0 ? static_cast<double>(followed) / static_cast<double>(span) : 0;
  found.followed_held = held > 0 ? static_cast<double>(followed) / static_cast<double>(held) : 0;
  found.position_sd_mm = share_of(deviations(trace), 0.5);
  out.recording = found;
  for (const LetGo& let_go : trace.let_gos) tell_let_go(trace, let_go, out);
  std::stable_sort(out.dropouts.begin(), out.dropouts.end(), [](const Dropout& a, const Dropout& b) {
    return a.sweep != b.sweep ? a.sweep < b.sweep : a.t_s < b.t_s;
  });
}

}  // namespace paneproof
