#include "capture/log/getevent.hpp"

#include "capture/bytes/lines.hpp"
#include "capture/log/getevent_columns.hpp"
#include "capture/log/getevent_line.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

bool recognises(std::string_view head) {
  return any_line(head, [](std::string_view line) {
    GeteventLine parsed;
    const LineKind kind = parse_getevent_line(line, parsed);
    return kind == LineKind::event || kind == LineKind::untimed || line.substr(0, 11) == "add device ";
  });
}

// One pass over a getevent log.
class Reading {
 public:
  Reading(Source& source, const ReadOptions& options, Notes& notes)
      : source_(source),
        notes_(notes),
        devices_(options),
        list_(devices_),
        damage_(devices_, notes),
        lines_(source) {}

  Recording whole() {
    KernelEvent event;
    std::size_t device = 0;
    while (lines_.next()) {
      if (columns_.read(lines_.text(), event, device))
        devices_.event(device, event);
      else
        general(lines_.text());
    }
    return std::move(devices_).finish(source_, "getevent", damage_.cut(), notes_);
  }

 private:
  void general(std::string_view line) {
    GeteventLine parsed;
    switch (parse_getevent_line(line, parsed)) {
      case LineKind::event: {
        timed_ = true;
        const std::size_t device = devices_.at(parsed.node);
        devices_.event(device, parsed.event);
        columns_.learn(line, parsed.node, parsed.event, device);
        return;
      }
      case LineKind::untimed:
        if (!timed_ && lines_.ended())
          throw InputError(source_.name(), "line " + std::to_string(lines_.number()),
                           "expected an event with its time", "record again with times: getevent -lt");
        return damage_.damaged(lines_);
      case LineKind::damaged:
        return damage_.damaged(lines_);
      case LineKind::other:
        break;
    }
    if (!list_.line(line)) damage_.other(lines_);
  }

  Source& source_;
  Notes& notes_;
  KernelDevices devices_;
  GeteventDevices list_;
  LineDamage damage_;
  GeteventColumns columns_;
  Lines lines_;
  bool timed_ = false;
};

Recording read(Source& source, const ReadOptions& options, Notes& notes) {
  return Reading(source, options, notes).whole();
}

}  // namespace

const Format& getevent_format() {
  static const Format format = {"getevent", "Android getevent -lt or -t text", recognises, read};
  return format;
}

}  // namespace paneproof
