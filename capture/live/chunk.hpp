// A chunk: some lines of a live log, as the page sends them in one request. It is stored whole or not at
// all. Its last line carries the chunk's number ("chunk":N), so that the log itself tells, after any stop,
// which chunks it holds; the reader ignores that key.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace paneproof {

inline constexpr std::size_t largest_chunk_bytes = 256 * 1024;

// What is wrong with the chunk, in a few words; empty when every line is one that the reader of Pointer
// Events takes. Chunk 0 is the screen alone.
std::optional<std::string> chunk_fault(std::string_view body, std::int64_t number);

// Every line with its end, the last one with the chunk's number. Only for a chunk without fault.
std::string marked_chunk(std::string_view body, std::int64_t number);

// The number at the end of a stored line without its end; empty when it carries none.
std::optional<std::int64_t> chunk_mark(std::string_view line);

}  // namespace paneproof
