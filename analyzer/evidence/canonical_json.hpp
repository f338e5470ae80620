// JSON in one canonical form (RFC 8785): no blanks, keys in order of their UTF-16 code units, numbers as
// ECMAScript prints them. Equal values give equal bytes, so that a digest of them means something.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

namespace paneproof {

// A number as ECMAScript's Number::toString gives it. Throws InputError (65) when it is not finite.
std::string canonical_number(double value);

// Throws InputError (65) for text that is not UTF-8, numbers that are not finite or that no double holds
// (whole numbers past 2^53), and values more than 64 deep.
std::string canonical_json(const nlohmann::json& value);

// Reads JSON of any layout. Throws InputError (65) naming `file` when it is none, when a key comes twice
// in one object, or when it is more than 64 deep.
nlohmann::json strict_json(std::string_view text, const std::string& file);

// Reads JSON that must stand in its canonical form to the byte: so neither a key that comes twice nor
// a blank nor a second spelling of anything passes. Throws InputError (65).
nlohmann::json canonical_only(std::string_view text, const std::string& file);

}  // namespace paneproof
