// Sees through gzip (RFC 1952, any number of members) and zstd (RFC 8878, any number of frames).
//
// A stream that breaks off, or is damaged after good bytes, gives what came before and is `cut`.
#pragma once

#include <memory>

#include "capture/bytes/source.hpp"

namespace paneproof {

// The same source when its first bytes are of neither kind. The layer throws InputError (65) when
// nothing can be unpacked before the damage.
std::unique_ptr<Source> unpacked(std::unique_ptr<Source> stored);

}  // namespace paneproof
