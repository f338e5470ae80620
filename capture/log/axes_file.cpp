// Axes from a companion file, for logs that do not describe their device.
#include <linux/input.h>
#include <sys/stat.h>

#include "capture/bytes/lines.hpp"
#include "capture/log/evemu.hpp"
#include "capture/log/evtest.hpp"
#include "capture/log/formats.hpp"
#include "capture/log/getevent_line.hpp"
#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr const char* kHowToList = "make the list with: adb shell getevent -lp";

// EV_ABS codes of the events in the first lines of a log; 0 when they are no kernel events.
std::uint64_t abs_codes_of(std::string_view head) {
  std::uint64_t codes = 0;
  while (!head.empty()) {
    const std::size_t end = head.find('\n');
    if (end == head.npos) break;  // the last line may be cut
    std::string_view line = head.substr(0, end);
    while (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    head.remove_prefix(end + 1);
    GeteventLine parsed;
    KernelEvent& event = parsed.event;
    const bool known = parse_getevent_line(line, parsed) == LineKind::event ||
                       parse_evemu_line(line, event) == LineKind::event ||
                       parse_evtest_line(line, event) == LineKind::event;
    if (known && event.type == EV_ABS && event.code < 64) codes |= std::uint64_t{1} << event.code;
  }
  return codes;
}

bool is_file(const std::string& path) {
  struct stat facts = {};
  return ::stat(path.c_str(), &facts) == 0 && S_ISREG(facts.st_mode);
}

bool drop_ending(std::string& path, std::string_view ending) {
  if (path.size() <= ending.size() || path.compare(path.size() - ending.size(), ending.size(), ending) != 0)
    return false;
  path.resize(path.size() - ending.size());
  return true;
}

const DeviceDescription& chosen(const std::vector<const DeviceDescription*>& devices, const std::string& file,
                                const std::string& device, std::uint64_t codes) {
  if (devices.empty()) throw InputError(file, "", "no device with its axes in this file", kHowToList);
  if (!device.empty())
    for (const DeviceDescription* one : devices)
      if (one->answers_to(device)) return *one;
  if (devices.size() == 1) return *devices[0];
  if (!device.empty()) throw InputError(file, "", "no device \"" + device + "\" in this file", "");
  if (const DeviceDescription* one = covering(devices, codes)) return *one;
  throw InputError(file, "",
                   "no single touchscreen among the " + std::to_string(devices.size()) +
                       " devices of this file fits the log",
                   "name it with --device");
}

}  // namespace

Axes read_axes(Source& source, const std::string& device, std::string_view log_head) {
  const ReadOptions none;
  KernelDevices devices(none);
  GeteventDevices list(devices);
  EvemuDescription description(devices);
  EvtestHeader header(devices);
  for (Lines lines(source); lines.next();) {
    const std::string_view line = lines.text();
    if (!list.line(line) && !description.line(line)) (void)header.line(line);
  }
  const DeviceDescription& one =
      chosen(devices.descriptions(), source.name(), device, abs_codes_of(log_head));
  const DeviceKind kind = kind_of(one);
  if (kind == DeviceKind::touchpad || kind == DeviceKind::mouse)
    throw InputError(source.name(), "", "\"" + one.title() + "\" is a " + kind_word(kind),
                     "give the touchscreen's axes");
  Axes axes = axes_of(one, "axes file " + source.name());
  if (!axes.x || !axes.y)
    throw InputError(source.name(), "", "no ranges of the position axes of \"" + one.title() + "\"",
                     kHowToList);
  return axes;
}

std::string axes_beside(const std::string& log_path) {
  std::string stem = log_path;
  if (!drop_ending(stem, ".gz")) drop_ending(stem, ".zst");
  const std::size_t dot = stem.rfind('.');
  if (dot != stem.npos && dot > 0 && stem.find('/', dot) == stem.npos && stem[dot - 1] != '/')
    stem.resize(dot);
  for (const char* ending : {".desc", ".axes", "_devices.txt", "_p.txt"}) {
    const std::string path = stem + ending;
    if (path != log_path && is_file(path)) return path;
  }
  return "";
}

}  // namespace paneproof
