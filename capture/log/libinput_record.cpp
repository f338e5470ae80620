#include "capture/log/libinput_record.hpp"

#include <yaml.h>

#include <algorithm>
#include <charconv>
#include <vector>

#include "capture/bytes/lines.hpp"
#include "capture/log/kernel_devices.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kDeepest = 32, kLongestToken = std::size_t{1} << 20;

bool has_line(std::string_view head, std::string_view start) {
  return head.substr(0, start.size()) == start ||
         head.find(std::string("\n").append(start)) != std::string_view::npos;
}

bool recognises(std::string_view head) {
  return has_line(head, "ndevices:") || (has_line(head, "libinput:") && has_line(head, "devices:")) ||
         (has_line(head, "version:") && has_line(head, "devices:"));
}

// Where a list or a mapping stands, as far as it means something.
enum class Where {
  root,
  devices,
  device,
  description,
  codes,
  code_list,
  ranges,
  range,
  properties,
  events,
  entry,
  frame,
  event,
  other
};

Where inside(Where outer, const std::string& key) {
  switch (outer) {
    case Where::root:
      return key == "devices" ? Where::devices : Where::other;
    case Where::devices:
      return Where::device;
    case Where::device:
      return key == "evdev" ? Where::description : key == "events" ? Where::events : Where::other;
    case Where::description:
      return key == "codes"        ? Where::codes
             : key == "absinfo"    ? Where::ranges
             : key == "properties" ? Where::properties
                                   : Where::other;
    case Where::codes:
      return Where::code_list;
    case Where::ranges:
      return Where::range;
    case Where::events:
      return Where::entry;
    case Where::entry:
      return key == "evdev" ? Where::frame : Where::other;
    case Where::frame:
      return Where::event;
    default:
      return Where::other;
  }
}

class RecordReader {
 public:
  RecordReader(Source& source, const ReadOptions& options, Notes& notes)
      : source_(source), lines_(source), notes_(notes), devices_(options) {
    if (!yaml_parser_initialize(&parser_))
      throw InputError(source.name(), "", "out of memory", "", Exit::software);
    yaml_parser_set_input(&parser_, feed, this);
    yaml_parser_set_encoding(&parser_, YAML_UTF8_ENCODING);
  }
  ~RecordReader() { yaml_parser_delete(&parser_); }
  RecordReader(const RecordReader&) = delete;
  RecordReader& operator=(const RecordReader&) = delete;

  Recording read() {
    bool cut = false;
    for (bool more = true; more;) {
      yaml_event_t event;
      if (!yaml_parser_parse(&parser_, &event)) {
        if (read_error_) std::rethrow_exception(read_error_);
        if (!at_end())
          throw fault("YAML (" + std::string(parser_.problem ? parser_.problem : "damaged") + ")");
        cut = true;
        break;
      }
      since_event_ = 0;
      line_ = event.start_mark.line + 1;
      const Deleted freed{event};
      more = take(event);
    }
    if (devices_in_file_ == 0)
      throw InputError(source_.name(), "", "no device in this recording",
                       "record again with libinput record");
    return std::move(devices_).finish(source_, "libinput_record", cut, notes_);
  }

 private:
  struct Level {
    Where where = Where::other;
    bool mapping = false, at_key = true;
    std::string key;
  };
  struct Deleted {
    yaml_event_t& event;
    ~Deleted() { yaml_event_delete(&event); }
  };

  // The parser's read function. It gets a line at a time: the parser checks all that it has been given before
  // it parses, and what it refuses must not depend on blocks. No exception may cross it, for it is C.
  static int feed(void* user, unsigned char* buffer, size_t size, size_t* got) {
    auto& self = *static_cast<RecordReader*>(user);
    *got = 0;
    try {
      if (self.left_.empty()) self.next_line();
      *got = std::min(size, self.left_.size());
      std::copy_n(self.left_.data(), *got, buffer);
      self.left_.remove_prefix(*got);
      self.ended_ = *got == 0;
      self.fed_ += *got;
      self.since_event_ += *got;
      if (self.since_event_ > kLongestToken)
        throw InputError(self.source_.name(), "", "expected values of at most 1 MiB",
                         "check that this is a recording");
    } catch (...) {
      self.read_error_ = std::current_exception();
      return 0;
    }
    return 1;
  }

  void next_line() {
    if (!lines_.next()) return;
    text_ = lines_.text();
    if (lines_.ended()) text_ += '\n', ++newlines_;
    left_ = text_;
  }

  // Did the parser fail because the file ends there?
  bool at_end() const {
    if (!ended_) return false;
    if (parser_.error == YAML_READER_ERROR) return parser_.problem_offset + 4 >= fed_;
    return parser_.problem_mark.line >= newlines_;
  }

  InputError fault(const std::string& expected) const {
    const bool bytes = parser_.error == YAML_READER_ERROR;  // of the line that was given last
    const std::size_t line = bytes ? static_cast<std::size_t>(lines_.number())
                                   : std::max<std::size_t>(line_, parser_.problem_mark.line + 1);
    return InputError(source_.name(), "line " + std::to_string(line), "expected " + expected,
                      "record again with libinput record");
  }

  // False at the end of the first document.
  bool take(const yaml_event_t& event) {
    switch (event.type) {
      case YAML_MAPPING_START_EVENT:
        open(true);
        break;
      case YAML_SEQUENCE_START_EVENT:
        open(false);
        break;
      case YAML_MAPPING_END_EVENT:
      case YAML_SEQUENCE_END_EVENT:
        close();
        break;
      case YAML_SCALAR_EVENT:
        scalar({reinterpret_cast<const char*>(event.data.scalar.value), event.data.scalar.length});
        break;
      case YAML_ALIAS_EVENT:
        done("");
        break;
      case YAML_DOCUMENT_END_EVENT:
      case YAML_STREAM_END_EVENT:
        return false;
      default:
        break;
    }
    return true;
  }

  void open(bool mapping) {
    if (levels_.size() >= kDeepest) throw fault("values nested at most 32 deep");
    const bool as_key = !levels_.empty() && levels_.back().mapping && levels_.back().at_key;
    const Where where = levels_.empty() ? Where::root
                        : as_key        ? Where::other
                                        : inside(levels_.back().where, levels_.back().key);
    if (where == Where::device) {
      device_ = devices_.at(std::to_string(devices_in_file_++) + "#");
      devices_.description(device_).node.clear();
    }
    numbers_.clear();
    levels_.push_back({where, mapping, true, ""});
  }

  void close() {
    const Where where = levels_.back().where;
    levels_.pop_back();
    if (where == Where::event) add_event();
    if (where == Where::range) add_range();
    done("");
  }

  // A whole key or value of the innermost mapping has been read.
  void done(std::string_view key) {
    if (levels_.empty() || !levels_.back().mapping) return;
    Level& level = levels_.back();
    if (level.at_key) level.key = std::string(key.substr(0, 256));
    level.at_key = !level.at_key;
  }

  void scalar(std::string_view text) {
    if (levels_.empty()) return;
    const Level& level = levels_.back();
    if (!level.mapping || !level.at_key) value(level, text);
    done(text);
  }

  void value(const Level& level, std::string_view text) {
    switch (level.where) {
      case Where::device:
        if (level.key == "node") devices_.description(device_).node = std::string(text.substr(0, 256));
        break;
      case Where::description:
        if (level.key == "name") devices_.description(device_).name = std::string(text.substr(0, 256));
        break;
      case Where::code_list:
        devices_.description(device_).add_code(code(key_number()), code(number(text)));
        devices_.description(device_).listed = true;
        break;
      case Where::properties:
        devices_.description(device_).add_property(code(number(text)));
        break;
      case Where::range:
      case Where::event:
        if (numbers_.size() < 8) numbers_.push_back(number(text));
        break;
      default:
        break;
    }
  }

  std::int64_t number(std::string_view text) const {
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
      throw fault("a whole number, not " + printable(text, 40));
    return value;
  }
  // The key above the list that is being read: an event type or an axis code.
  std::int64_t key_number() const { return levels_.size() < 2 ? 0 : number(levels_[levels_.size() - 2].key); }
  std::uint16_t code(std::int64_t value) const {
    if (value < 0 || value > 0xffff) throw fault("a code from 0 to 65535");
    return static_cast<std::uint16_t>(value);
  }

  void add_range() {
    if (numbers_.size() < 5) throw fault("absinfo as [min, max, fuzz, flat, resolution]");
    const std::int64_t axis = number(levels_.back().key);
    devices_.description(device_).add_range(code(axis), {numbers_[0], numbers_[1], numbers_[4]});
  }

  void add_event() {
    constexpr std::int64_t kLatest_s = 9'000'000'000;
    if (numbers_.size() != 5) throw fault("an event as [sec, usec, type, code, value]");
    if (numbers_[0] < 0 || numbers_[0] > kLatest_s || numbers_[1] < 0 || numbers_[1] > 999'999)
      throw fault("a time from 0 to 9e9 s");
    if (numbers_[4] < INT32_MIN || numbers_[4] > INT32_MAX) throw fault("a value of 32 bits");
    devices_.event(device_, {numbers_[0] * 1'000'000 + numbers_[1], code(numbers_[2]), code(numbers_[3]),
                             static_cast<std::int32_t>(numbers_[4])});
  }

  Source& source_;
  Lines lines_;
  Notes& notes_;
  KernelDevices devices_;
  yaml_parser_t parser_;
  std::exception_ptr read_error_;
  std::string text_;       // the line that the parser gets
  std::string_view left_;  // of it
  std::size_t fed_ = 0, newlines_ = 0, since_event_ = 0, line_ = 0;
  bool ended_ = false;
  std::vector<Level> levels_;
  std::vector<std::int64_t> numbers_;
  std::size_t device_ = 0, devices_in_file_ = 0;
};

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  return RecordReader(source, options, notes).read();
}

}  // namespace

const Format& libinput_record_format() {
  static const Format format = {"libinput_record", "libinput record (YAML)", recognises, read};
  return format;
}

}  // namespace paneproof
