#include "capture/log/kernel_devices.hpp"

#include <algorithm>

#include "capture/model/input_error.hpp"

namespace paneproof {
namespace {

constexpr std::size_t kDevices = 256;
constexpr const char* kRecordScreen =
    "record the touchscreen (getevent -lp lists the devices), or name it with --device";

bool is_refused(DeviceKind kind) { return kind == DeviceKind::touchpad || kind == DeviceKind::mouse; }

std::string quoted(const DeviceDescription& device) { return "\"" + device.title() + "\""; }

}  // namespace

std::size_t KernelDevices::at(std::string_view node) {
  for (std::size_t i = 0; i < devices_.size(); ++i)
    if (devices_[i]->description.node == node) return i;
  if (devices_.size() == kDevices) return kDevices - 1;
  devices_.push_back(std::make_unique<Device>(options_.axes));
  devices_.back()->description.node = std::string(node.substr(0, 256));
  return devices_.size() - 1;
}

std::vector<const DeviceDescription*> KernelDevices::descriptions() const {
  std::vector<const DeviceDescription*> out;
  for (const auto& device : devices_)
    if (device->description.listed) out.push_back(&device->description);
  return out;
}

void KernelDevices::lost() {
  for (const auto& device : devices_)
    if (device->contacts.events() > 0) device->contacts.lost();
}

// Events without a device column are of the listed device that --device names or whose codes cover them.
void KernelDevices::describe_nameless() {
  for (const auto& device : devices_) {
    DeviceDescription& own = device->description;
    if (!own.node.empty() || own.listed || device->contacts.events() == 0) continue;
    const DeviceDescription* match = nullptr;
    for (const auto& other : devices_)
      if (other->description.answers_to(options_.device)) match = &other->description;
    if (!match) match = covering(descriptions(), own.abs);
    if (!match) continue;
    const std::uint64_t seen = own.abs;
    own = *match;
    own.abs |= seen;
  }
}

KernelDevices::Device& KernelDevices::named(const std::string& file) {
  Device* found = nullptr;
  for (const auto& device : devices_) {
    if (!device->description.answers_to(options_.device)) continue;
    if (!found || device->contacts.report_count() > found->contacts.report_count()) found = device.get();
  }
  // A log of one device that names none: the option can only have named the axes.
  if (!found && devices_.size() == 1 && devices_[0]->description.title() == DeviceDescription{}.title())
    found = devices_[0].get();
  if (!found) {
    std::string all;
    for (const auto& device : devices_)
      if (all.size() < 200) all += (all.empty() ? "" : ", ") + quoted(device->description);
    throw InputError(file, "", "no device \"" + options_.device + "\" in this log", "it has " + all);
  }
  return *found;
}

std::string KernelDevices::found_instead() const {
  std::string out;
  for (const auto& device : devices_) {
    if (device->contacts.events() == 0 || out.size() > 200) continue;
    out += (out.empty() ? "" : ", ") + std::to_string(device->contacts.events()) + " events of " +
           quoted(device->description) + " (" + kind_word(kind_of(device->description)) + ")";
  }
  return out;
}

KernelDevices::Device& KernelDevices::choose(const std::string& file, Notes& notes) {
  if (!options_.device.empty()) return named(file);
  std::vector<Device*> fingers, pens, refused;
  for (const auto& device : devices_) {
    if (device->contacts.events() > 0 && is_refused(kind_of(device->description)))
      refused.push_back(device.get());
    if (device->contacts.report_count() == 0 || is_refused(kind_of(device->description))) continue;
    (device->contacts.only_pen() ? pens : fingers).push_back(device.get());
  }
  std::vector<Device*>& chosen = fingers.empty() ? pens : fingers;
  if (chosen.size() > 1)
    throw InputError(file, "",
                     "several devices have contacts: " + quoted(chosen[0]->description) + " and " +
                         quoted(chosen[1]->description),
                     "name one with --device");
  if (chosen.empty()) {
    if (!refused.empty()) return *refused[0];
    const std::string found = found_instead();
    throw InputError(file, "", found.empty() ? "no events in this log" : "no touch in this log, but " + found,
                     kRecordScreen);
  }
  if (!fingers.empty() && !pens.empty())
    notes.add("pen_left_out", "read the touchscreen " + quoted(fingers[0]->description) +
                                  " and not the pen " + quoted(pens[0]->description) + "; --device chooses");
  return *chosen[0];
}

Recording KernelDevices::finish(const Source& source, const char* format, bool cut, Notes& notes) && {
  describe_nameless();
  Device& device = choose(source.name(), notes);
  const DeviceKind kind = kind_of(device.description);
  if (is_refused(kind))
    throw InputError(source.name(), "", quoted(device.description) + " is a " + kind_word(kind),
                     kRecordScreen);
  if (device.contacts.report_count() == 0)
    throw InputError(source.name(), "",
                     "no touch of " + quoted(device.description) + " in this log (" +
                         std::to_string(device.contacts.events()) + " events of it)",
                     kRecordScreen);
  if (cut || source.cut() || device.contacts.pending())
    notes.add("cut_at_end", "the log breaks off; what came before counts");
  if (device.contacts.only_pen()) notes.add("pen_log", "the log is of a pen: it proves the pen layer only");
  Axes axes = axes_of(device.description, "log");
  if (!axes.x && !axes.y && options_.axes) axes = *options_.axes;
  SourceFacts facts;
  facts.file = source.name();
  facts.format = format;
  facts.device = !device.description.name.empty() ? device.description.name : device.description.node;
  return std::move(device.contacts).finish(std::move(axes), std::move(facts), notes);
}

}  // namespace paneproof
