#include "capture/bytes/source.hpp"

#include <unistd.h>
#include <zlib.h>
#include <zstd.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <random>

#include "capture/model/input_error.hpp"

using namespace paneproof;
using namespace std::string_literals;

namespace {

std::string gzip(const std::string& plain) {
  z_stream stream = {};
  deflateInit2(&stream, 6, Z_DEFLATED, 16 + MAX_WBITS, 8, Z_DEFAULT_STRATEGY);
  std::string out(deflateBound(&stream, plain.size()) + 64, '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(plain.data()));
  stream.avail_in = static_cast<uInt>(plain.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  deflate(&stream, Z_FINISH);
  out.resize(stream.total_out);
  deflateEnd(&stream);
  return out;
}

std::string zstd(const std::string& plain) {
  std::string out(ZSTD_compressBound(plain.size()), '\0');
  out.resize(ZSTD_compress(out.data(), out.size(), plain.data(), plain.size(), 3));
  return out;
}

std::string utf16(const std::string& ascii, bool big, bool mark) {
  std::string out = mark ? (big ? "\xfe\xff"s : "\xff\xfe"s) : ""s;
  for (const char c : ascii) out += big ? std::string{'\0', c} : std::string{c, '\0'};
  return out;
}

std::string all(Source& source) {
  std::string out;
  for (std::string_view block = source.read(); !block.empty(); block = source.read()) out += block;
  return out;
}

std::string all(const std::string& bytes, const OpenOptions& options = {}) {
  return all(*memory_source("m", bytes, options));
}

int exit_of(const std::string& path) {
  try {
    all(*open_source(path));
  } catch (const InputError& error) {
    return static_cast<int>(error.exit);
  }
  return 0;
}

// Text that hardly compresses, so that blocks matter.
std::string noise(std::size_t size, unsigned seed) {
  std::mt19937 random(seed);
  std::string out(size, ' ');
  for (char& c : out) c = static_cast<char>('a' + random() % 26);
  return out;
}

}  // namespace

TEST_CASE("plain, gzip and zstd bytes of any size come out as they went in") {
  for (const std::size_t size : {1u, 3u, 65536u, 262144u, 262145u, 1000003u}) {
    CAPTURE(size);
    const std::string plain = noise(size, 7);
    CHECK((all(plain) == plain));
    CHECK((all(gzip(plain)) == plain));
    CHECK((all(zstd(plain)) == plain));
    CHECK((all(gzip(plain) + gzip("tail")) == plain + "tail"));
    CHECK((all(zstd(plain) + zstd("tail")) == plain + "tail"));
  }
}

TEST_CASE("rubbish after the last gzip member is left out, as gzip(1) does") {
  const std::string bytes = gzip("good text") + std::string(100, '\0');
  const auto source = memory_source("m", bytes);
  CHECK(all(*source) == "good text");
  CHECK_FALSE(source->cut());
}

TEST_CASE("a compressed stream cut at any byte gives a prefix and says so, or is refused when empty") {
  const std::string plain = noise(3000, 11);
  for (const std::string& whole : {gzip(plain), zstd(plain)})
    for (std::size_t length = 4; length < whole.size(); length += 7) {
      CAPTURE(length);
      const std::string cut = whole.substr(0, length);
      try {
        const auto source = memory_source("m", cut);
        const std::string got = all(*source);
        REQUIRE(plain.substr(0, got.size()) == got);
        REQUIRE_FALSE(got.empty());
        REQUIRE(source->cut());
      } catch (const InputError& error) {
        REQUIRE(error.exit == Exit::bad_data);
      }
    }
}

TEST_CASE("UTF-16 in both orders, with and without its mark, comes out as UTF-8") {
  const std::string line = "[    1807.354865] EV_SYN\r\nnext\r\n";
  for (const bool big : {false, true})
    for (const bool mark : {false, true}) {
      CAPTURE(big, mark);
      CHECK(all(utf16(line, big, mark)) == line);
    }
  // U+00E9, U+20AC, U+1F600 (a surrogate pair), a lone surrogate: the Unicode Standard, 3.9.
  CHECK(all("\xff\xfe\xe9\x00\xac\x20\x3d\xd8\x00\xde\x00\xd8\x41\x00"s) ==
        "\xc3\xa9\xe2\x82\xac\xf0\x9f\x98\x80\xef\xbf\xbd"s + "A");
}

TEST_CASE("UTF-16 whose characters straddle the blocks of the file is whole") {
  const std::string plain = noise(600000, 3);
  CHECK((all(utf16(plain, false, true)) == plain));
  CHECK((all(gzip(utf16("line\n" + plain, true, false))) == "line\n" + plain));
}

TEST_CASE("the UTF-8 byte order mark is taken off, and not out of binary data") {
  CHECK(all("\xef\xbb\xbftext") == "text");
  CHECK(all("\xef\xbb\xbf\0\0\0\0\0"s) == "\xef\xbb\xbf\0\0\0\0\0"s);
  CHECK(all("\xff\xfe\0\0\0\0\0\0"s) == "\xff\xfe\0\0\0\0\0\0"s);
}

TEST_CASE("the head can be looked at without being used up") {
  const std::string plain = noise(700000, 5);
  const auto source = memory_source("m", plain);
  CHECK(source->head(10).substr(0, 10) == plain.substr(0, 10));
  CHECK((source->head(300000).substr(0, 300000) == plain.substr(0, 300000)));
  CHECK((all(*source) == plain));
  CHECK(memory_source("m", "")->head().empty());
}

TEST_CASE("a small file that unpacks without end is refused at the bound") {
  const std::string bomb = gzip(std::string(5000000, 'a'));
  REQUIRE(bomb.size() < 10000);
  CHECK_THROWS_AS(all(bomb, {.largest_bytes = 1000000}), InputError);
  CHECK(all(bomb, {.largest_bytes = 5000000}).size() == 5000000);
}

TEST_CASE("the hash is of the stored bytes, read or not") {
  // SHA-256("abc"): FIPS 180-2, appendix B.1.
  const std::string of_abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
  const auto read = memory_source("m", "abc", {.hash = true});
  all(*read);
  CHECK(sha256_of(*read) == of_abc);
  const auto unread = memory_source("m", "abc", {.hash = true});
  CHECK(sha256_of(*unread) == of_abc);
  CHECK(sha256_of(*memory_source("m", "abc")).empty());
}

TEST_CASE("no such file, a folder and a file without permission are exit 66") {
  CHECK(exit_of("/no/such/file") == 66);
  CHECK(exit_of("/") == 66);
  char path[] = "/tmp/paneproof-source-XXXXXX";
  const int fd = mkstemp(path);
  REQUIRE(fd >= 0);
  close(fd);
  CHECK(exit_of(path) == 0);
  unlink(path);
}
