#include "analyzer/report/png.hpp"

#include <png.h>

#include <algorithm>
#include <stdexcept>

#include "analyzer/report/cairo_page.hpp"
#include "analyzer/report/palette.hpp"

namespace paneproof {
namespace {

constexpr int strip_height = 64;

[[noreturn]] void refuse(png_structp, png_const_charp message) {
  throw std::runtime_error(std::string("PNG: ") + message);
}

void append_bytes(png_structp png, png_bytep bytes, png_size_t count) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<const char*>(bytes), count);
}

// The writer of libpng, into a string. Its only errors here are lack of memory; the exception passes
// through its frames, which Debian builds with unwind tables.
class PngFile {
 public:
  explicit PngFile(std::string& out)
      : png_(png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, refuse, nullptr)),
        info_(png_ ? png_create_info_struct(png_) : nullptr) {
    if (!info_) {
      png_destroy_write_struct(&png_, &info_);
      throw std::runtime_error("PNG: no memory");
    }
    png_set_write_fn(png_, &out, append_bytes, nullptr);
  }
  ~PngFile() { png_destroy_write_struct(&png_, &info_); }
  PngFile(const PngFile&) = delete;
  PngFile& operator=(const PngFile&) = delete;

  void begin(int width, int height, const std::vector<Colour>& colours) {
    png_set_IHDR(png_, info_, static_cast<png_uint_32>(width), static_cast<png_uint_32>(height), 8,
                 PNG_COLOR_TYPE_PALETTE, PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT,
                 PNG_FILTER_TYPE_DEFAULT);
    std::vector<png_color> palette;
    for (const Colour& colour : colours) palette.push_back({colour.red, colour.green, colour.blue});
    png_set_PLTE(png_, info_, palette.data(), static_cast<int>(palette.size()));
    png_set_compression_level(png_, 1);
    png_set_filter(png_, PNG_FILTER_TYPE_BASE, PNG_FILTER_NONE);
    png_set_check_for_invalid_index(png_, 0);  // ours are valid; looking costs a third of the writing
    png_write_info(png_, info_);
  }
  void row(const std::uint8_t* entries) { png_write_row(png_, entries); }
  void end() { png_write_end(png_, info_); }

 private:
  png_structp png_;
  png_infop info_;
};

// Most pixels repeat the one before them.
void fill_entries(std::vector<std::uint8_t>& entries, const std::uint32_t* pixels, Palette& palette) {
  std::uint32_t last = pixels[0];
  std::uint8_t entry = palette.entry(last);
  for (std::size_t x = 0; x < entries.size(); ++x) {
    if (pixels[x] != last) entry = palette.entry(last = pixels[x]);
    entries[x] = entry;
  }
}

}  // namespace

std::string paint_png(const Picture& picture) {
  std::string out;
  Palette palette(picture);
  CairoStrip strip(picture, strip_height);
  const int width = strip.width(), height = static_cast<int>(picture.height);
  PngFile file(out);
  file.begin(width, height, palette.colours());
  std::vector<std::uint8_t> entries(static_cast<std::size_t>(width));
  for (int top = 0; top < height; top += strip_height) {
    strip.draw(top);
    for (int y = 0; y < std::min(strip_height, height - top); ++y) {
      fill_entries(entries, strip.row(y), palette);
      file.row(entries.data());
    }
  }
  file.end();
  return out;
}

}  // namespace paneproof
