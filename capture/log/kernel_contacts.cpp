#include "capture/log/kernel_contacts.hpp"

#include <linux/input.h>

#include <algorithm>
#include <utility>

namespace paneproof {
namespace {

constexpr std::int64_t kLatest_us = std::int64_t{1} << 61;

bool is_multi_touch(std::uint16_t code) { return code >= ABS_MT_SLOT && code <= ABS_MT_TOOL_Y; }

}  // namespace

KernelContacts::KernelContacts(DeviceDescription& device, const std::optional<Axes>& fallback)
    : device_(device), fallback_(fallback) {}

void KernelContacts::event(std::int64_t t_us, std::uint16_t type, std::uint16_t code, std::int32_t value) {
  advance(t_us);
  ++events_;
  if (type == EV_SYN) return syn(code);
  pending_ = true;
  if (dropping_) return;
  switch (type) {
    case EV_ABS:
      return absolute(code, value);
    case EV_KEY:
      return key(code, value);
    case EV_REL:
      return device_.add_code(type, code);
    case EV_MSC:
      if (code == MSC_TIMESTAMP) stamp_ = static_cast<std::uint32_t>(value);
      return;
    default:
      return;
  }
}

// Time from the first event; steps are added up, so no log can make it overflow or run back.
void KernelContacts::advance(std::int64_t t_us) {
  if (events_ == 0) last_raw_us_ = t_us;
  const std::int64_t step_us = t_us - last_raw_us_;
  last_raw_us_ = t_us;
  if (step_us < 0) {
    ++steps_back_;
    break_all();
    open_hole(Hole::Kind::clock_stepped_back);
    return;
  }
  now_us_ = std::min(kLatest_us, now_us_ + step_us);
}

void KernelContacts::syn(std::uint16_t code) {
  if (code == SYN_REPORT) {
    pending_ = false;
    return frame();
  }
  pending_ = true;
  if (code == SYN_DROPPED)
    lost();
  else if (code == SYN_MT_REPORT && !dropping_)
    packet_end();
}

void KernelContacts::lost() {
  ++drops_;
  break_all();
  open_hole(Hole::Kind::events_dropped);
  dropping_ = lost_before_ = true;
  slot_named_ = false;
  for (Touch& touch : slots_) touch = Touch{};
  touched_.clear();
  packet_ = single_ = Touch{};
  packet_used_ = packets_told_ = single_touched_ = false;
  packets_.clear();
  touch_button_.reset();
  pressure_ = 0;
  stamp_.reset();
}

void KernelContacts::break_all() {
  for (Touch& touch : slots_) lift(touch, Ending::broken);
  for (Touch& touch : tracks_) lift(touch, Ending::broken);
  tracks_.clear();
  lift(single_, Ending::broken);
  clock_.restart();
}

void KernelContacts::open_hole(Hole::Kind kind) {
  if (!hole_) hole_ = Hole{frame_us_, now_us_, 0, kind};
}

void KernelContacts::close_hole() {
  if (!hole_) return;
  builder_.hole(hole_->from_us, hole_->to_us, hole_->kind);
  hole_.reset();
}

void KernelContacts::absolute(std::uint16_t code, std::int32_t value) {
  if (code < 64) device_.abs |= std::uint64_t{1} << code;
  if (is_multi_touch(code)) return multi_touch(code, value);
  switch (code) {
    case ABS_X:
      single_.x = value, single_.has_x = true;
      break;
    case ABS_Y:
      single_.y = value, single_.has_y = true;
      break;
    case ABS_PRESSURE:
      pressure_ = value;
      break;
    case ABS_DISTANCE:
      single_.distance = value, hovers_ = true;
      break;
    default:
      return;
  }
  single_touched_ = true;
}

void KernelContacts::multi_touch(std::uint16_t code, std::int32_t value) {
  if (protocol_ == Protocol::none) choose_protocol();
  if (code == ABS_MT_SLOT) return slot(value);
  if (protocol_ == Protocol::slots) return slot_value(code, value);
  if (code == ABS_MT_TRACKING_ID) {
    packet_.id = value;
    packet_.has_id = true;
  } else {
    set(packet_, code, value);
  }
  packet_used_ = true;
}

// The header decides; without one slots are taken until a SYN_MT_REPORT shows packets.
void KernelContacts::choose_protocol() {
  slots_told_ = device_.has_abs(ABS_MT_SLOT);
  protocol_ = device_.listed && !slots_told_ ? Protocol::packets : Protocol::slots;
  slots_.resize(1);
  lift(single_, Ending::broken);
}

void KernelContacts::slot(std::int32_t value) {
  slots_told_ = true;
  if (protocol_ == Protocol::packets) {
    protocol_ = Protocol::slots;
    for (Touch& touch : tracks_) lift(touch, Ending::broken);
    tracks_.clear();
  }
  // Values that came before any slot was named may have been another slot's.
  if (!std::exchange(slot_named_, true) && value != slot_ && slot_ >= 0) {
    Touch& guessed = slots_[static_cast<std::size_t>(slot_)];
    if (lost_before_ || (guessed.holder == Holder::contact && !guessed.has_id)) {
      lift(guessed, Ending::broken);
      const bool queued = guessed.queued;
      guessed = Touch{};
      guessed.queued = queued;
    }
  }
  if (value < 0 || static_cast<std::size_t>(value) >= kSlots) {
    ++wild_slots_;
    slot_ = -1;
    return;
  }
  slot_ = value;
  if (slots_.size() <= static_cast<std::size_t>(value)) slots_.resize(static_cast<std::size_t>(value) + 1);
}

void KernelContacts::slot_value(std::uint16_t code, std::int32_t value) {
  if (slot_ < 0) return;
  Touch& touch = slots_[static_cast<std::size_t>(slot_)];
  if (!std::exchange(touch.queued, true)) touched_.push_back(static_cast<std::uint16_t>(slot_));
  if (code == ABS_MT_TRACKING_ID) return tracking(touch, value);
  set(touch, code, value);
  const bool position = code == ABS_MT_POSITION_X || code == ABS_MT_POSITION_Y;
  if (position && touch.holder == Holder::unknown) touch.holder = Holder::contact;
  if (position && touch.holder == Holder::empty) ++stale_;
}

void KernelContacts::tracking(Touch& touch, std::int32_t value) {
  if (touch.has_id && touch.id == value) return;
  if (!touch.renewed) touch.palm_before = touch.palm;
  touch.palm = touch.tool == MT_TOOL_PALM;
  touch.has_id = true;
  touch.id = value;
  touch.renewed = true;
  touch.holder = value >= 0 ? Holder::contact : Holder::empty;
}

void KernelContacts::set(Touch& touch, std::uint16_t code, std::int32_t value) {
  switch (code) {
    case ABS_MT_POSITION_X:
      touch.x = value, touch.has_x = true;
      break;
    case ABS_MT_POSITION_Y:
      touch.y = value, touch.has_y = true;
      break;
    case ABS_MT_DISTANCE:
      touch.distance = value;
      break;
    case ABS_MT_TOOL_TYPE:
      touch.tool = value;
      // A palm stays one for its whole contact; what a slot kept of the one before does not bind a new one.
      touch.palm = value == MT_TOOL_PALM || (touch.palm && !touch.renewed);
      break;
    default:
      break;
  }
}

void KernelContacts::key(std::uint16_t code, std::int32_t value) {
  device_.add_code(EV_KEY, code);
  if (code >= BTN_TOOL_PEN && code <= BTN_TOOL_AIRBRUSH) {
    pen_near_ = value != 0;
    hovers_ = true;
    if (value == 0) touch_button_ = false;  // out of reach
    single_touched_ = true;
  } else if (code == BTN_TOUCH) {
    touch_button_ = value != 0;
    touch_button_seen_ = true;
    if (value == 0) single_.renewed = true;
    single_touched_ = true;
  }
}

void KernelContacts::packet_end() {
  if (slots_told_ || device_.has_abs(ABS_MT_SLOT)) return;  // a driver with slots needs none
  if (protocol_ != Protocol::packets) {
    // Slots had been taken until now; what came in this frame was a packet.
    if (protocol_ == Protocol::slots && slots_[0].queued) {
      packet_ = slots_[0];
      packet_.contact = -1;
      packet_used_ = true;
    }
    for (Touch& touch : slots_) lift(touch, Ending::broken);
    lift(single_, Ending::broken);
    slots_.assign(1, Touch{});
    touched_.clear();
    protocol_ = Protocol::packets;
  }
  packets_told_ = true;
  if (packet_.placed() || packet_.has_id) {
    if (packets_.size() < kPackets)
      packets_.push_back(packet_);
    else
      ++extra_packets_;
  }
  packet_ = Touch{};
  packet_used_ = false;
}

Recording KernelContacts::finish(Axes axes, SourceFacts source, Notes& notes) && {
  close_hole();
  const auto count = [](std::int64_t n) { return std::to_string(n); };
  if (drops_ > 0)
    notes.add("events_dropped", "the capture lost events " + count(drops_) + " times; contacts end there");
  if (steps_back_ > 0)
    notes.add("clock_stepped_back", "the log's clock stepped back " + count(steps_back_) + " times");
  if (wild_slots_ > 0)
    notes.add("slot_out_of_range", "slots outside 0 to 255 were left out, " + count(wild_slots_) + " times");
  if (extra_packets_ > 0)
    notes.add("too_many_contacts",
              "contacts beyond 64 in a frame were left out, " + count(extra_packets_) + " times");
  if (stale_ > 0)
    notes.add("position_without_contact",
              "positions of lifted contacts were left out, " + count(stale_) + " times");
  source.events = events_;
  source.duration_us = now_us_;
  return std::move(builder_).finish(std::move(axes), std::move(source));
}

}  // namespace paneproof
