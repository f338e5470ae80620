// What a user should know that is no error: damage that was survived, a file found beside the log,
// a size that differs from the log's own. Notes are counted by id and never blamed on the panel.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace paneproof {

struct Note {
  std::string id;          // stable, snake_case: "cut_at_end", "axes_beside_log"
  std::string text;        // one sentence, from the first occurrence
  std::int64_t count = 1;  // how often it happened
};

class Notes {
 public:
  // Adds a note, or counts one more of an id that is there (its first text stays).
  void add(std::string_view id, std::string_view text);
  void append(const Notes& others);
  const std::vector<Note>& all() const { return notes_; }
  bool has(std::string_view id) const;

 private:
  std::vector<Note> notes_;
};

}  // namespace paneproof
