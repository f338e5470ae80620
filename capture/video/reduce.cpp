#include "capture/video/reduce.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#ifdef __SSE2__
#include <emmintrin.h>
#endif

extern "C" {
#include <libavutil/frame.h>
#include <libavutil/pixdesc.h>
}

namespace paneproof::video {
namespace {

// Adds a row of bytes to column sums.
void add_row(const std::uint8_t* row, std::uint16_t* sums, int count, bool first) {
  if (first)
    for (int x = 0; x < count; ++x) sums[x] = row[x];
  else
    for (int x = 0; x < count; ++x) sums[x] = static_cast<std::uint16_t>(sums[x] + row[x]);
}

// Means of `k` neighbours each of a row of column sums, k a power of two.
void means_of(int k, const std::uint16_t* sums, std::uint8_t* out, int count) {
  const int shift = 2 * std::countr_zero(static_cast<unsigned>(k)), half = (1 << shift) >> 1;
  for (int x = 0; x < count; ++x) {
    int sum = half;
    for (int i = 0; i < k; ++i) sum += sums[x * k + i];
    out[x] = static_cast<std::uint8_t>(sum >> shift);
  }
}

#ifdef __SSE2__
// Of sixteen bytes from `at`: the sum of each two neighbours.
__m128i pairs(const std::uint8_t* at) {
  const __m128i v = _mm_loadu_si128(reinterpret_cast<const __m128i*>(at));
  return _mm_add_epi16(_mm_and_si128(v, _mm_set1_epi16(255)), _mm_srli_epi16(v, 8));
}
#endif

// Means of squares of 4 x 4.
void quarter(const std::array<const std::uint8_t*, 4>& rows, std::uint8_t* out, int count) {
  int x = 0;
#ifdef __SSE2__
  const __m128i ones = _mm_set1_epi16(1), half = _mm_set1_epi32(8);
  const auto four = [&](int at) {  // means, from 16 pixels on
    const __m128i sum = _mm_add_epi16(_mm_add_epi16(pairs(rows[0] + at), pairs(rows[1] + at)),
                                      _mm_add_epi16(pairs(rows[2] + at), pairs(rows[3] + at)));
    return _mm_srli_epi32(_mm_add_epi32(_mm_madd_epi16(sum, ones), half), 4);
  };
  for (; x + 8 <= count; x += 8) {
    const __m128i eight = _mm_packs_epi32(four(4 * x), four(4 * x + 16));
    _mm_storel_epi64(reinterpret_cast<__m128i*>(out + x), _mm_packus_epi16(eight, eight));
  }
#endif
  for (; x < count; ++x) {
    int sum = 8;
    for (const std::uint8_t* row : rows)
      for (int i = 0; i < 4; ++i) sum += row[4 * x + i];
    out[x] = static_cast<std::uint8_t>(sum >> 4);
  }
}

// ITU-R BT.601: of red, green and blue, in 1/256.
constexpr std::array<std::uint8_t, 3> weights{77, 150, 29};

// Of pixels of four bytes, as a gif's are, four pixels at once: how many were done. `offsets`: of red, green
// and blue among the four.
int luma_of_fours([[maybe_unused]] const std::uint8_t* pixels, [[maybe_unused]] std::array<int, 3> offsets,
                  [[maybe_unused]] std::uint8_t* out, [[maybe_unused]] int count) {
  int x = 0;
#ifdef __SSE2__
  std::int16_t of[8] = {};
  for (std::size_t i = 0; i < 3; ++i) of[offsets[i]] = of[4 + offsets[i]] = weights[i];
  const __m128i weight = _mm_loadu_si128(reinterpret_cast<const __m128i*>(of)), none = _mm_setzero_si128();
  const auto two = [&](__m128i bytes) {  // in the even ones of four numbers
    const __m128i sums = _mm_madd_epi16(bytes, weight);
    return _mm_castsi128_ps(_mm_srli_epi32(_mm_add_epi32(sums, _mm_srli_epi64(sums, 32)), 8));
  };
  for (; x + 4 <= count; x += 4) {
    const __m128i four = _mm_loadu_si128(reinterpret_cast<const __m128i*>(pixels + 4 * x));
    const __m128i all = _mm_castps_si128(
        _mm_shuffle_ps(two(_mm_unpacklo_epi8(four, none)), two(_mm_unpackhi_epi8(four, none)), 0x88));
    const __m128i words = _mm_packs_epi32(all, all);
    const int told = _mm_cvtsi128_si32(_mm_packus_epi16(words, words));
    std::memcpy(out + x, &told, sizeof told);
  }
#endif
  return x;
}

// Rows of luma as bytes; four that follow each other may be at hand at once.
class Rows {
 public:
  explicit Rows(const AVFrame& frame)
      : frame_(frame),
        format_(static_cast<AVPixelFormat>(frame.format)),
        described_(av_pix_fmt_desc_get(format_)) {
    if (!described_) return;
    const bool rgb = described_->flags & (AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL);
    depth_ = described_->comp[0].depth;
    if (described_->flags & (AV_PIX_FMT_FLAG_HWACCEL | AV_PIX_FMT_FLAG_BITSTREAM | AV_PIX_FMT_FLAG_BE |
                             AV_PIX_FMT_FLAG_BAYER | AV_PIX_FMT_FLAG_FLOAT))
      return;
    if (described_->flags & AV_PIX_FMT_FLAG_PAL)
      kind_ = palette;
    else if (rgb && described_->nb_components >= 3 && depth_ == 8)
      kind_ = colours;
    else if (!rgb && depth_ == 8 && described_->comp[0].step == 1)
      kind_ = bytes;
    else if (!rgb && depth_ > 8 && depth_ <= 16 && described_->comp[0].step == 2)
      kind_ = words;
    if (kind_ != bytes)
      for (auto& row : row_) row.resize(static_cast<std::size_t>(frame.width));
    if (kind_ == palette)
      for (int i = 0; i < 256; ++i) {
        const std::uint32_t c = reinterpret_cast<const std::uint32_t*>(frame.data[1])[i];
        table_[i] = luma(c >> 16 & 255, c >> 8 & 255, c & 255);
      }
  }
  bool known() const { return kind_ != none; }
  const std::uint8_t* at(int y) {
    std::vector<std::uint8_t>& row = row_[static_cast<std::size_t>(y) % row_.size()];
    const std::uint8_t* p = frame_.data[0] + static_cast<std::ptrdiff_t>(y) * frame_.linesize[0];
    if (kind_ == bytes) return p + described_->comp[0].offset;
    if (kind_ == words) {
      const auto* w = reinterpret_cast<const std::uint16_t*>(p);
      const int shift = depth_ - 8 + described_->comp[0].shift;
      for (int x = 0; x < frame_.width; ++x) row[x] = static_cast<std::uint8_t>(w[x] >> shift);
    } else if (kind_ == palette) {
      for (int x = 0; x < frame_.width; ++x) row[x] = table_[p[x]];
    } else {
      const std::uint8_t* c[3];
      for (int i = 0; i < 3; ++i)
        c[i] = frame_.data[described_->comp[i].plane] +
               static_cast<std::ptrdiff_t>(y) * frame_.linesize[described_->comp[i].plane] +
               described_->comp[i].offset;
      const int step = described_->comp[0].step;
      int x = 0;
      const bool packed = step == 4 && described_->comp[0].plane == described_->comp[1].plane &&
                          described_->comp[0].plane == described_->comp[2].plane;
      if (packed) x = luma_of_fours(c[0] - described_->comp[0].offset, offsets(), row.data(), frame_.width);
      for (; x < frame_.width; ++x) row[x] = luma(c[0][x * step], c[1][x * step], c[2][x * step]);
    }
    return row.data();
  }

 private:
  static std::uint8_t luma(unsigned r, unsigned g, unsigned b) {
    return static_cast<std::uint8_t>((weights[0] * r + weights[1] * g + weights[2] * b) >> 8);
  }
  std::array<int, 3> offsets() const {
    return {described_->comp[0].offset, described_->comp[1].offset, described_->comp[2].offset};
  }
  const AVFrame& frame_;
  AVPixelFormat format_;
  const AVPixFmtDescriptor* described_;
  enum { none, bytes, words, palette, colours } kind_ = none;
  int depth_ = 8;
  std::array<std::vector<std::uint8_t>, 4> row_;
  std::uint8_t table_[256] = {};
};

}  // namespace

void halve_rows(const std::uint8_t* upper, const std::uint8_t* lower, std::uint8_t* out, int count) {
  int x = 0;
#ifdef __SSE2__
  const auto eight = [&](int at) {  // means, from 16 pixels on
    const __m128i sum = _mm_add_epi16(pairs(upper + at), pairs(lower + at));
    return _mm_srli_epi16(_mm_add_epi16(sum, _mm_set1_epi16(2)), 2);
  };
  for (; x + 16 <= count; x += 16)
    _mm_storeu_si128(reinterpret_cast<__m128i*>(out + x), _mm_packus_epi16(eight(2 * x), eight(2 * x + 16)));
#endif
  for (; x < count; ++x)
    out[x] = static_cast<std::uint8_t>(
        (upper[2 * x] + upper[2 * x + 1] + lower[2 * x] + lower[2 * x + 1] + 2) >> 2);
}

bool reduce(const AVFrame& frame, int shrink, Plane& out) {
  Rows rows(frame);
  if (!rows.known()) return false;
  out.width = frame.width / shrink;
  out.height = frame.height / shrink;
  out.luma.resize(static_cast<std::size_t>(out.width) * out.height);
  std::vector<std::uint16_t> sums(static_cast<std::size_t>(out.width) * shrink);
  const int across = out.width * shrink;
  for (int y = 0; y < out.height; ++y) {
    if (shrink == 1) {
      std::copy_n(rows.at(y), out.width, out.row(y));
      continue;
    }
    if (shrink == 2) {
      halve_rows(rows.at(2 * y), rows.at(2 * y + 1), out.row(y), out.width);
      continue;
    }
    if (shrink == 4) {
      quarter({rows.at(4 * y), rows.at(4 * y + 1), rows.at(4 * y + 2), rows.at(4 * y + 3)}, out.row(y),
              out.width);
      continue;
    }
    for (int k = 0; k < shrink; ++k) add_row(rows.at(y * shrink + k), sums.data(), across, k == 0);
    means_of(shrink, sums.data(), out.row(y), out.width);
  }
  return true;
}

void turn(const Plane& in, int degrees, Plane& out) {
  const bool lies = degrees % 180 != 0;
  out.width = lies ? in.height : in.width;
  out.height = lies ? in.width : in.height;
  out.luma.resize(in.luma.size());
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      const int sx = degrees == 90 ? y : degrees == 180 ? in.width - 1 - x : in.width - 1 - y;
      const int sy = degrees == 90 ? in.height - 1 - x : degrees == 180 ? in.height - 1 - y : x;
      out.row(y)[x] = in.row(sy)[sx];
    }
}

}  // namespace paneproof::video
