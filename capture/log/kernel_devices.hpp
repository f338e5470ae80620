// The devices of one kernel log: events go to the device they came from; at the end one device is chosen.
//
// Choice: the one named with --device; else the only one with contacts; a finger touchscreen before a pen,
// with a note that names both. Touchpads and mice are refused by name; several touchscreens with contacts
// too: nothing is guessed.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "capture/log/kernel_contacts.hpp"
#include "capture/log/reader.hpp"

namespace paneproof {

// One event of a log, as the kernel wrote it.
struct KernelEvent {
  std::int64_t t_us = 0;
  std::uint16_t type = 0, code = 0;
  std::int32_t value = 0;
};

class KernelDevices {
 public:
  // options must outlive this.
  explicit KernelDevices(const ReadOptions& options) : options_(options) {}

  // The device with this node ("" when the log has one device and no column), made on first use. At most
  // 256 devices; more share the last.
  std::size_t at(std::string_view node);
  DeviceDescription& description(std::size_t device) { return devices_[device]->description; }
  KernelContacts& contacts(std::size_t device) { return devices_[device]->contacts; }
  std::vector<const DeviceDescription*> descriptions() const;

  void event(std::size_t device, const KernelEvent& event) {
    devices_[device]->contacts.event(event.t_us, event.type, event.code, event.value);
  }
  // Events are missing here, of a device that cannot be told.
  void lost();

  // The chosen device's recording. cut: the log breaks off within a line or a record. Throws InputError
  // (65) when no device can be chosen, or it has no contact, saying what was found instead.
  Recording finish(const Source& source, const char* format, bool cut, Notes& notes) &&;

 private:
  struct Device {
    explicit Device(const std::optional<Axes>& fallback) : contacts(description, fallback) {}
    DeviceDescription description;
    KernelContacts contacts;
  };

  void describe_nameless();
  Device& choose(const std::string& file, Notes& notes);
  Device& named(const std::string& file);
  std::string found_instead() const;

  const ReadOptions& options_;
  std::vector<std::unique_ptr<Device>> devices_;
};

}  // namespace paneproof
