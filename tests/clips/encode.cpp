#include "tests/clips/encode.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/display.h>
#include <libavutil/opt.h>
}

namespace paneproof::clips {

struct ClipWriter::Inner {
  AVFormatContext* format = nullptr;
  AVCodecContext* codec = nullptr;
  AVStream* stream = nullptr;
  AVFrame* frame = nullptr;
  AVPacket* packet = nullptr;
  EncodeOptions options;
  std::int64_t last = AV_NOPTS_VALUE;
  void drain();
};

namespace {
void must(int code, const char* what) {
  if (code < 0) throw std::runtime_error(std::string("cannot encode: ") + what);
}
}  // namespace

ClipWriter::ClipWriter(const std::string& path, int width, int height, const EncodeOptions& options)
    : inner_(new Inner) {
  Inner& in = *inner_;
  in.options = options;
  av_log_set_level(AV_LOG_ERROR);
  must(avformat_alloc_output_context2(&in.format, nullptr, nullptr, path.c_str()), "container");
  const AVCodec* codec = avcodec_find_encoder_by_name(options.codec.c_str());
  if (!codec) throw std::runtime_error("no encoder " + options.codec);
  in.codec = avcodec_alloc_context3(codec);
  const bool turned = options.rotate_deg % 180 != 0;
  in.codec->width = turned ? height : width;
  in.codec->height = turned ? width : height;
  in.codec->pix_fmt = options.codec == "gif" ? AV_PIX_FMT_GRAY8
                      : options.ten_bit      ? AV_PIX_FMT_YUV420P10LE
                                             : AV_PIX_FMT_YUV420P;
  in.codec->color_range = options.full_range ? AVCOL_RANGE_JPEG : AVCOL_RANGE_MPEG;
  in.codec->time_base = options.codec == "mpeg4" ? AVRational{1, 1000}
                        : options.codec == "gif" ? AVRational{1, 100}
                                                 : AVRational{1, 90000};
  in.codec->gop_size = 250;
  in.codec->thread_count = 2;
  if (in.format->oformat->flags & AVFMT_GLOBALHEADER) in.codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER;
  if (options.codec == "mpeg4")
    in.codec->flags |= AV_CODEC_FLAG_QSCALE, in.codec->global_quality = 4 * FF_QP2LAMBDA;
  av_opt_set(in.codec->priv_data, "preset", "veryfast", 0);
  av_opt_set_int(in.codec->priv_data, "crf", options.quality, 0);
  av_opt_set(in.codec->priv_data, "x265-params", "log-level=error", 0);
  if (options.codec.rfind("libvpx", 0) == 0) {
    av_opt_set(in.codec->priv_data, "deadline", "realtime", 0);
    av_opt_set_int(in.codec->priv_data, "cpu-used", 8, 0);
  }
  must(avcodec_open2(in.codec, codec, nullptr), "codec");
  in.stream = avformat_new_stream(in.format, nullptr);
  must(avcodec_parameters_from_context(in.stream->codecpar, in.codec), "parameters");
  in.stream->time_base = in.codec->time_base;
  if (options.rotate_deg && std::string(in.format->oformat->name) == "matroska")
    throw std::runtime_error("this muxer keeps no turn in Matroska (ffprobe shows none): use mp4 or mov");
  if (options.rotate_deg) {
    auto* matrix =
        reinterpret_cast<std::int32_t*>(av_stream_new_side_data(in.stream, AV_PKT_DATA_DISPLAYMATRIX, 9 * 4));
    av_display_rotation_set(matrix, -options.rotate_deg);
  }
  must(avio_open(&in.format->pb, path.c_str(), AVIO_FLAG_WRITE), "file");
  must(avformat_write_header(in.format, nullptr), "header");
  in.frame = av_frame_alloc();
  in.frame->format = in.codec->pix_fmt;
  in.frame->width = in.codec->width;
  in.frame->height = in.codec->height;
  must(av_frame_get_buffer(in.frame, 0), "frame");
  in.packet = av_packet_alloc();
}

void ClipWriter::Inner::drain() {
  while (avcodec_receive_packet(codec, packet) >= 0) {
    packet->stream_index = stream->index;
    if (packet->duration <= 0)
      packet->duration = std::max<std::int64_t>(1, codec->time_base.den / codec->time_base.num / 60);
    av_packet_rescale_ts(packet, codec->time_base, stream->time_base);
    must(av_interleaved_write_frame(format, packet), "packet");
  }
}

void ClipWriter::add(const Canvas& canvas, std::int64_t t_us) {
  Inner& in = *inner_;
  must(av_frame_make_writable(in.frame), "frame");
  const bool ten = in.options.ten_bit, wide = in.options.full_range || in.options.codec == "gif";
  for (int y = 0; y < in.frame->height; ++y)
    for (int x = 0; x < in.frame->width; ++x) {
      // Stored so that a viewer who turns clockwise by rotate_deg sees the canvas upright.
      int cx = x, cy = y;
      if (in.options.rotate_deg == 90) cx = y, cy = canvas.height - 1 - x;
      if (in.options.rotate_deg == 270) cx = canvas.width - 1 - y, cy = x;
      if (in.options.rotate_deg == 180) cx = canvas.width - 1 - x, cy = canvas.height - 1 - y;
      const double luma =
          std::clamp<double>(canvas.luma[static_cast<std::size_t>(cy) * canvas.width + cx], 0, 255);
      const double level = wide ? luma : 16 + luma * 219 / 255;
      std::uint8_t* row = in.frame->data[0] + static_cast<std::ptrdiff_t>(y) * in.frame->linesize[0];
      if (ten)
        reinterpret_cast<std::uint16_t*>(row)[x] = static_cast<std::uint16_t>(std::lround(level * 4));
      else
        row[x] = static_cast<std::uint8_t>(std::lround(level));
    }
  for (int plane = 1; plane < 3 && in.frame->data[plane]; ++plane)
    for (int y = 0; y < in.frame->height / 2; ++y)
      for (int x = 0; x < in.frame->width / 2; ++x) {
        std::uint8_t* row =
            in.frame->data[plane] + static_cast<std::ptrdiff_t>(y) * in.frame->linesize[plane];
        if (ten)
          reinterpret_cast<std::uint16_t*>(row)[x] = 512;
        else
          row[x] = 128;
      }
  in.frame->pts = av_rescale_q(t_us, {1, 1000000}, in.codec->time_base);
  if (in.last != AV_NOPTS_VALUE && in.frame->pts <= in.last) in.frame->pts = in.last + 1;
  in.last = in.frame->pts;
  must(avcodec_send_frame(in.codec, in.frame), "send");
  in.drain();
}

void ClipWriter::finish() {
  Inner& in = *inner_;
  avcodec_send_frame(in.codec, nullptr);
  in.drain();
  must(av_write_trailer(in.format), "trailer");
}

ClipWriter::~ClipWriter() {
  if (inner_->format && inner_->format->pb) avio_closep(&inner_->format->pb);
  avformat_free_context(inner_->format);
  avcodec_free_context(&inner_->codec);
  av_frame_free(&inner_->frame);
  av_packet_free(&inner_->packet);
  delete inner_;
}

}  // namespace paneproof::clips
