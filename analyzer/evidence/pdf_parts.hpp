// Pieces of the file's layout that its writer and its reader must agree on to the byte.
#pragma once

#include <string>
#include <string_view>

namespace paneproof {

// The second line's bytes above 127 tell transfer programs that the file is binary (7.5.2); the third tells
// what the file was meant to be even when most of it is missing.
inline constexpr std::string_view pdf_mark = "% evidence of a drag sweep by paneproof\n";
inline constexpr std::string_view pdf_header =
    "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n% evidence of a drag sweep by paneproof\n";

// The table of offsets (its lines as given), the trailer and the end.
std::string pdf_tail(std::size_t table_at, std::size_t count, const std::string& table, std::size_t catalog,
                     std::size_t info, const std::string& id_hex);

// The ICC profile of sRGB that the build took from Debian's icc-profiles-free.
std::string_view srgb_profile();

std::string media_type(const std::string& name);    // as a PDF name
std::string relationship(const std::string& name);  // AFRelationship
std::string part_words(const std::string& name);    // what an attachment is

}  // namespace paneproof
