// A source as numbered lines, as a stream. A line lies in the block that was read (no copy) unless it
// straddles two. LF and CR LF end a line (a serial console's CR CR LF too); the last may have no ending.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "capture/bytes/source.hpp"

namespace paneproof {

class Lines {
 public:
  explicit Lines(Source& source) : source_(source) {}

  static constexpr std::size_t kLongest = std::size_t{1} << 20;

  // Goes to the next line; false at the end. Throws InputError (65) for a line over 1 MiB.
  bool next();
  // Without its ending; valid until next().
  std::string_view text() const { return text_; }
  // From 1; 0 before the first.
  std::int64_t number() const { return number_; }
  // Did an ending follow? Only the last line of an input may have none: it may be cut anywhere.
  bool ended() const { return ended_; }

 private:
  bool straddling();
  bool give(std::string_view line, bool ended);

  Source& source_;
  std::string_view block_, text_;
  std::string carry_;
  std::int64_t number_ = 0;
  bool ended_ = true;
};

}  // namespace paneproof
