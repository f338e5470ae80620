// UTF-16 text (a Windows shell's redirect writes it) as UTF-8, and UTF-8 without its byte order mark.
#pragma once

#include <memory>

#include "capture/bytes/source.hpp"

namespace paneproof {

// UTF-16 is seen by its mark, or without one when every other byte of the first line is 0 and the rest
// is plain text; a mark that is followed by a 0 character is part of binary data. Lone surrogates become
// U+FFFD. Everything else comes as it is.
std::unique_ptr<Source> as_utf8(std::unique_ptr<Source> bytes);

}  // namespace paneproof
