#include "capture/bytes/lines.hpp"

#include <cstring>

#include "capture/model/input_error.hpp"

namespace paneproof {

bool Lines::next() {
  const void* end = block_.empty() ? nullptr : std::memchr(block_.data(), '\n', block_.size());
  if (!end) return straddling();
  const std::size_t length = static_cast<std::size_t>(static_cast<const char*>(end) - block_.data());
  const std::string_view line = block_.substr(0, length);
  block_.remove_prefix(length + 1);
  return give(line, true);
}

// The rest of the block starts a line that goes on in the next blocks.
bool Lines::straddling() {
  carry_.assign(block_);
  for (;;) {
    block_ = source_.read();
    if (block_.empty()) return carry_.empty() ? false : give(carry_, false);
    const std::size_t end = block_.find('\n');
    const std::string_view part = block_.substr(0, end);
    if (carry_.size() + part.size() > kLongest) {
      give({}, true);
      throw InputError(source_.name(), "line " + std::to_string(number_), "expected a line of at most 1 MiB",
                       "is this a touch log?");
    }
    if (end == block_.npos) {
      carry_.append(part);
      continue;
    }
    block_.remove_prefix(end + 1);
    if (carry_.empty()) return give(part, true);
    carry_.append(part);
    return give(carry_, true);
  }
}

bool Lines::give(std::string_view line, bool ended) {
  while (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  text_ = line;
  ended_ = ended;
  ++number_;
  return true;
}

}  // namespace paneproof
