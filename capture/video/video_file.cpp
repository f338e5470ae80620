#include "capture/video/video_file.hpp"

#include <algorithm>
#include <exception>

#include "capture/bytes/atomic_file.hpp"
#include "capture/model/input_error.hpp"

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/opt.h>
}

namespace paneproof::video {

struct VideoFile::Inner {
  explicit Inner(const std::string& path) : file(path) {}
  AtomicFile file;
  std::exception_ptr failed;  // by the file, while the libraries wrote
  AVFormatContext* format = nullptr;
  AVCodecContext* codec = nullptr;
  AVStream* stream = nullptr;
  AVFrame* frame = nullptr;
  AVPacket* packet = nullptr;
  AVIOContext* io = nullptr;
  std::int64_t last = -1;
  ~Inner() {
    if (io) av_freep(&io->buffer);
    avio_context_free(&io);
    avformat_free_context(format);
    avcodec_free_context(&codec);
    av_frame_free(&frame);
    av_packet_free(&packet);
  }
  void must(int code, const char* what) const {
    if (failed) std::rethrow_exception(failed);
    if (code < 0)
      throw InputError("", "", std::string("an annotated video, but it cannot be encoded (") + what + ")",
                       "install the libraries of ffmpeg with their encoders", Exit::software);
  }
  void drain() {
    while (avcodec_receive_packet(codec, packet) >= 0) {
      packet->stream_index = stream->index;
      av_packet_rescale_ts(packet, codec->time_base, stream->time_base);
      must(av_interleaved_write_frame(format, packet), "packet");
    }
  }
};

namespace {

int write_some(void* opaque, std::uint8_t* bytes, int size);

}  // namespace

VideoFile::VideoFile(const std::string& path, int width, int height) : inner_(std::make_unique<Inner>(path)) {
  Inner& in = *inner_;
  in.must(avformat_alloc_output_context2(&in.format, nullptr, "mp4", nullptr), "container");
  const AVCodec* codec = avcodec_find_encoder_by_name("libx264");
  if (!codec) codec = avcodec_find_encoder(AV_CODEC_ID_MPEG4);
  in.must(codec ? 0 : -1, "no encoder");
  in.codec = avcodec_alloc_context3(codec);
  in.codec->width = width & ~1, in.codec->height = height & ~1;
  in.codec->pix_fmt = AV_PIX_FMT_YUV420P;
  in.codec->color_range = AVCOL_RANGE_MPEG;
  in.codec->colorspace = AVCOL_SPC_SMPTE170M;
  in.codec->time_base = {1, 1000};
  in.codec->flags |= AV_CODEC_FLAG_GLOBAL_HEADER | AV_CODEC_FLAG_QSCALE;
  in.codec->global_quality = 4 * FF_QP2LAMBDA;
  in.codec->max_b_frames = 0;
  av_opt_set(in.codec->priv_data, "preset", "veryfast", 0);
  av_opt_set(in.codec->priv_data, "crf", "24", 0);
  in.must(avcodec_open2(in.codec, codec, nullptr), "codec");
  in.stream = avformat_new_stream(in.format, nullptr);
  in.must(avcodec_parameters_from_context(in.stream->codecpar, in.codec), "parameters");
  in.stream->time_base = in.codec->time_base;
  constexpr int block = 1 << 16;
  in.io = avio_alloc_context(static_cast<unsigned char*>(av_malloc(block)), block, 1, &in, nullptr,
                             write_some, nullptr);
  in.format->pb = in.io;
  in.format->flags |= AVFMT_FLAG_CUSTOM_IO;
  AVDictionary* options = nullptr;
  av_dict_set(&options, "movflags", "frag_keyframe+empty_moov+default_base_moof", 0);
  const int code = avformat_write_header(in.format, &options);
  av_dict_free(&options);
  in.must(code, "header");
  in.frame = av_frame_alloc();
  in.frame->format = in.codec->pix_fmt, in.frame->width = in.codec->width,
  in.frame->height = in.codec->height;
  in.must(av_frame_get_buffer(in.frame, 0), "frame");
  in.packet = av_packet_alloc();
}

namespace {

int write_some(void* opaque, std::uint8_t* bytes, int size) {
  auto& in = *static_cast<VideoFile::Inner*>(opaque);
  try {
    in.file.write({reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size)});
  } catch (...) {  // not through C: told when the library is back
    in.failed = std::current_exception();
    return AVERROR(EIO);
  }
  return size;
}

}  // namespace

VideoFile::~VideoFile() = default;

void VideoFile::add(const Picture& picture, std::int64_t t_us) {
  Inner& in = *inner_;
  in.must(av_frame_make_writable(in.frame), "frame");
  for (int y = 0; y < in.frame->height; ++y) {
    std::uint8_t* row = in.frame->data[0] + static_cast<std::ptrdiff_t>(y) * in.frame->linesize[0];
    const std::uint8_t* from = picture.luma.row(y);
    for (int x = 0; x < in.frame->width; ++x) row[x] = static_cast<std::uint8_t>(16 + from[x] * 219 / 255);
  }
  const int half = (picture.luma.width + 1) / 2;
  for (int y = 0; y < in.frame->height / 2; ++y) {
    std::copy_n(picture.u.data() + static_cast<std::ptrdiff_t>(y) * half, in.frame->width / 2,
                in.frame->data[1] + static_cast<std::ptrdiff_t>(y) * in.frame->linesize[1]);
    std::copy_n(picture.v.data() + static_cast<std::ptrdiff_t>(y) * half, in.frame->width / 2,
                in.frame->data[2] + static_cast<std::ptrdiff_t>(y) * in.frame->linesize[2]);
  }
  in.frame->pts = std::max(in.last + 1, t_us / 1000);
  in.last = in.frame->pts;
  in.must(avcodec_send_frame(in.codec, in.frame), "send");
  in.drain();
}

void VideoFile::commit() {
  Inner& in = *inner_;
  avcodec_send_frame(in.codec, nullptr);
  in.drain();
  in.must(av_write_trailer(in.format), "trailer");
  avio_flush(in.io);
  in.must(0, "file");
  in.file.commit();
}

void write_png(const std::string& path, const Plane& plane) {
  const AVCodec* codec = avcodec_find_encoder(AV_CODEC_ID_PNG);
  const auto fail = [&] {
    throw InputError(path, "", "a picture, but it cannot be encoded", "install the libraries of ffmpeg",
                     Exit::software);
  };
  if (!codec) fail();
  AVCodecContext* context = avcodec_alloc_context3(codec);
  AVFrame* frame = av_frame_alloc();
  AVPacket* packet = av_packet_alloc();
  context->width = frame->width = plane.width, context->height = frame->height = plane.height;
  context->pix_fmt = AV_PIX_FMT_GRAY8, frame->format = AV_PIX_FMT_GRAY8;
  context->time_base = {1, 25};
  bool made = avcodec_open2(context, codec, nullptr) >= 0 && av_frame_get_buffer(frame, 0) >= 0;
  for (int y = 0; made && y < plane.height; ++y)
    std::copy_n(plane.row(y), plane.width,
                frame->data[0] + static_cast<std::ptrdiff_t>(y) * frame->linesize[0]);
  made = made && avcodec_send_frame(context, frame) >= 0 && avcodec_receive_packet(context, packet) >= 0;
  std::string bytes;
  if (made) bytes.assign(reinterpret_cast<const char*>(packet->data), static_cast<std::size_t>(packet->size));
  av_packet_free(&packet);
  av_frame_free(&frame);
  avcodec_free_context(&context);
  if (!made) fail();
  write_file(path, bytes);
}

}  // namespace paneproof::video
