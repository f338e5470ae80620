#include "tests/bench/long_log.hpp"

#include <cstdio>
#include <cstdlib>
#include <string_view>

#include "capture/bytes/atomic_file.hpp"

namespace paneproof {
namespace {

// "[    4217.380156] ..." to microseconds; -1 for a line that is no event.
std::int64_t time_us(std::string_view line) {
  if (line.empty() || line[0] != '[') return -1;
  const auto dot = line.find('.');
  return std::atoll(line.data() + 1) * 1'000'000 + std::atoll(line.data() + dot + 1);
}

template <class Take>
void each_line(std::string_view text, Take take) {
  while (!text.empty()) {
    const auto end = std::min(text.find('\n') + 1, text.size());
    take(text.substr(0, end));
    text.remove_prefix(end);
  }
}

}  // namespace

std::uint64_t write_repeated(const std::string& recording, std::uint64_t bytes, const std::string& path) {
  std::string header, events;
  std::int64_t first_us = -1, last_us = 0;
  each_line(recording, [&](std::string_view line) {
    const std::int64_t t_us = time_us(line);
    if (t_us < 0) return void(header += line);
    if (first_us < 0) first_us = t_us;
    last_us = t_us;
    events += line;
  });
  AtomicFile file(path);
  file.write(header);
  std::uint64_t written = header.size();
  std::string moved;
  for (std::int64_t offset_us = 0; written < bytes; offset_us += last_us - first_us + 1'000'000) {
    moved.clear();
    each_line(events, [&](std::string_view line) {
      const std::int64_t t_us = time_us(line) + offset_us;
      char stamp[40];
      std::snprintf(stamp, sizeof stamp, "[%8lld.%06lld]", static_cast<long long>(t_us / 1'000'000),
                    static_cast<long long>(t_us % 1'000'000));
      moved += stamp;
      moved += line.substr(line.find(']') + 1);
    });
    file.write(moved);
    written += moved.size();
  }
  file.commit();
  return written;
}

std::string first_seconds(const std::string& recording, double seconds) {
  std::int64_t first_us = -1;
  std::size_t kept = 0, at = 0;
  bool over = false;
  each_line(recording, [&](std::string_view line) {
    at += line.size();
    const std::int64_t t_us = time_us(line);
    if (t_us >= 0 && first_us < 0) first_us = t_us;
    if (t_us >= 0) over |= static_cast<double>(t_us - first_us) > seconds * 1e6;
    if (!over && (t_us < 0 || line.find("SYN_REPORT") != std::string_view::npos)) kept = at;
  });
  return recording.substr(0, kept);
}

}  // namespace paneproof
