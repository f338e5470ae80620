#include "capture/watch/media.hpp"

#include <sys/stat.h>

#include <cstdio>

namespace paneproof {
namespace {

bool at(std::string_view head, std::size_t place, std::string_view what) {
  return head.size() >= place + what.size() && head.substr(place, what.size()) == what;
}

}  // namespace

bool is_media(std::string_view head) {
  using namespace std::string_view_literals;
  for (const std::string_view box :
       {"ftyp"sv, "moov"sv, "mdat"sv, "free"sv, "wide"sv, "skip"sv, "pnot"sv, "moof"sv})
    if (at(head, 4, box)) return true;
  for (const std::string_view start :
       {"\x1A\x45\xDF\xA3"sv, "GIF87a"sv, "GIF89a"sv, "\x89PNG\r\n"sv, "\xFF\xD8\xFF"sv, "OggS"sv, "fLaC"sv,
        "ID3"sv, "\x00\x00\x01\xBA"sv, "\x00\x00\x01\xB3"sv, "FLV\x01"sv, "\x30\x26\xB2\x75"sv, "#!AMR"sv,
        ".snd"sv, "II*\x00"sv, "MM\x00*"sv, "8BPS"sv})
    if (at(head, 0, start)) return true;
  if (at(head, 0, "BM"sv) && at(head, 6, "\x00\x00\x00\x00"sv)) return true;
  if (at(head, 0, "RIFF"sv)) return at(head, 8, "WAVE"sv) || at(head, 8, "AVI "sv) || at(head, 8, "WEBP"sv);
  return at(head, 0, "\xFF\xFB"sv) || at(head, 0, "\xFF\xF3"sv) ||
         at(head, 0, "\xFF\xF1"sv);  // MPEG audio without tags
}

bool is_media_file(const std::string& path) {
  struct stat facts {};
  if (path == "-" || stat(path.c_str(), &facts) != 0 || !S_ISREG(facts.st_mode)) return false;
  std::FILE* file = std::fopen(path.c_str(), "rb");
  if (!file) return false;
  char head[64];
  const std::size_t got = std::fread(head, 1, sizeof head, file);
  std::fclose(file);
  return is_media({head, got});
}

}  // namespace paneproof
