#include "analyzer/evidence/log_lines.hpp"

#include <charconv>
#include <cmath>
#include <cstring>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>

namespace paneproof {
namespace {

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t\r\n");
  if (first == text.npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

std::optional<double> number_at(std::string_view text) {
  text = trimmed(text);
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || !std::isfinite(value) || std::abs(value) > 1e12) return std::nullopt;
  return value;
}

// "S.UUUUUU" in whole microseconds.
std::optional<std::int64_t> clock_at(std::string_view text) {
  const auto value = number_at(text);
  return value ? std::optional<std::int64_t>(std::llround(*value * 1e6)) : std::nullopt;
}

std::vector<std::string_view> split_lines(std::string_view log) {
  std::vector<std::string_view> lines;
  while (!log.empty()) {
    const std::size_t end = std::min(log.find('\n'), log.size() - 1) + 1;
    lines.push_back(log.substr(0, end));
    log.remove_prefix(end);
  }
  return lines;
}

// What a format needs to know from line to line.
class Clock {
 public:
  Clock(const std::string& format, std::string_view log) : format_(format) {
    if (format == "csv") find_column(log.substr(0, log.find('\n')));
  }

  std::optional<std::int64_t> time_of(std::string_view line) {
    if (format_ == "getevent")
      return line.starts_with('[') ? device_after(line), clock_at(line.substr(1)) : std::nullopt;
    if (format_ == "evtest")
      return line.starts_with("Event: time ") ? clock_at(line.substr(12)) : std::nullopt;
    if (format_ == "evemu") return line.starts_with("E: ") ? clock_at(line.substr(3)) : std::nullopt;
    if (format_ == "csv") return column_time(line);
    if (format_ == "pointer_jsonl") return stamp_of(line);
    if (format_ == "libinput_record") return yaml_time(line);
    return std::nullopt;
  }
  bool opens_group(std::string_view line) const {
    const auto text = trimmed(line);
    return format_.starts_with("libinput") && text.starts_with("- ") && text.ends_with(":") &&
           !text.starts_with("- node");
  }
  std::size_t device() const { return device_; }

 private:
  void name_device(std::string_view name) {
    device_ = devices_.try_emplace(std::string(name), devices_.size()).first->second;
  }
  void device_after(std::string_view line) {
    const auto rest = trimmed(line.substr(std::min(line.find(']'), line.size() - 1) + 1));
    name_device(rest.starts_with('/') ? rest.substr(0, rest.find(':')) : "");
  }
  void find_column(std::string_view header) {
    separator_ = header.find('\t') != header.npos ? '\t' : header.find(';') != header.npos ? ';' : ',';
    for (int at = 0; !header.empty(); ++at) {
      const std::size_t end = std::min(header.find(separator_), header.size());
      if (trimmed(header.substr(0, end)).find("t_s") != header.npos) column_ = at;
      header.remove_prefix(std::min(header.size(), end + 1));
    }
  }
  std::optional<std::int64_t> column_time(std::string_view line) const {
    for (int at = 0; at < column_; ++at)
      line.remove_prefix(std::min(line.size(), std::min(line.find(separator_), line.size()) + 1));
    return clock_at(line.substr(0, line.find(separator_)));
  }
  static std::optional<std::int64_t> stamp_of(std::string_view line) {
    const auto json = nlohmann::json::parse(line, nullptr, false);
    if (!json.is_object() || !json.contains("timeStamp") || !json["timeStamp"].is_number())
      return std::nullopt;
    const double ms = json["timeStamp"];
    return std::abs(ms) < 1e15 ? std::optional<std::int64_t>(std::llround(ms * 1e3)) : std::nullopt;
  }
  // "- [  0, 123456, 3, 53, 70]" and "- {time: 0.123, ...}"
  std::optional<std::int64_t> yaml_time(std::string_view line) {
    const auto text = trimmed(line);
    if (text.starts_with("- node:")) name_device(text);
    if (text.starts_with("- {time:")) return clock_at(text.substr(8));
    if (!text.starts_with("- [")) return std::nullopt;
    const auto seconds = number_at(text.substr(3));
    const std::size_t comma = text.find(',');
    const auto micros = comma == text.npos ? std::nullopt : number_at(text.substr(comma + 1));
    if (!seconds || !micros) return std::nullopt;
    return std::llround(*seconds * 1e6 + *micros);
  }

  std::string format_;
  char separator_ = ',';
  int column_ = 0;
  std::map<std::string, std::size_t> devices_;
  std::size_t device_ = 0;
};

template <class Whole>
std::int64_t whole_at(std::string_view record, std::size_t offset) {
  Whole value;
  std::memcpy(&value, record.data() + offset, sizeof value);
  return value;
}

// Raw records: 24 bytes with 64-bit times, or 16.
std::vector<LogLine> records(std::string_view log) {
  const auto sound = [&](std::size_t size) {
    for (std::size_t at = 0; at + size <= std::min<std::size_t>(log.size(), size * 32); at += size)
      if (static_cast<unsigned char>(log[at + size - 8]) > 0x1f || log[at + size - 7] != 0) return false;
    return true;
  };
  const std::size_t size = sound(24) ? 24 : 16;
  std::vector<LogLine> lines;
  for (std::size_t at = 0; at + size <= log.size(); at += size) {
    const auto record = log.substr(at, size);
    const std::int64_t t_us =
        size == 24 ? whole_at<std::int64_t>(record, 0) * 1000000 + whole_at<std::int64_t>(record, 8)
                   : whole_at<std::uint32_t>(record, 0) * 1000000 + whole_at<std::uint32_t>(record, 4);
    lines.push_back({record, t_us, true, 0});
  }
  return lines;
}

}  // namespace

std::vector<LogLine> log_lines(std::string_view log, const std::string& format) {
  if (format == "inkml") return {};
  if (format == "input_event") return records(log);
  Clock clock(format, log);
  std::vector<LogLine> lines;
  std::size_t waiting = 0;  // lines that belong to the next event
  for (const std::string_view text : split_lines(log)) {
    const auto t_us = clock.time_of(text);
    LogLine line{text, t_us.value_or(lines.empty() ? 0 : lines.back().t_us),
                 t_us || (!lines.empty() && lines.back().event), clock.device()};
    lines.push_back(line);
    if (clock.opens_group(text)) {
      ++waiting;
    } else if (t_us) {
      for (; waiting > 0; --waiting) {
        lines[lines.size() - 1 - waiting].t_us = *t_us;
        lines[lines.size() - 1 - waiting].event = true;
      }
    } else {
      waiting = 0;
    }
  }
  return lines;
}

}  // namespace paneproof
