#include "analyzer/evidence/recorded_path.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "analyzer/evidence/base64url.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::string_view first_line = "paneproof path 1\n";
constexpr std::size_t most_rows = 4'000'000,
                      most_notes = 100;  // a note is one of a few kinds, with its count
constexpr std::int64_t most_times = 1'000'000;

constexpr std::array<std::string_view, 5> let_go_words = {"drop", "release", "doubt", "lost", "end"};
constexpr std::array<std::string_view, 4> ending_words = {"lifted", "cancelled", "broken", "open"};

template <class Number>
std::string number(Number value) {
  char text[40];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

// A line's fields behind its kind.
template <class... Fields>
void line(std::string& out, std::string_view kind, const Fields&... fields) {
  out += kind;
  ((out += '\t', out += fields), ...);
  out += '\n';
}

std::string plain(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 32) c = ' ';
  return text;
}

class Reader {
 public:
  Reader(std::string_view bytes, const std::string& file) : rest_(bytes), file_(file) {}

  bool next() {
    if (rest_.empty()) return false;
    const std::size_t end = rest_.find('\n');
    if (end == rest_.npos) refuse();
    text_ = rest_.substr(0, end);
    rest_.remove_prefix(end + 1);
    kind_ = field();
    return true;
  }
  std::string_view kind() const { return kind_; }
  std::string_view field() {
    const std::size_t end = std::min(text_.find('\t'), text_.size());
    const std::string_view taken = text_.substr(0, end);
    text_.remove_prefix(std::min(text_.size(), end + 1));
    return taken;
  }
  template <class Number>
  Number take() {
    Number value{};
    const std::string_view text = field();
    if (const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
        error != std::errc() || end != text.data() + text.size())
      refuse();
    return value;
  }
  template <class Words>
  std::size_t word(const Words& words) {
    const std::string_view text = field();
    for (std::size_t i = 0; i < words.size(); ++i)
      if (words[i] == text) return i;
    refuse();
  }
  [[noreturn]] void refuse() const {
    throw InputError(file_, "", "expected the path of a recording as paneproof writes it", "");
  }

 private:
  std::string_view rest_, text_, kind_;
  const std::string& file_;
};

void take_frames(Reader& reader, RecordingFacts& facts) {
  facts.frames = reader.take<std::int64_t>();
  facts.duration_us = reader.take<std::int64_t>();
  facts.span_frames = reader.take<std::int64_t>();
  facts.held_frames = reader.take<std::int64_t>();
  facts.followed_frames = reader.take<std::int64_t>();
  facts.half_width = reader.take<double>();
  facts.half_height = reader.take<double>();
}

void take_row(Reader& reader, Recording& recording) {
  if (recording.contacts.empty() || recording.reports.size() >= most_rows) reader.refuse();
  Report report;
  report.t_us = reader.take<std::int64_t>();
  report.x = reader.take<double>();
  report.y = reader.take<double>();
  report.sd = reader.take<float>();
  report.contact = static_cast<std::uint32_t>(recording.contacts.size() - 1);
  recording.reports.push_back(report);
  ++recording.contacts.back().count;
}

void take_note(Reader& reader, Notes& told) {
  const auto times = reader.take<std::int64_t>();
  const std::string id(reader.field()), text(reader.field());
  if (times < 1 || times > most_times || told.all().size() >= most_notes) reader.refuse();
  for (std::int64_t i = 0; i < times; ++i) told.add(id, text);
}

void take_let_go(Reader& reader, Recording& recording) {
  if (recording.let_gos.size() >= most_rows) reader.refuse();
  LetGo let_go;
  let_go.kind = static_cast<LetGo::Kind>(reader.word(let_go_words));
  let_go.t_us = reader.take<std::int64_t>();
  let_go.contact = reader.take<std::uint32_t>();
  let_go.x = reader.take<double>();
  let_go.y = reader.take<double>();
  if (let_go.contact >= recording.contacts.size()) reader.refuse();
  recording.let_gos.push_back(let_go);
}

// What the measures take for granted.
bool sound(const Recording& recording) {
  constexpr std::int64_t longest_us = 1'000'000'000'000;
  const auto placed = [](const auto& at) {
    return at.t_us >= 0 && at.t_us <= longest_us && std::abs(at.x) < 1e6 && std::abs(at.y) < 1e6;
  };
  for (const Contact& contact : recording.contacts) {
    if (contact.count == 0) return false;
    for (std::uint32_t i = 1; i < contact.count; ++i)
      if (recording.reports[contact.first + i].t_us < recording.reports[contact.first + i - 1].t_us)
        return false;
  }
  return std::all_of(recording.reports.begin(), recording.reports.end(),
                     [&](const Report& r) { return placed(r) && r.sd >= 0 && r.sd < 1e6F; }) &&
         std::all_of(recording.let_gos.begin(), recording.let_gos.end(), placed);
}

}  // namespace

bool is_recorded_path(std::string_view bytes) { return bytes.starts_with(first_line); }

std::string recorded_path(const Recording& recording, const Notes& notes) {
  const RecordingFacts facts = recording.source.recording.value_or(RecordingFacts{});
  std::string out(first_line);
  line(out, "recording", recording.source.sha256, plain(recording.source.device));
  line(out, "size", number(recording.axes.x->max), number(recording.axes.y->max));
  line(out, "frames", number(facts.frames), number(facts.duration_us), number(facts.span_frames),
       number(facts.held_frames), number(facts.followed_frames), number(facts.half_width),
       number(facts.half_height));
  for (const Note& note : notes.all())
    line(out, "note", number(std::min(note.count, most_times)), plain(note.id), plain(note.text));
  for (const Contact& contact : recording.contacts) {
    line(out, "held", ending_words[static_cast<std::size_t>(contact.ending)]);
    for (std::uint32_t i = contact.first; i < contact.first + contact.count; ++i) {
      const Report& report = recording.reports[i];
      line(out, "at", number(report.t_us), number(report.x), number(report.y), number(report.sd));
    }
  }
  for (const LetGo& let_go : recording.let_gos)
    line(out, "let go", let_go_words[static_cast<std::size_t>(let_go.kind)], number(let_go.t_us),
         number(let_go.contact), number(let_go.x), number(let_go.y));
  return out;
}

Recording read_recorded_path(std::string_view bytes, const std::string& file, Notes& notes) {
  Recording recording;
  RecordingFacts facts;
  Notes told;
  double width = 0, height = 0;
  Reader reader(bytes.substr(std::min(bytes.size(), first_line.size())), file);
  while (reader.next()) {
    if (reader.kind() == "recording") {
      recording.source.sha256 = reader.field();
      recording.source.device = reader.field();
    } else if (reader.kind() == "size") {
      width = reader.take<double>();
      height = reader.take<double>();
    } else if (reader.kind() == "frames") {
      take_frames(reader, facts);
    } else if (reader.kind() == "note") {
      take_note(reader, told);
    } else if (reader.kind() == "held") {
      if (!recording.contacts.empty() && recording.contacts.back().count == 0) reader.refuse();
      Contact contact;
      contact.first = static_cast<std::uint32_t>(recording.reports.size());
      contact.ending = static_cast<Ending>(reader.word(ending_words));
      recording.contacts.push_back(contact);
    } else if (reader.kind() == "at") {
      take_row(reader, recording);
    } else if (reader.kind() == "let go") {
      take_let_go(reader, recording);
    } else {
      reader.refuse();
    }
  }
  recording.axes.x = Axis{0, width, std::nullopt};
  recording.axes.y = Axis{0, height, std::nullopt};
  recording.axes.square_units = true;
  recording.axes.origin = "recording";
  recording.source.file = file;
  recording.source.format = "recording";
  recording.source.events = facts.frames;
  recording.source.duration_us = facts.duration_us;
  recording.source.limited_by_source = true;
  recording.source.recording = facts;
  if (!sound(recording)) reader.refuse();
  // One spelling: whatever is missing, doubled or out of order shows itself here.
  if (!(width > 0 && width < 1e6 && height > 0 && height < 1e6) || !from_hex(recording.source.sha256) ||
      recorded_path(recording, told) != bytes)
    reader.refuse();
  notes.append(told);
  return recording;
}

}  // namespace paneproof
