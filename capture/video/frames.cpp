#include "capture/video/frames.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstring>

#include "capture/model/input_error.hpp"
#include "capture/video/reduce.hpp"

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/display.h>
#include <libavutil/pixdesc.h>
}

namespace paneproof::video {
namespace {

constexpr const char* read_containers = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,gif";
constexpr std::int64_t most_alone = 1 << 20;  // pixels of a picture that one thread decodes
constexpr const char* wanted = "expected a screen recording or film: mp4, mov, mkv, webm or gif";

std::string text_of(int code) {
  char text[AV_ERROR_MAX_STRING_SIZE] = "";
  av_strerror(code, text, sizeof text);
  return text;
}

// Clockwise turn that a viewer applies.
int turn_of(const AVStream* stream) {
  const std::uint8_t* matrix = av_stream_get_side_data(stream, AV_PKT_DATA_DISPLAYMATRIX, nullptr);
  if (!matrix) return 0;
  const double angle = av_display_rotation_get(reinterpret_cast<const std::int32_t*>(matrix));
  if (std::isnan(angle)) return 0;
  return ((static_cast<int>(std::lround(-angle / 90)) * 90) % 360 + 360) % 360;
}

}  // namespace

namespace {

// What a file is that is no recording, by its first bytes; "" when they do not tell. Sources: PNG (ISO/IEC
// 15948), JPEG (ITU-T T.81), RIFF, Ogg (RFC 3533), FLAC (RFC 9639), ID3v2, MPEG audio (ISO/IEC 11172-3).
std::string otherwise(const std::string& path) {
  unsigned char b[12] = {};
  if (std::FILE* file = std::fopen(path.c_str(), "rb")) {
    const std::size_t got = std::fread(b, 1, sizeof b, file);
    std::fclose(file);
    if (got < sizeof b) return "";
  }
  const auto starts = [&](const char* with, std::size_t from = 0) {
    return std::memcmp(b + from, with, std::strlen(with)) == 0;
  };
  if (starts("\x89PNG") || starts("\xFF\xD8\xFF") || starts("BM") || (starts("RIFF") && starts("WEBP", 8)))
    return "it is a still picture";
  if (starts("ID3") || starts("fLaC") || starts("OggS") || (starts("RIFF") && starts("WAVE", 8)) ||
      (b[0] == 0xFF && (b[1] & 0xE6) == 0xE2))
    return "it is a sound";
  if (starts("ftyp", 4)) return "its index is missing, as where an mp4 was cut off before its end";
  return "";
}

}  // namespace

struct Frames::Inner {
  std::string path;
  Limits limits;
  AVFormatContext* format = nullptr;
  AVCodecContext* codec = nullptr;
  AVPacket* packet = nullptr;
  AVFrame* frame = nullptr;
  int stream = -1, turn = 0;
  bool drained = false;
  std::int64_t first = AV_NOPTS_VALUE, last_us = -1;
  Plane upright;

  ~Inner() {
    av_frame_free(&frame);
    av_packet_free(&packet);
    avcodec_free_context(&codec);
    avformat_close_input(&format);
  }
  [[noreturn]] void refuse(const std::string& expected, const std::string& remedy,
                           Exit exit = Exit::bad_data) const {
    throw InputError(path, "", expected, remedy, exit);
  }
  void open();
  void check_size(int width, int height) const;
  const AVCodec* choose_stream();
  bool feed(bool& cut);
};

void Frames::Inner::check_size(int width, int height) const {
  if (width <= 0 || height <= 0) return;
  if (static_cast<std::int64_t>(width) * height > limits.most_pixels || width > 16384 || height > 16384)
    refuse("expected pictures of at most 64 million pixels and 16384 a side, but these are " +
               std::to_string(width) + " x " + std::to_string(height),
           "record the screen at its own size");
  if (width < 32 || height < 32)
    refuse("expected pictures of 32 x 32 pixels or more, but these are " + std::to_string(width) + " x " +
               std::to_string(height),
           "record the screen at its own size");
}

void Frames::Inner::open() {
  av_log_set_level(AV_LOG_QUIET);
  format = avformat_alloc_context();
  if (!format) throw std::bad_alloc();
  format->max_analyze_duration = 2 * AV_TIME_BASE;
  AVDictionary* options = nullptr;
  av_dict_set(&options, "format_whitelist", read_containers, 0);
  av_dict_set(&options, "protocol_whitelist", "file", 0);
  av_dict_set(&options, "ignore_editlist", "0", 0);
  const int code = avformat_open_input(&format, ("file:" + path).c_str(), nullptr, &options);
  av_dict_free(&options);
  if (code == AVERROR(ENOENT) || code == AVERROR(EACCES))
    refuse("expected a file to read, but: " + text_of(code), "check the name", Exit::no_input);
  if (code < 0) {
    const std::string what = otherwise(path);
    refuse(std::string(wanted) + ", but " +
               (what.empty() ? "its container cannot be read (" + text_of(code) + ")" : what),
           what.rfind("it is", 0) == 0 ? "hand in the recording of the screen itself"
                                       : "check that it plays, or record anew");
  }
}

const AVCodec* Frames::Inner::choose_stream() {
  const AVCodec* decoder = nullptr;
  const auto find = [&] { return av_find_best_stream(format, AVMEDIA_TYPE_VIDEO, -1, -1, &decoder, 0); };
  for (unsigned i = 0; i < format->nb_streams; ++i)
    if (format->streams[i]->codecpar->codec_type == AVMEDIA_TYPE_VIDEO)
      check_size(format->streams[i]->codecpar->width, format->streams[i]->codecpar->height);
  stream = find();
  if (stream < 0 || format->streams[stream]->codecpar->width <= 0 ||
      format->streams[stream]->codecpar->format < 0) {
    if (avformat_find_stream_info(format, nullptr) < 0 && stream < 0)
      refuse(std::string(wanted) + ", but it holds no stream that can be read", "check that it plays");
    stream = find();
  }
  if (stream == AVERROR_DECODER_NOT_FOUND)
    refuse("expected a video codec that can be read here, but this one is not known",
           "convert it to H.264 first");
  if (stream < 0)
    refuse(std::string(wanted) + ", but there is no video in it",
           "hand in the recording of the screen itself");
  const AVStream* chosen = format->streams[stream];
  if (chosen->disposition & AV_DISPOSITION_ATTACHED_PIC)
    refuse(std::string(wanted) + ", but there is only a cover picture in it",
           "hand in the recording of the screen itself");
  return decoder;
}

Frames::Frames(const std::string& path, const Limits& limits, int work_width) : inner_(new Inner) {
  Inner& in = *inner_;
  in.path = path;
  in.limits = limits;
  in.open();
  const AVCodec* decoder = in.choose_stream();
  const AVStream* stream = in.format->streams[in.stream];
  for (unsigned i = 0; i < in.format->nb_streams; ++i)
    if (static_cast<int>(i) != in.stream) in.format->streams[i]->discard = AVDISCARD_ALL;
  in.check_size(stream->codecpar->width, stream->codecpar->height);
  facts_.duration_s = in.format->duration > 0 ? in.format->duration * 1e-6
                      : stream->duration > 0  ? stream->duration * av_q2d(stream->time_base)
                                              : 0;
  if (facts_.duration_s > limits.longest_s)
    in.refuse("expected a recording of at most " + std::to_string(static_cast<int>(limits.longest_s / 60)) +
                  " minutes, but this one says " + std::to_string(static_cast<long>(facts_.duration_s / 60)),
              "cut it to the sweep");
  in.codec = avcodec_alloc_context3(decoder);
  if (!in.codec || avcodec_parameters_to_context(in.codec, stream->codecpar) < 0) throw std::bad_alloc();
  // Two threads cost a fifth more work than one: worth it only where one cannot keep up with the follower.
  const std::int64_t pixels = static_cast<std::int64_t>(stream->codecpar->width) * stream->codecpar->height;
  in.codec->thread_count = pixels <= most_alone ? 1 : 2;
  in.codec->thread_type = FF_THREAD_FRAME | FF_THREAD_SLICE;
  in.codec->max_pixels = limits.most_pixels;
  in.codec->pkt_timebase = stream->time_base;
  if (const int code = avcodec_open2(in.codec, decoder, nullptr); code < 0)
    in.refuse("expected a video codec that can be read here, but: " + text_of(code),
              "convert it to H.264 first");
  in.packet = av_packet_alloc();
  in.frame = av_frame_alloc();
  in.turn = turn_of(stream);
  const bool lies = in.turn % 180 != 0;
  facts_.width = lies ? stream->codecpar->height : stream->codecpar->width;
  facts_.height = lies ? stream->codecpar->width : stream->codecpar->height;
  while (std::min(facts_.width, facts_.height) >= 2 * facts_.shrink * work_width) facts_.shrink *= 2;
  facts_.codec = decoder->name;
  facts_.container = in.format->iformat->name;
}

Frames::~Frames() = default;

// Hands the decoder one packet, or tells it that there are no more.
bool Frames::Inner::feed(bool& cut) {
  for (;;) {
    const int code = av_read_frame(format, packet);
    if (code < 0) {
      if (code != AVERROR_EOF) cut = true;
      if (format->pb && format->pb->error) cut = true;
      drained = true;
      avcodec_send_packet(codec, nullptr);
      return false;
    }
    if (packet->stream_index == stream) {
      if (packet->flags & AV_PKT_FLAG_CORRUPT) cut = true;
      avcodec_send_packet(codec, packet);
      av_packet_unref(packet);
      return true;
    }
    av_packet_unref(packet);
  }
}

bool Frames::next(Frame& out) {
  Inner& in = *inner_;
  for (;;) {
    const int code = avcodec_receive_frame(in.codec, in.frame);
    if (code == AVERROR(EAGAIN)) {
      if (in.drained) return false;
      in.feed(cut_);
      continue;
    }
    if (code == AVERROR_EOF) return false;
    if (code < 0) {
      cut_ = true;
      if (++damaged_ > 100000) return false;
      continue;
    }
    const AVFrame& frame = *in.frame;
    if (frame.flags & AV_FRAME_FLAG_CORRUPT || frame.decode_error_flags) cut_ = true, ++damaged_;
    in.check_size(frame.width, frame.height);
    const std::int64_t stamp = frame.best_effort_timestamp;
    if (stamp == AV_NOPTS_VALUE) continue;  // a frame without a time proves nothing
    if (in.first == AV_NOPTS_VALUE) in.first = stamp;
    const AVRational base = in.format->streams[in.stream]->time_base;
    out.t_us = av_rescale_q(stamp - in.first, base, {1, 1000000});
    if (out.t_us < in.last_us) continue;  // out of order: damaged
    in.last_us = out.t_us;
    if (out.t_us > in.limits.longest_s * 1e6)
      in.refuse("expected a recording of at most " +
                    std::to_string(static_cast<int>(in.limits.longest_s / 60)) + " minutes",
                "cut it to the sweep");
    const bool lies = in.turn % 180 != 0;
    const int want_w = lies ? facts_.height : facts_.width, want_h = lies ? facts_.width : facts_.height;
    if (frame.width != want_w || frame.height != want_h)
      in.refuse("expected pictures of one size, but they change from " + std::to_string(want_w) + " x " +
                    std::to_string(want_h) + " to " + std::to_string(frame.width) + " x " +
                    std::to_string(frame.height),
                "record again without turning the device");
    if (!reduce(frame, facts_.shrink, in.turn == 0 ? out.plane : in.upright))
      in.refuse(std::string("expected pictures with a brightness plane, but these are of kind ") +
                    (av_get_pix_fmt_name(static_cast<AVPixelFormat>(frame.format))
                         ? av_get_pix_fmt_name(static_cast<AVPixelFormat>(frame.format))
                         : "unknown"),
                "convert it to H.264 first");
    if (in.turn) turn(in.upright, in.turn, out.plane);
    av_frame_unref(in.frame);
    return true;
  }
}

}  // namespace paneproof::video
