#include "capture/rehearse/kernel_events.hpp"

#include <linux/input.h>

#include <algorithm>
#include <cassert>
#include <map>

namespace paneproof {
namespace {

constexpr std::int32_t slot_count = 16;

// What happens to a contact at a time.
struct Change {
  std::int64_t t_us = 0;
  std::uint32_t contact = 0;
  const Report* report = nullptr;  // none: it lifts
};

std::vector<Change> changes_of(const Recording& recording, const std::vector<std::int64_t>& lift_us) {
  std::vector<Change> out;
  out.reserve(recording.reports.size() + recording.contacts.size());
  for (const Report& report : recording.reports) out.push_back({report.t_us, report.contact, &report});
  for (std::uint32_t k = 0; k < recording.contacts.size(); ++k)
    if (recording.contacts[k].ending != Ending::open) out.push_back({lift_us[k], k, nullptr});
  // At one time lifts come first, as drivers free a slot before they look for one.
  std::stable_sort(out.begin(), out.end(), [](const Change& a, const Change& b) {
    if (a.t_us != b.t_us) return a.t_us < b.t_us;
    const bool lifts_a = !a.report, lifts_b = !b.report;
    return lifts_a != lifts_b ? lifts_a : a.contact < b.contact;
  });
  return out;
}

class Sender {
 public:
  Sender(const Recording& recording, MtProtocol protocol) : recording_(recording), protocol_(protocol) {}

  std::vector<KernelEvent> send(const std::vector<Change>& changes) {
    for (std::size_t i = 0; i < changes.size();) {
      std::size_t end = i;
      while (end < changes.size() && changes[end].t_us == changes[i].t_us) ++end;
      now_us_ = changes[i].t_us;
      const std::size_t down_before = down_.size();
      if (protocol_ == MtProtocol::slots)
        slot_frame(&changes[i], &changes[i] + (end - i));
      else
        packet_frame(&changes[i], &changes[i] + (end - i));
      if ((down_before == 0) != down_.empty()) put(EV_KEY, BTN_TOUCH, down_.empty() ? 0 : 1);
      put(EV_SYN, SYN_REPORT, 0);
      i = end;
    }
    return std::move(out_);
  }

 private:
  struct Down {
    std::int32_t slot = 0;
    const Report* at = nullptr;
  };
  void put(std::uint16_t type, std::uint16_t code, std::int32_t value) {
    out_.push_back({now_us_, type, code, value});
  }

  bool is_palm(std::uint32_t contact) const { return recording_.contacts[contact].tool == Tool::palm; }

  void choose(std::int32_t slot) {
    if (slot != slot_) put(EV_ABS, ABS_MT_SLOT, slot);
    slot_ = slot;
  }

  std::int32_t free_slot(const std::vector<std::int32_t>& freed) const {
    for (std::int32_t slot = 0;; ++slot) {
      const bool used =
          std::any_of(down_.begin(), down_.end(), [&](const auto& d) { return d.second.slot == slot; });
      if (!used && std::find(freed.begin(), freed.end(), slot) == freed.end()) return slot;
    }
  }

  // A slot keeps its values for the next contact: only what differs from them is sent.
  void value(std::int32_t slot, std::uint16_t code, std::int32_t value) {
    const auto [kept, fresh] = sent_.try_emplace({slot, code}, value);
    if (!fresh && kept->second == value) return;
    kept->second = value;
    put(EV_ABS, code, value);
  }

  void slot_frame(const Change* first, const Change* last) {
    std::vector<std::int32_t> freed;
    for (const Change* c = first; c != last; ++c) {
      const auto found = down_.find(c->contact);
      if (!c->report) {
        if (found == down_.end()) continue;
        choose(found->second.slot);
        put(EV_ABS, ABS_MT_TRACKING_ID, -1);
        freed.push_back(found->second.slot);
        down_.erase(found);
        continue;
      }
      std::int32_t slot = 0;
      if (found == down_.end()) {
        slot = free_slot(freed);
        down_[c->contact] = {slot, c->report};
        choose(slot);
        put(EV_ABS, ABS_MT_TRACKING_ID, static_cast<std::int32_t>(c->contact & 0xffff));
        value(slot, ABS_MT_TOOL_TYPE, is_palm(c->contact) ? MT_TOOL_PALM : MT_TOOL_FINGER);
      } else {
        slot = found->second.slot;
        choose(slot);
      }
      value(slot, ABS_MT_POSITION_X, static_cast<std::int32_t>(c->report->x));
      value(slot, ABS_MT_POSITION_Y, static_cast<std::int32_t>(c->report->y));
    }
  }

  void packet_frame(const Change* first, const Change* last) {
    for (const Change* c = first; c != last; ++c) {
      if (c->report)
        down_[c->contact].at = c->report;
      else
        down_.erase(c->contact);
    }
    for (const auto& [contact, down] : down_) {
      if (protocol_ == MtProtocol::packets)
        put(EV_ABS, ABS_MT_TRACKING_ID, static_cast<std::int32_t>(contact & 0xffff));
      put(EV_ABS, ABS_MT_TOOL_TYPE, is_palm(contact) ? MT_TOOL_PALM : MT_TOOL_FINGER);
      put(EV_ABS, ABS_MT_POSITION_X, static_cast<std::int32_t>(down.at->x));
      put(EV_ABS, ABS_MT_POSITION_Y, static_cast<std::int32_t>(down.at->y));
      put(EV_SYN, SYN_MT_REPORT, 0);
    }
    if (down_.empty()) put(EV_SYN, SYN_MT_REPORT, 0);
  }

  const Recording& recording_;
  MtProtocol protocol_;
  std::vector<KernelEvent> out_;
  std::map<std::uint32_t, Down> down_;  // by contact
  std::map<std::pair<std::int32_t, std::uint16_t>, std::int32_t> sent_;
  std::int64_t now_us_ = 0;
  std::int32_t slot_ = 0;
};

DeviceAxis position(std::uint16_t code, const Axis& axis) {
  return {code, static_cast<std::int32_t>(axis.min), static_cast<std::int32_t>(axis.max),
          static_cast<std::int32_t>(axis.units_per_mm.value_or(0))};
}

}  // namespace

DeviceFacts device_facts(const Recording& recording, MtProtocol protocol) {
  assert(recording.axes.x && recording.axes.y);
  DeviceFacts facts;
  facts.name = recording.source.device;
  if (protocol == MtProtocol::slots) facts.axes.push_back({ABS_MT_SLOT, 0, slot_count - 1, 0});
  facts.axes.push_back(position(ABS_MT_POSITION_X, *recording.axes.x));
  facts.axes.push_back(position(ABS_MT_POSITION_Y, *recording.axes.y));
  facts.axes.push_back({ABS_MT_TOOL_TYPE, 0, MT_TOOL_PALM, 0});
  if (protocol != MtProtocol::bare_packets) facts.axes.push_back({ABS_MT_TRACKING_ID, 0, 65535, 0});
  return facts;
}

std::vector<KernelEvent> kernel_events(const Recording& recording, const std::vector<std::int64_t>& lift_us,
                                       MtProtocol protocol) {
  assert(lift_us.size() == recording.contacts.size());
  return Sender(recording, protocol).send(changes_of(recording, lift_us));
}

}  // namespace paneproof
