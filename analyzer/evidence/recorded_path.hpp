// The path that was followed in a recording of the screen, as text: what goes into evidence in the place of a
// log. Every number stands in its shortest spelling that reads back to the same value, so the path is judged
// as the recording was. The recording itself, named by its SHA-256, stays with whoever made it.
#pragma once

#include <string>
#include <string_view>

#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

// Of a recording as `watch` gives it, with source.sha256.
std::string recorded_path(const Recording& recording, const Notes& notes);

bool is_recorded_path(std::string_view bytes);

// Takes exactly what recorded_path writes. Throws InputError (65) naming `file`.
Recording read_recorded_path(std::string_view bytes, const std::string& file, Notes& notes);

}  // namespace paneproof
