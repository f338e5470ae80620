#include "capture/log/pointer_jsonl.hpp"

#include <cmath>
#include <unordered_map>
#include <vector>

#include "capture/bytes/lines.hpp"
#include "capture/log/point_contacts.hpp"
#include "capture/log/pointer_event.hpp"

namespace paneproof {
namespace {

// A browser sends the move that sums up raw updates once a frame. So many raw updates of a contact
// without one mean that the page recorded none.
constexpr std::size_t kMostPendingRaw = 1000;
constexpr std::size_t kMostPointers = 1000;
constexpr double kLargestId = 9007199254740992.0;

bool is_blank(std::string_view line) { return line.find_first_not_of(" \t") == std::string_view::npos; }

bool recognises(std::string_view head) {
  const std::size_t start = head.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos || head[start] != '{') return false;
  const std::string_view line = head.substr(start, head.find('\n', start) - start);
  const auto has = [&](std::string_view key) { return line.find(key) != std::string_view::npos; };
  return has("\"pointerId\"") || has("\"pointerType\"") || has("\"screen\"") || has("\"all_reports\"") ||
         (has("\"type\"") && has("\"pointer"));
}

struct Sample {
  std::int64_t t_us = 0;
  double x = 0, y = 0;
};

// Which kind of event gives a contact's points. Never both.
enum class Points { undecided, moves, raw };

struct Pointer {
  Points points = Points::undecided;
  std::vector<Sample> pending;  // raw updates, until a move tells that they are not needed
};

class JsonlReader {
 public:
  JsonlReader(Source& source, const ReadOptions& options, Notes& notes)
      : source_(source), options_(options), notes_(notes), lines_(source), contacts_(source.name(), notes) {}

  Recording read() {
    while (lines_.next()) {
      if (is_blank(lines_.text())) continue;
      const auto fault = read_pointer_event(lines_.text(), event_);
      if (fault && (!lines_.ended() || source_.cut())) {
        cut_ = true;
        break;
      }
      if (fault) bad(fault->at, fault->expected, "write one event a line as docs/formats.md shows");
      if (event_.has_screen || (first_ && !event_.type && event_.all_reports))
        first_line();
      else
        pointer_event();
      first_ = false;
    }
    if (cut_ || source_.cut()) notes_.add("cut_at_end", "the last line is cut and was not counted");
    return finish();
  }

 private:
  [[noreturn]] void bad(std::size_t at, const std::string& expected, const std::string& remedy) const {
    throw line_error(source_.name(), lines_.number(), lines_.text(), at, expected, remedy);
  }
  [[noreturn]] void bad_key(std::string_view key, const std::string& expected,
                            const std::string& remedy) const {
    const std::size_t at = lines_.text().rfind(key);
    bad(at == std::string_view::npos ? 0 : at, expected, remedy);
  }

  void first_line() {
    all_reports_ = event_.all_reports.value_or(false);
    if (event_.has_screen) screen();
  }

  // A later screen of the same size tells that the page moved on it, or that less of it can be reached.
  void screen() {
    const auto usable = [](const std::optional<double>& v) { return v && *v > 0 && *v <= kLargestPosition; };
    if (!usable(event_.width) || !usable(event_.height))
      bad_key("\"screen\"", "a screen with width and height above 0", "write both in CSS px");
    if (!first_ && (!axes_.x || axes_.x->max != *event_.width || axes_.y->max != *event_.height))
      bad(0, "the screen on the first line, and later ones of the same size", "sweep in one orientation");
    left_ = event_.left.value_or(0);
    top_ = event_.top.value_or(0);
    if (std::abs(left_) > kLargestPosition || std::abs(top_) > kLargestPosition)
      bad_key("\"screen\"", "left and top within the screen", "write both in CSS px");
    if (event_.px_per_mm && !(*event_.px_per_mm > 0.01 && *event_.px_per_mm < 1000))
      bad_key("\"px_per_mm\"", "0.01 to 1000 px a mm", "measure with a card again");
    axes_.x = Axis{0, *event_.width, event_.px_per_mm};
    axes_.y = Axis{0, *event_.height, event_.px_per_mm};
    unreachable();
    axes_.square_units = true;
    axes_.origin = "log";
  }

  // The last screen tells which strips along the sides no page could reach, whatever came before.
  void unreachable() {
    const double width = *event_.width, height = *event_.height;
    const double left = event_.unreachable_left.value_or(0), right = event_.unreachable_right.value_or(0),
                 top = event_.unreachable_top.value_or(0), bottom = event_.unreachable_bottom.value_or(0);
    for (const double strip : {left, right, top, bottom})
      if (!(strip >= 0 && strip <= kLargestPosition))
        bad_key("\"unreachable_", "a strip of 0 px or more", "measure it again");
    if (left + right >= width || top + bottom >= height)
      bad_key("\"unreachable_", "strips that leave a part of the screen", "use the page in full screen");
    out_of_reach_.clear();
    const auto strip = [&](double x, double y, double w, double h) {
      if (w > 0 && h > 0) out_of_reach_.push_back({x, y, w, h});
    };
    strip(0, 0, left, height);
    strip(width - right, 0, right, height);
    strip(0, 0, width, top);
    strip(0, height - bottom, width, bottom);
  }

  // What the page or the system did, not the panel: what was down there ends as taken back.
  void interruption() {
    std::string kind = event_.kind.value_or("");
    if (kind.empty() || kind.size() > 20 ||
        kind.find_first_not_of("abcdefghijklmnopqrstuvwxyz_") != std::string::npos)
      kind = "unknown";
    notes_.add("interrupted_" + kind, "the sweep was interrupted, not by the panel: " + kind);
    std::vector<std::int64_t> down;
    for (const auto& [id, pointer] : pointers_) down.push_back(id);
    for (const std::int64_t id : down) end(id, Ending::cancelled);
  }

  Sample sample(const PointerPoint& point, const char* whose) const {
    if (!point.time_ms)
      bad(0, std::string("a \"timeStamp\" in ms") + whose,
          "without a time for each event nothing can be proven: record the event's timeStamp");
    if (!point.client_x || !point.client_y)
      bad(0, std::string("\"clientX\" and \"clientY\"") + whose, "record both for every event");
    const auto t_us = whole_us(*point.time_ms, 1e3);
    if (!t_us) bad_key("\"timeStamp\"", "a time from 0 to 9e12 ms", "record the event's own timeStamp");
    if (!(std::abs(*point.client_x) <= kLargestPosition && std::abs(*point.client_y) <= kLargestPosition))
      bad_key("\"clientX\"", "a position up to 1e9", "check the log");
    return {*t_us, *point.client_x + left_, *point.client_y + top_};
  }

  std::int64_t pointer_id() const {
    if (!event_.pointer_id) bad(0, "a \"pointerId\"", "record it for every event");
    const double id = *event_.pointer_id;
    if (!(std::abs(id) <= kLargestId) || id != std::floor(id))
      bad_key("\"pointerId\"", "an integer as \"pointerId\"", "record the event's own pointerId");
    return static_cast<std::int64_t>(id);
  }

  // Empty for a pointer that proves nothing.
  std::optional<Tool> tool() {
    const std::string type = event_.pointer_type.value_or("");
    if (event_.tool == "palm") return Tool::palm;
    if (type == "touch" || type.empty()) return Tool::finger;
    if (type == "pen") return Tool::pen;
    if (type == "mouse")
      mouse_seen_ = true;
    else
      notes_.add("unknown_pointer", "a pointerType other than touch, pen and mouse was not counted");
    return std::nullopt;
  }

  void pointer_event() {
    if (!event_.type) bad(0, "a \"type\" like pointermove", "record the event's own type");
    const std::string& type = *event_.type;
    if (type == "interruption") return interruption();
    const bool down = type == "pointerdown", up = type == "pointerup", cancel = type == "pointercancel",
               move = type == "pointermove", raw = type == "pointerrawupdate";
    if (!down && !up && !cancel && !move && !raw) {
      if (type.compare(0, 7, "pointer") != 0 && type != "gotpointercapture" && type != "lostpointercapture")
        notes_.add("other_events", "events other than pointer events were not counted");
      return;
    }
    const auto what = tool();
    if (!what) return;
    const std::int64_t id = pointer_id();
    ++events_;
    if (cancel) return end(id, Ending::cancelled);
    samples_.clear();
    if (!event_.coalesced.empty() && (move || raw))
      for (const PointerPoint& point : event_.coalesced)
        samples_.push_back(sample(point, " in each coalesced point"));
    else
      samples_.push_back(sample(event_.point, ""));
    if (event_.has_coalesced && !event_.coalesced.empty()) finer_than_frames_ = true;
    if (down) land(id, *what);
    if (up) lift(id, *what);
    if (move || raw) moved(id, *what, raw);
  }

  // Pointer Events Level 3, "pressure" and "buttons": both 0 while a pointer touches nothing.
  bool hovers(std::int64_t id, Tool what) const {
    if (event_.buttons) return *event_.buttons == 0;
    if (contacts_.is_down(id)) return false;
    if (event_.pressure) return *event_.pressure == 0;
    return what == Tool::pen;
  }

  void land(std::int64_t id, Tool what) {
    flush(id, what);
    const Sample& s = samples_.front();
    contacts_.down(id, s.t_us, s.x, s.y, what);
    if (pointers_.size() >= kMostPointers) pointers_.clear();
    pointers_[id] = {};
  }

  void lift(std::int64_t id, Tool what) {
    flush(id, what);
    if (contacts_.is_down(id))
      contacts_.point(id, samples_.front().t_us, samples_.front().x, samples_.front().y, what);
    end(id, Ending::lifted);
  }

  void end(std::int64_t id, Ending ending) {
    flush(id, Tool::finger);
    contacts_.end(id, ending);
    pointers_.erase(id);
  }

  void moved(std::int64_t id, Tool what, bool raw) {
    if (hovers(id, what)) return end(id, Ending::lifted);
    if (!contacts_.is_down(id)) {  // the log began during the contact
      contacts_.down(id, samples_.front().t_us, samples_.front().x, samples_.front().y, what);
      pointers_[id] = {};
    }
    Pointer& pointer = pointers_[id];
    if (raw && pointer.points == Points::undecided) {
      pointer.pending.insert(pointer.pending.end(), samples_.begin(), samples_.end());
      if (pointer.pending.size() > kMostPendingRaw) flush(id, what);
      return;
    }
    if (!raw && pointer.points == Points::undecided) {
      pointer.points = Points::moves;
      pointer.pending = {};
    }
    if (raw == (pointer.points == Points::raw))
      for (const Sample& s : samples_) contacts_.point(id, s.t_us, s.x, s.y, what);
  }

  // A contact ends, or goes on, without any move: its raw updates are its points.
  void flush(std::int64_t id, Tool what) {
    const auto found = pointers_.find(id);
    if (found == pointers_.end() || found->second.pending.empty()) return;
    found->second.points = Points::raw;
    finer_than_frames_ = true;
    for (const Sample& s : found->second.pending)
      if (contacts_.is_down(id)) contacts_.point(id, s.t_us, s.x, s.y, what);
    found->second.pending = {};
  }

  Recording finish() {
    std::vector<std::int64_t> open;
    for (const auto& [id, pointer] : pointers_) open.push_back(id);
    for (const std::int64_t id : open) flush(id, Tool::finger);
    if (events_ == 0 && mouse_seen_)
      throw InputError(source_.name(), "", "this log holds a mouse (pointerType mouse) and no touch",
                       "record a finger that drags over the touchscreen");
    if (!axes_.x && options_.axes) axes_ = *options_.axes;
    SourceFacts facts;
    facts.file = source_.name();
    facts.format = "pointer_jsonl";
    facts.events = events_;
    facts.limited_by_source = !finer_than_frames_ && !all_reports_;
    Recording recording = std::move(contacts_).finish(std::move(axes_), std::move(facts));
    recording.out_of_reach = std::move(out_of_reach_);
    return recording;
  }

  Source& source_;
  const ReadOptions& options_;
  Notes& notes_;
  Lines lines_;
  PointContacts contacts_;
  PointerEvent event_;
  std::vector<Sample> samples_;
  std::unordered_map<std::int64_t, Pointer> pointers_;  // those that are down
  Axes axes_;
  std::vector<OutOfReach> out_of_reach_;
  double left_ = 0, top_ = 0;
  std::int64_t events_ = 0;
  bool first_ = true, cut_ = false, mouse_seen_ = false, finer_than_frames_ = false, all_reports_ = false;
};

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  return JsonlReader(source, options, notes).read();
}

}  // namespace

const Format& pointer_jsonl_format() {
  static const Format format = {"pointer_jsonl", "JSON Lines of W3C Pointer Events", recognises, read};
  return format;
}

}  // namespace paneproof
