#include "capture/log/inkml.hpp"

#include <expat.h>

#include <cmath>
#include <map>
#include <memory>
#include <vector>

#include "capture/log/ink_channels.hpp"
#include "capture/log/ink_clock.hpp"
#include "capture/log/ink_formats.hpp"
#include "capture/log/point_contacts.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kDeepest = 64, kMostGoingOn = 1000;
constexpr std::size_t kLongestPoint = 4096, kLongestToken = std::size_t{2} << 20;

bool recognises(std::string_view head) {
  const std::size_t start = head.find_first_not_of(" \t\r\n");
  if (start == std::string_view::npos || head[start] != '<') return false;
  for (std::size_t at = head.find("ink"); at != std::string_view::npos; at = head.find("ink", at + 1)) {
    const char before = at > 0 ? head[at - 1] : 0;
    const char after = at + 3 < head.size() ? head[at + 3] : '>';
    if ((before == '<' || before == ':') &&
        (after == '>' || after == ' ' || after == '\n' || after == '\r' || after == '\t' || after == '/'))
      return true;
  }
  return false;
}

struct OpenElement {
  std::string name, id, context;  // context: contextRef that holds for traces inside
  Tool tool = Tool::finger;       // of traces inside (traceGroup)
  Ending ending = Ending::lifted;
};

class InkReader {
 public:
  InkReader(Source& source, const ReadOptions& options, Notes& notes)
      : source_(source),
        options_(options),
        notes_(notes),
        contacts_(source.name(), notes),
        parser_(XML_ParserCreate(nullptr), XML_ParserFree) {
    XML_SetUserData(parser_.get(), this);
    XML_SetElementHandler(parser_.get(), on_start, on_end);
    XML_SetCharacterDataHandler(parser_.get(), on_text);
    XML_SetDoctypeDeclHandler(parser_.get(), on_doctype, nullptr);
  }

  Recording read() {
    std::uint64_t fed = 0;
    for (std::string_view block = source_.read(); !block.empty(); block = source_.read()) {
      const auto status = XML_Parse(parser_.get(), block.data(), static_cast<int>(block.size()), 0);
      if (error_) throw *error_;
      if (status != XML_STATUS_OK)
        fail_now("well-formed XML (" + xml_error() + ")", "record or export the file again");
      fed += block.size();
      const auto at = XML_GetCurrentByteIndex(parser_.get());
      if (fed - static_cast<std::uint64_t>(at < 0 ? 0 : at) > kLongestToken)
        fail_now("tags and comments of at most 2 MiB", "check that this is an InkML file");
    }
    const bool whole = XML_Parse(parser_.get(), "", 0, 1) == XML_STATUS_OK;
    if (error_) throw *error_;
    if (!whole && !breaks_off())
      fail_now("well-formed XML (" + xml_error() + ")", "record or export the file again");
    if (!whole || source_.cut())
      notes_.add("cut_at_end", "the log is cut; its last, unfinished point was not counted");
    return finish();
  }

 private:
  static InkReader& self(void* user) { return *static_cast<InkReader*>(user); }
  static void XMLCALL on_start(void* user, const XML_Char* name, const XML_Char** attributes) {
    InkReader& reader = self(user);
    if (!reader.error_) reader.start(ink_local_name(name), InkAttributes(attributes));
  }
  static void XMLCALL on_end(void* user, const XML_Char* name) {
    InkReader& reader = self(user);
    if (!reader.error_) reader.end(ink_local_name(name));
  }
  static void XMLCALL on_text(void* user, const XML_Char* text, int length) {
    InkReader& reader = self(user);
    if (!reader.error_) reader.text({text, static_cast<std::size_t>(length)});
  }
  static void XMLCALL on_doctype(void* user, const XML_Char*, const XML_Char*, const XML_Char*,
                                 int internal) {
    if (internal) self(user).fail("no declarations in the DOCTYPE", "InkML needs none: remove them");
  }

  // Is the fault at the end only that more should follow? (The parser may keep an unfinished tag until then.)
  bool breaks_off() const {
    const XML_Error code = XML_GetErrorCode(parser_.get());
    return code == XML_ERROR_NO_ELEMENTS || code == XML_ERROR_UNCLOSED_TOKEN ||
           code == XML_ERROR_UNCLOSED_CDATA_SECTION || code == XML_ERROR_PARTIAL_CHAR;
  }
  std::string xml_error() const { return XML_ErrorString(XML_GetErrorCode(parser_.get())); }

  InputError fault(const std::string& expected, const std::string& remedy) const {
    std::string place = "line " + std::to_string(XML_GetCurrentLineNumber(parser_.get())) + ", column " +
                        std::to_string(XML_GetCurrentColumnNumber(parser_.get()) + 1);
    if (in_trace_)
      place += ", trace " + std::to_string(trace_count_) + ", point " + std::to_string(point_count_ + 1);
    return InputError(source_.name(), place, "expected " + expected, remedy);
  }
  [[noreturn]] void fail_now(const std::string& expected, const std::string& remedy) const {
    throw fault(expected, remedy);
  }
  // No exception may cross the parser, which is C: kept, and thrown when it has returned.
  void fail(const std::string& expected, const std::string& remedy) {
    if (!error_) error_.emplace(fault(expected, remedy));
    XML_StopParser(parser_.get(), XML_FALSE);
  }

  void start(std::string_view name, const InkAttributes& attributes) {
    if (open_.size() >= kDeepest)
      return fail("elements nested at most 64 deep", "check that this is an InkML file");
    OpenElement element = open_.empty() ? OpenElement{} : open_.back();
    element.name = name;
    element.id = attributes.get("id");
    const std::string context = attributes.target("contextRef");
    if (!context.empty()) element.context = context;
    open_.push_back(std::move(element));
    std::string wrong;
    if (name == "traceFormat") formats_.start_format();
    if (name == "channel") wrong = formats_.add_channel(attributes, parent() == "intermittentChannels");
    if (name == "inkSource") formats_.start_source();
    if (name == "channelProperty") formats_.add_property(attributes);
    if (name == "context") wrong = formats_.add_context(open_.back().id, attributes);
    if (!wrong.empty()) return fail(wrong, "check the file's trace formats");
    if (name == "trace") start_trace(attributes);
    if (name == "annotation") {
      annotation_type_ = attributes.get("type");
      annotation_.clear();
    }
  }

  std::string parent() const { return open_.size() < 2 ? "" : open_[open_.size() - 2].name; }

  void end(std::string_view name) {
    if (name == "traceFormat") end_format();
    if (name == "inkSource") formats_.end_source();
    if (name == "trace") end_trace();
    if (name == "annotation") end_annotation();
    if (!open_.empty()) open_.pop_back();
  }

  void end_format() {
    std::vector<std::string> names;
    for (const OpenElement& element : open_)
      if (!element.id.empty()) names.push_back(element.id);
    const std::string wrong = formats_.end_format(names);
    if (!wrong.empty()) fail(wrong, "check the file's trace formats");
  }

  void text(std::string_view piece) {
    if (open_.empty()) return;
    if (open_.back().name == "annotation" && annotation_.size() < 64) annotation_ += piece.substr(0, 64);
    if (open_.back().name != "trace" || !in_trace_) return;
    while (!piece.empty() && !error_) {
      const std::size_t comma = piece.find(',');
      point_ += piece.substr(0, comma);
      if (point_.size() > kLongestPoint) return fail("points parted by commas", "check the trace's text");
      if (comma == std::string_view::npos) return;
      point();
      piece.remove_prefix(comma + 1);
    }
  }

  void end_annotation() {
    if (open_.size() < 2 || open_[open_.size() - 2].name != "traceGroup") return;
    OpenElement& group = open_[open_.size() - 2];
    if (annotation_type_ == "pointerType")
      group.tool = annotation_ == "pen" ? Tool::pen : annotation_ == "palm" ? Tool::palm : Tool::finger;
    if (annotation_type_ == "ending")
      group.ending = annotation_ == "cancelled" ? Ending::cancelled
                     : annotation_ == "broken"  ? Ending::broken
                     : annotation_ == "open"    ? Ending::open
                                                : Ending::lifted;
  }

  // What keeps traces of this format from being read; "" when nothing does.
  std::string unreadable(const InkFormat* format) const {
    if (!format || !format->find("T")) return "a time channel T: without times nothing can be proven";
    const InkChannel *x = format->find("X"), *y = format->find("Y");
    if (!x || !y) return "channels X and Y";
    if (!us_per(format->find("T")->units)) return "units ms or s on the channel T";
    const Axes axes = ink_axes(*format);
    if ((x->turned && !axes.x) || (y->turned && !axes.y))
      return "min and max on a channel of orientation -ve, for it is turned over";
    return any_trace_ && !same(axes, axes_) ? "the same axes in every trace" : "";
  }

  static bool same(const Axes& a, const Axes& b) {
    const auto equal = [](const std::optional<Axis>& p, const std::optional<Axis>& q) {
      return p.has_value() == q.has_value() &&
             (!p || (p->min == q->min && p->max == q->max && p->units_per_mm == q->units_per_mm));
    };
    return a.in_mm == b.in_mm && equal(a.x, b.x) && equal(a.y, b.y);
  }

  void start_trace(const InkAttributes& attributes) {
    ++trace_count_;
    point_count_ = 0;
    point_.clear();
    in_trace_ = attributes.get("type") != "penUp";
    if (!in_trace_) return;
    const InkFormat* format = formats_.of(open_.back().context);
    const std::string wrong = unreadable(format);
    if (!wrong.empty()) return fail(wrong, "record with the channels X, Y and T (units ms) and export again");
    format_ = *format;
    axes_ = ink_axes(format_);
    any_trace_ = true;
    us_per_unit_ = *us_per(format_.find("T")->units);
    const std::string continuation = attributes.get("continuation");
    const auto prior = continued_.find(attributes.target("priorRef"));
    key_ = trace_count_;
    const bool follows = continuation == "middle" || continuation == "end";
    if (follows && prior != continued_.end()) key_ = prior->second;
    goes_on_ = continuation == "begin" || continuation == "middle";
    if (goes_on_ && continued_.size() < kMostGoingOn) continued_[open_.back().id] = key_;
    clock_.start_trace(format_.find("T")->respect_to, attributes.number("timeOffset"));
  }

  void point() {
    const std::string wrong = read_ink_point(point_, format_, point_count_ == 0, last_);
    if (!wrong.empty()) return fail(wrong, "see docs/formats.md for what is read");
    std::string why;
    const auto t_us = clock_.time_us(last_.t, us_per_unit_, point_count_ == 0, why);
    if (!t_us) return fail(why, "give the channel T a respectTo timestamp");
    double x = last_.x, y = last_.y;
    if (!(std::abs(x) <= kLargestPosition && std::abs(y) <= kLargestPosition))
      return fail("a position up to 1e9", "check the log");
    if (format_.find("X")->turned) x = axes_.x->min + axes_.x->max - x;
    if (format_.find("Y")->turned) y = axes_.y->min + axes_.y->max - y;
    if (axes_.in_mm) {
      x *= *mm_per(format_.find("X")->units);
      y *= *mm_per(format_.find("Y")->units);
    }
    ++point_count_;
    ++points_;
    point_.clear();
    if (!last_.tip) return contacts_.end(key_, Ending::lifted);
    try {
      contacts_.point(key_, *t_us, x, y, open_.back().tool);
    } catch (const InputError& error) {
      error_.emplace(error);
      XML_StopParser(parser_.get(), XML_FALSE);
    }
  }

  void end_trace() {
    if (in_trace_ && point_.find_first_not_of(" \t\r\n") != std::string::npos) point();
    const Ending ending = open_.back().ending;
    if (in_trace_ && !error_ && !goes_on_ && ending != Ending::open) contacts_.end(key_, ending);
    if (in_trace_ && !error_ && ending == Ending::open) contacts_.forget(key_);
    in_trace_ = false;
    last_ = {};
  }

  Recording finish() {
    if (!clock_.related())
      throw InputError(source_.name(), "",
                       "expected traces whose times are related: each starts at the same T",
                       "give the channel T a respectTo timestamp, or each trace a timeOffset");
    if (clock_.assumed())
      notes_.add("clock_assumed", "T has no respectTo: its times were taken as one running clock");
    if (!axes_.x && !axes_.in_mm && options_.axes) axes_ = *options_.axes;
    SourceFacts facts;
    facts.file = source_.name();
    facts.format = "inkml";
    facts.events = points_;
    return std::move(contacts_).finish(std::move(axes_), std::move(facts));
  }

  Source& source_;
  const ReadOptions& options_;
  Notes& notes_;
  PointContacts contacts_;
  std::unique_ptr<XML_ParserStruct, decltype(&XML_ParserFree)> parser_;
  std::optional<InputError> error_;

  std::vector<OpenElement> open_;
  std::map<std::string, std::int64_t> continued_;  // id of a trace that goes on to its contact
  std::string annotation_type_, annotation_;

  InkClock clock_;
  InkFormats formats_;
  InkFormat format_;  // of the trace that is being read
  Axes axes_;
  double us_per_unit_ = 0;
  InkPoint last_;
  std::string point_;
  std::int64_t key_ = 0, trace_count_ = 0, point_count_ = 0, points_ = 0;
  bool in_trace_ = false, goes_on_ = false, any_trace_ = false;
};

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  return InkReader(source, options, notes).read();
}

}  // namespace

const Format& inkml_format() {
  static const Format format = {"inkml", "W3C InkML with channels X, Y and T", recognises, read};
  return format;
}

}  // namespace paneproof
