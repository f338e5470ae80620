#include "capture/log/formats.hpp"

#include "capture/log/csv.hpp"
#include "capture/log/evemu.hpp"
#include "capture/log/evtest.hpp"
#include "capture/log/getevent.hpp"
#include "capture/log/inkml.hpp"
#include "capture/log/input_event.hpp"
#include "capture/log/libinput_record.hpp"
#include "capture/log/pointer_jsonl.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kHead = 65536;
constexpr std::uint64_t largest_axes_bytes = std::uint64_t{64} << 20;  // it may be another whole log

std::string all_formats() {
  std::string out;
  for (const Format& format : formats()) out += (out.empty() ? "" : ", ") + std::string(format.described);
  return out;
}

// The axes of the companion, where one is named. One that was only found does not stop a log.
void take_axes(std::string_view head, ReadOptions& options, Notes& notes) {
  if (options.axes || options.axes_file.empty()) return;
  try {
    const auto source = open_source(options.axes_file, {.largest_bytes = largest_axes_bytes});
    options.axes = read_axes(*source, options.device, head);
  } catch (const InputError& error) {
    if (!options.axes_beside) throw;
    notes.add("axes_beside_unfit", "the file beside the log was not used: " + std::string(error.what()));
  }
}

// A refusal that does not know the file gets its name.
Recording read_named(const Format& format, Source& source, const ReadOptions& options, Notes& notes) {
  try {
    return format.read(source, options, notes);
  } catch (const InputError& error) {
    if (!error.file.empty()) throw;
    throw InputError(source.name(), error.place, error.expected, error.remedy, error.exit);
  }
}

}  // namespace

const std::vector<Format>& formats() {
  static const std::vector<Format> table = {
      evemu_format(), evtest_format(),        getevent_format(), libinput_record_format(),
      inkml_format(), pointer_jsonl_format(), csv_format(),      input_event_format(),
  };
  return table;
}

Recording read_log(Source& source, const ReadOptions& options, Notes& notes) {
  const std::string_view whole_head = source.head(kHead);
  if (whole_head.empty()) throw InputError(source.name(), "", "the log is empty", "record a sweep first");
  const std::string_view head = whole_head.substr(0, kHead);
  for (const Format& format : formats()) {
    if (!format.recognises(head)) continue;
    ReadOptions with_axes = options;
    take_axes(head, with_axes, notes);
    Recording recording = read_named(format, source, with_axes, notes);
    if (options.axes_beside && with_axes.axes && recording.axes.origin == with_axes.axes->origin)
      notes.add("axes_beside_log", "axis ranges come from " + options.axes_file + ", found beside the log");
    return recording;
  }
  throw InputError(source.name(), "", "a log of no known format", "known are: " + all_formats());
}

}  // namespace paneproof
