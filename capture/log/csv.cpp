#include "capture/log/csv.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <vector>

#include "capture/bytes/lines.hpp"
#include "capture/log/point_contacts.hpp"

namespace paneproof {
namespace {

constexpr std::int64_t kSilentLift_us = 250'000;
constexpr std::size_t kManyDown = 100;
const char* const kHeader = "a header like t_s,contact,x_mm,y_mm or t_s,contact,x,y";

std::string_view trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\t'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  if (text.size() >= 2 && text.front() == '"' && text.back() == '"') text = text.substr(1, text.size() - 2);
  return text;
}

char separator_of(std::string_view header) {
  for (const char c : {'\t', ';', ','})
    if (header.find(c) != std::string_view::npos) return c;
  return ',';
}

// Cuts at the separator; cells are views into the line. Past `most` cells the rest is left alone.
void split(std::string_view line, char separator, std::vector<std::string_view>& cells,
           std::size_t most = 4096) {
  cells.clear();
  while (cells.size() < most) {
    const std::size_t end = line.find(separator);
    cells.push_back(trimmed(line.substr(0, end)));
    if (end == std::string_view::npos) return;
    line.remove_prefix(end + 1);
  }
}

// Where each known column stands; -1 when it is missing.
struct Columns {
  char separator = ',';
  int t_s = -1, contact = -1, x = -1, y = -1, phase = -1, tool = -1;
  bool in_mm = false;
  std::size_t needed = 0;  // cells that a row must have
};

int index_of(const std::vector<std::string_view>& names, std::string_view name) {
  const auto found = std::find(names.begin(), names.end(), name);
  return found == names.end() ? -1 : static_cast<int>(found - names.begin());
}

Columns columns_of(std::string_view header) {
  Columns out;
  out.separator = separator_of(header);
  std::vector<std::string_view> names;
  split(header, out.separator, names);
  out.t_s = index_of(names, "t_s");
  out.contact = index_of(names, "contact");
  out.in_mm = index_of(names, "x_mm") >= 0 && index_of(names, "y_mm") >= 0;
  out.x = index_of(names, out.in_mm ? "x_mm" : "x");
  out.y = index_of(names, out.in_mm ? "y_mm" : "y");
  out.phase = index_of(names, "phase");
  out.tool = index_of(names, "tool");
  out.needed =
      static_cast<std::size_t>(std::max({out.t_s, out.contact, out.x, out.y, out.phase, out.tool})) + 1;
  return out;
}

bool recognises(std::string_view head) {
  while (!head.empty() && (head.front() == '\r' || head.front() == '\n')) head.remove_prefix(1);
  const std::string_view line = head.substr(0, head.find_first_of("\r\n"));
  const Columns columns = columns_of(line);
  return columns.x >= 0 && columns.y >= 0;
}

class CsvReader {
 public:
  CsvReader(Source& source, const ReadOptions& options, Notes& notes)
      : source_(source),
        axes_(options.axes),
        notes_(notes),
        lines_(source),
        contacts_(source.name(), notes) {}

  Recording read() {
    read_header();
    while (lines_.next() && lines_.ended())
      if (!trimmed(lines_.text()).empty()) row();
    // A number that was cut is a number all the same, so a line without its end proves nothing.
    if (source_.cut() || !lines_.ended())
      notes_.add("cut_at_end", "the last line has no line end: it may be cut and was not counted");
    if (columns_.phase < 0) contacts_.lift_silent_since(contacts_.latest_us() - kSilentLift_us);
    SourceFacts facts;
    facts.file = source_.name();
    facts.format = "csv";
    facts.events = rows_;
    Axes axes;
    axes.in_mm = columns_.in_mm;
    if (axes.in_mm)
      axes.origin = "log";
    else if (axes_)
      axes = *axes_;
    return std::move(contacts_).finish(std::move(axes), std::move(facts));
  }

 private:
  [[noreturn]] void bad(std::size_t at, const std::string& expected, const std::string& remedy) const {
    throw line_error(source_.name(), lines_.number(), lines_.text(), at, expected, remedy);
  }

  std::size_t offset_of(std::string_view cell) const {
    return static_cast<std::size_t>(cell.data() - lines_.text().data());
  }

  void read_header() {
    while (lines_.next() && trimmed(lines_.text()).empty()) {
    }
    const std::string_view line = lines_.text();
    columns_ = columns_of(line);
    split(line, columns_.separator, cells_);
    for (const char* name : {"t_s", "contact", "x", "y", "x_mm", "y_mm", "phase", "tool"})
      if (std::count(cells_.begin(), cells_.end(), name) > 1)
        bad(0, std::string("one column ") + name, "remove or rename the second one");
    if (columns_.t_s < 0)
      bad(0, kHeader,
          "without a time for each row nothing can be proven: record with a column t_s in seconds");
    if (columns_.contact < 0 || columns_.x < 0 || columns_.y < 0)
      bad(0, kHeader, "name the columns as docs/formats.md shows");
  }

  double number(int column, const char* what) const {
    const std::string_view cell = cells_[static_cast<std::size_t>(column)];
    double value = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc() || end != cell.data() + cell.size() || !std::isfinite(value))
      bad(offset_of(cell), what, "write numbers with a decimal point");
    return value;
  }

  double position(int column) const {
    const double value = number(column, "a number");
    if (std::abs(value) > kLargestPosition)
      bad(offset_of(cells_[static_cast<std::size_t>(column)]), "a position up to 1e9", "check the log");
    return value;
  }

  std::int64_t time_us() const {
    const auto t_us = whole_us(number(columns_.t_s, "a time in seconds"), 1e6);
    if (!t_us)
      bad(offset_of(cells_[static_cast<std::size_t>(columns_.t_s)]), "a time from 0 to 9e9 s",
          "count times from the start of the log");
    return *t_us;
  }

  std::int64_t contact() const {
    const std::string_view cell = cells_[static_cast<std::size_t>(columns_.contact)];
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc() || end != cell.data() + cell.size())
      bad(offset_of(cell), "a contact number (an integer)", "number the contacts 1, 2, ...");
    return value;
  }

  Tool tool() const {
    if (columns_.tool < 0) return Tool::finger;
    const std::string_view cell = cells_[static_cast<std::size_t>(columns_.tool)];
    if (cell.empty() || cell == "finger") return Tool::finger;
    if (cell == "pen") return Tool::pen;
    if (cell == "palm") return Tool::palm;
    bad(offset_of(cell), "finger, pen or palm", "correct the tool column");
  }

  void row() {
    split(lines_.text(), columns_.separator, cells_, columns_.needed);
    if (cells_.size() < columns_.needed)
      bad(lines_.text().size(),
          std::to_string(columns_.needed) + " cells, not " + std::to_string(cells_.size()),
          "every row needs the header's columns");
    const std::int64_t t_us = time_us(), key = contact();
    const double x = position(columns_.x), y = position(columns_.y);
    const Tool what = tool();
    ++rows_;
    if (columns_.phase < 0)
      without_phase(key, t_us, x, y, what);
    else
      with_phase(key, t_us, x, y, what);
  }

  void without_phase(std::int64_t key, std::int64_t t_us, double x, double y, Tool what) {
    const auto last_us = contacts_.last_us(key);
    if (last_us && t_us - *last_us > kSilentLift_us) contacts_.end(key, Ending::lifted);
    if (!last_us && contacts_.down_count() > kManyDown)  // numbers that are never used again
      contacts_.lift_silent_since(contacts_.latest_us() - kSilentLift_us);
    contacts_.point(key, t_us, x, y, what);
  }

  void with_phase(std::int64_t key, std::int64_t t_us, double x, double y, Tool what) {
    const std::string_view phase = cells_[static_cast<std::size_t>(columns_.phase)];
    if (phase == "down") {
      contacts_.down(key, t_us, x, y, what);
    } else if (phase == "move" || phase.empty()) {
      contacts_.point(key, t_us, x, y, what);
    } else if (phase == "up") {
      if (contacts_.is_down(key)) contacts_.point(key, t_us, x, y, what);
      contacts_.end(key, Ending::lifted);
    } else if (phase == "cancel") {
      contacts_.end(key, Ending::cancelled);
    } else {
      bad(offset_of(phase), "down, move, up or cancel", "correct the phase column");
    }
  }

  Source& source_;
  const std::optional<Axes>& axes_;
  Notes& notes_;
  Lines lines_;
  PointContacts contacts_;
  Columns columns_;
  std::vector<std::string_view> cells_;
  std::int64_t rows_ = 0;
};

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  return CsvReader(source, options, notes).read();
}

}  // namespace

const Format& csv_format() {
  static const Format format = {"csv", "CSV with a header t_s,contact,x,y or t_s,contact,x_mm,y_mm",
                                recognises, read};
  return format;
}

}  // namespace paneproof
