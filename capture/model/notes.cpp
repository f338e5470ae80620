#include "capture/model/notes.hpp"

#include <algorithm>

namespace paneproof {

void Notes::add(std::string_view id, std::string_view text) {
  const auto found = std::find_if(notes_.begin(), notes_.end(), [&](const Note& n) { return n.id == id; });
  if (found != notes_.end())
    ++found->count;
  else
    notes_.push_back({std::string(id), std::string(text), 1});
}

void Notes::append(const Notes& others) {
  for (const Note& note : others.notes_) {
    add(note.id, note.text);
    const auto mine =
        std::find_if(notes_.begin(), notes_.end(), [&](const Note& n) { return n.id == note.id; });
    mine->count += note.count - 1;
  }
}

bool Notes::has(std::string_view id) const {
  return std::any_of(notes_.begin(), notes_.end(), [&](const Note& n) { return n.id == id; });
}

}  // namespace paneproof
