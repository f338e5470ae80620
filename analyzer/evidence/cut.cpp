#include "analyzer/evidence/cut.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "analyzer/evidence/log_lines.hpp"
#include "capture/bytes/source.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::int64_t pause_us = 1000000;
constexpr double tap_mm = 8;  // a tap stays within a fingertip

std::string unpacked_text(const Part& part) {
  std::string text;
  const auto source = memory_source(part.name, part.bytes, {.largest_bytes = std::uint64_t{1} << 30});
  for (auto block = source->read(); !block.empty(); block = source->read()) text += block;
  return text;
}

struct Touch {
  std::int64_t from_us, to_us;
  double path_mm = 0, extent_mm = 0;
};

std::vector<Touch> touches_of(const Trace& trace) {
  std::vector<Touch> touches;
  for (const Contact& contact : trace.contacts) {
    const Report* first = &trace.reports[contact.first];
    Touch touch{first->t_us, first[contact.count - 1].t_us};
    for (std::uint32_t i = 1; i < contact.count; ++i) {
      touch.path_mm += std::hypot(first[i].x - first[i - 1].x, first[i].y - first[i - 1].y);
      touch.extent_mm = std::max(touch.extent_mm, std::hypot(first[i].x - first->x, first[i].y - first->y));
    }
    touches.push_back(touch);
  }
  return touches;
}

// Contacts [first, last).
struct Span {
  std::size_t first = 0, last = 0;
};

double path_of(const std::vector<Touch>& touches, Span span) {
  double sum = 0;
  for (std::size_t i = span.first; i < span.last; ++i) sum += touches[i].path_mm;
  return sum;
}

std::vector<Span> episodes_of(const std::vector<Touch>& touches) {
  std::vector<Span> episodes;
  std::int64_t until = 0;
  for (std::size_t i = 0; i < touches.size(); ++i) {
    if (episodes.empty() || touches[i].from_us - until >= pause_us) episodes.push_back({i, i});
    episodes.back().last = i + 1;
    until = episodes.back().first == i ? touches[i].to_us : std::max(until, touches[i].to_us);
  }
  return episodes;
}

// Where the sweep starts in its first episode: past what was typed.
std::size_t past_typing(const std::vector<Touch>& touches, Span episode) {
  const double fifth = path_of(touches, episode) / 5;
  double before = 0;
  std::size_t start = episode.first, row = 0;
  for (std::size_t i = episode.first; i < episode.last && before < fifth; ++i) {
    row = touches[i].extent_mm < tap_mm ? row + 1 : 0;
    if (row >= 3) start = i + 1;
    before += touches[i].path_mm;
  }
  while (start < episode.last && touches[start].extent_mm < tap_mm) ++start;
  return start < episode.last ? start : episode.first;
}

bool only_taps(const std::vector<Touch>& touches, Span span) {
  return std::all_of(touches.begin() + static_cast<std::ptrdiff_t>(span.first),
                     touches.begin() + static_cast<std::ptrdiff_t>(span.last),
                     [](const Touch& touch) { return touch.extent_mm < tap_mm; });
}

Span found(const std::vector<Touch>& touches, CutDepth depth) {
  const std::vector<Span> episodes = episodes_of(touches);
  double longest = 0;
  for (const Span episode : episodes) longest = std::max(longest, path_of(touches, episode));
  std::size_t first = 0, last = episodes.size();
  while (first + 1 < last && path_of(touches, episodes[first]) < longest / 4) ++first;
  while (last > first + 1 && path_of(touches, episodes[last - 1]) < longest / 4 &&
         (depth == CutDepth::both_ends || only_taps(touches, episodes[last - 1])))
    --last;
  return {past_typing(touches, episodes[first]), episodes[last - 1].last};
}

Span said(const std::vector<Touch>& touches, std::optional<double> from_s, std::optional<double> to_s) {
  Span span{0, touches.size()};
  while (span.first < span.last && from_s && static_cast<double>(touches[span.first].from_us) < *from_s * 1e6)
    ++span.first;
  while (span.last > span.first && to_s && static_cast<double>(touches[span.last - 1].to_us) > *to_s * 1e6)
    --span.last;
  return span;
}

// No contact that stays may overlap one that goes: the log could not be parted there.
void part_cleanly(const std::vector<Touch>& touches, Span& span) {
  std::int64_t gone = INT64_MIN;
  for (std::size_t i = 0; i < span.first; ++i) gone = std::max(gone, touches[i].to_us);
  while (span.first < span.last && touches[span.first].from_us <= gone)
    gone = std::max(gone, touches[span.first++].to_us);
  for (bool again = true; again && span.last < touches.size();) {
    again = false;
    for (std::size_t i = span.first; i < span.last && !again; ++i)
      if (touches[i].to_us >= touches[span.last].from_us) span.last = i, again = true;
  }
}

struct Window {
  std::int64_t from_us = INT64_MIN, to_us = INT64_MAX;
};

Window window_of(const std::vector<Touch>& touches, Span span) {
  Window window;
  std::int64_t gone = INT64_MIN, kept = INT64_MIN;
  for (std::size_t i = 0; i < span.first; ++i) gone = std::max(gone, touches[i].to_us);
  for (std::size_t i = span.first; i < span.last; ++i) kept = std::max(kept, touches[i].to_us);
  if (span.first > 0)
    window.from_us = touches[span.first].from_us -
                     std::min<std::int64_t>(200000, (touches[span.first].from_us - gone) / 2);
  if (span.last < touches.size())
    window.to_us = kept + std::min<std::int64_t>(500000, (touches[span.last].from_us - kept) / 2);
  return window;
}

struct Kept {
  std::string text;
  std::int64_t before = 0, after = 0;
};

Kept lines_within(const std::vector<LogLine>& lines, Window window, std::int64_t base) {
  Kept kept;
  const auto absolute = [&](std::int64_t t, std::int64_t open) { return t == open ? open : t + base; };
  const std::int64_t from = absolute(window.from_us, INT64_MIN), to = absolute(window.to_us, INT64_MAX);
  for (const LogLine& line : lines) {
    if (line.event && line.t_us < from)
      ++kept.before;
    else if (line.event && line.t_us > to)
      ++kept.after;
    else
      kept.text += line.text;
  }
  return kept;
}

// The cut log as it reads, where it gives the contacts that were to stay, place by place.
std::optional<ReadPart> reads_as(const Part& part, const Question& question, const Trace& whole, Span span) {
  try {
    ReadPart read = read_part(part, question);
    const Trace& trace = read.trace;
    if (trace.contacts.size() != span.last - span.first) return std::nullopt;
    for (std::size_t i = 0; i < trace.contacts.size(); ++i) {
      const Contact &now = trace.contacts[i], &was = whole.contacts[span.first + i];
      if (now.count != was.count || now.ending != was.ending) return std::nullopt;
      for (std::uint32_t k = 0; k < now.count; ++k) {
        const Report &a = trace.reports[now.first + k], &b = whole.reports[was.first + k];
        if (a.x != b.x || a.y != b.y) return std::nullopt;
      }
    }
    return read;
  } catch (const InputError&) {
    return std::nullopt;
  }
}

// Where the trace's time 0 may stand on the log's clock.
std::set<std::int64_t> bases(const std::vector<LogLine>& lines, const std::string& format) {
  std::set<std::int64_t> starts;
  if (format == "csv" || format.find("jsonl") != format.npos) starts.insert(0);
  std::set<std::size_t> seen;
  for (const LogLine& line : lines)
    if (line.event && seen.insert(line.device).second) starts.insert(line.t_us);
  return starts;
}

}  // namespace

Cut cut_to_sweep(const Part& whole, const ReadPart& read, const Question& question,
                 std::optional<double> from_s, std::optional<double> to_s, CutDepth depth) {
  const bool operators = from_s || to_s;
  const Trace& trace = read.trace;
  const std::vector<Touch> touches = touches_of(trace);
  Span span = operators ? said(touches, from_s, to_s) : found(touches, depth);
  part_cleanly(touches, span);
  if (span.first >= span.last)
    throw InputError(whole.name, "", "expected a contact between --from and --to",
                     "paneproof check without --evidence shows the times");
  if (span.first == 0 && span.last == touches.size()) return {whole, {whole.name, "nobody", 0, 0}, read};
  const std::string format = trace.sweeps.front().format;
  const std::string text = unpacked_text(whole);
  const std::vector<LogLine> lines = log_lines(text, format);
  if (lines.empty())
    throw InputError(whole.name, "",
                     "expected a log that holds the sweep only: this one holds other touches too, and " +
                         format + " cannot be cut by lines",
                     "record the sweep alone, convert the log, or say --from 0 to hand in all of it");
  // A kernel log sends only what changed: a contact that lands where another was last is not whole without
  // that one. Then the sweep starts with the next.
  for (int attempt = 0; attempt < 8 && span.first < span.last;
       ++attempt, ++span.first, part_cleanly(touches, span))
    for (const std::int64_t base : bases(lines, format)) {
      const Kept kept = lines_within(lines, window_of(touches, span), base);
      const Part part{whole.name, kept.text};
      if (auto cut = reads_as(part, question, trace, span))
        return {
            part, {whole.name, operators ? "operator" : "program", kept.before, kept.after}, std::move(*cut)};
    }
  throw InputError(whole.name, "", "this log cannot be cut to its sweep: its lines hang on those before",
                   "record the sweep alone, or say --from 0 to hand in all of it");
}

}  // namespace paneproof
