// The fixed columns of `getevent -lt` and `getevent -t`, read without a search.
//
// `[%8ld.%06ld] ` then (device column) then `%-12.12s %-20.20s %08x...` or `%04x %04x %08x`. Names are
// looked up by their 24 bytes in a small memo that the general parser fills, so this knows no name itself.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "capture/log/kernel_devices.hpp"

namespace paneproof {

class GeteventColumns {
 public:
  // Reads the line when it is exactly of one of the layouts, names and device known from `learn`. False
  // otherwise: nothing is said about the line then.
  bool read(std::string_view line, KernelEvent& event, std::size_t& device);
  // The general parser read this line as this event of this device.
  void learn(std::string_view line, std::string_view node, const KernelEvent& event, std::size_t device);

 private:
  // Type in 12 bytes and code in 20, as four words.
  struct Names {
    std::uint64_t type = 0, code_a = 0, code_b = 0, rest = 0;
    bool operator==(const Names&) const = default;
  };
  struct Known {
    Names names;
    std::uint16_t type = 0, code = 0;
    bool filled = false;
  };

  static Names names_at(const char* field);
  static std::size_t place(const Names& names);
  bool time(std::string_view line, KernelEvent& event, std::size_t& used);
  bool labelled(std::string_view fields, KernelEvent& event) const;

  std::array<Known, 256> known_ = {};
  std::string node_;  // with its ": "
  bool any_node_ = false;
  std::size_t device_ = 0;
  std::uint64_t seconds_text_ = 0;
  std::int64_t seconds_us_ = -1;
};

}  // namespace paneproof
