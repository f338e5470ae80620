// The second half of KernelContacts: what a finished frame means for the contacts.
#include <linux/input.h>

#include <algorithm>
#include <limits>
#include <utility>

#include "capture/log/kernel_contacts.hpp"

namespace paneproof {

void KernelContacts::frame() {
  const std::int64_t t_us = clock_.time(now_us_, std::exchange(stamp_, std::nullopt));
  frame_us_ = t_us;
  if (std::exchange(dropping_, false)) {
    if (hole_) hole_->to_us = t_us;
    return;
  }
  if (protocol_ == Protocol::slots)
    slot_frame(t_us);
  else if (protocol_ == Protocol::packets)
    packet_frame(t_us);
  else if (single_touched_)
    single_frame(t_us);
  single_touched_ = false;
  single_.renewed = false;
}

void KernelContacts::slot_frame(std::int64_t t_us) {
  for (const std::uint16_t index : touched_) {
    Touch& touch = slots_[index];
    touch.queued = false;
    if (std::exchange(touch.renewed, false)) lift(touch, Ending::lifted, touch.palm_before);
    if (touch.holder == Holder::contact && touch.distance <= 0 && touch.placed())
      show(touch, t_us);
    else
      lift(touch, Ending::lifted);
  }
  touched_.clear();
  // Without tracking ids nothing else tells a lift.
  if (single_.renewed)
    for (Touch& touch : slots_)
      if (touch.holder == Holder::contact && !touch.has_id) {
        lift(touch, Ending::lifted);
        touch = Touch{};
      }
}

void KernelContacts::packet_frame(std::int64_t t_us) {
  if (packet_used_) packet_end();
  const bool up = touch_button_ == false;
  if (!std::exchange(packets_told_, false) && !up) return packets_.clear();
  if (up) packets_.clear();
  packets_.erase(
      std::remove_if(packets_.begin(), packets_.end(), [](const Touch& p) { return p.distance > 0; }),
      packets_.end());
  match_packets();
  for (Touch& packet : packets_)
    if (packet.placed()) show(packet, t_us);
  std::swap(tracks_, packets_);
  packets_.clear();
}

// Hands the last frame's contacts on to this frame's packets; who gets no packet has lifted.
void KernelContacts::match_packets() {
  std::vector<Touch*> before, now;
  for (Touch& packet : packets_) {
    if (!packet.has_id) {
      now.push_back(&packet);
      continue;
    }
    for (Touch& track : tracks_)
      if (track.has_id && track.id == packet.id && track.contact >= 0) {
        packet.contact = std::exchange(track.contact, -1);
        packet.palm = packet.palm || track.palm;
        break;
      }
  }
  for (Touch& track : tracks_)
    if (!track.has_id && track.contact >= 0) before.push_back(&track);
  std::vector<Place> from, to;
  for (const Touch* touch : before) from.push_back({double(touch->x), double(touch->y)});
  for (const Touch* touch : now) to.push_back({double(touch->x), double(touch->y)});
  const std::vector<int> partner = nearest_pairing(from, to, gate());
  for (std::size_t i = 0; i < partner.size(); ++i)
    if (partner[i] >= 0)
      now[i]->contact = std::exchange(before[static_cast<std::size_t>(partner[i])]->contact, -1);
  for (Touch& track : tracks_) lift(track, Ending::lifted);
}

void KernelContacts::single_frame(std::int64_t t_us) {
  if (single_.renewed) lift(single_, Ending::lifted);
  if (single_down() && single_.placed())
    show(single_, t_us);
  else
    lift(single_, Ending::lifted);
}

bool KernelContacts::single_down() const {
  if (device_.listed && device_.has_abs(ABS_MT_POSITION_X)) return false;  // multi-touch speaks for it
  if (single_.distance > 0) return false;
  if (touch_button_) return *touch_button_;
  return pressure_ > 0 || (lost_before_ && touch_button_seen_ && !hovers_ && !device_.tool_pen);
}

Tool KernelContacts::tool_of(const Touch& touch) const {
  if (touch.palm || touch.tool == MT_TOOL_PALM) return Tool::palm;
  const bool single = &touch == &single_;
  const bool pen =
      touch.tool == MT_TOOL_PEN || (single && (pen_near_ || kind_of(device_) == DeviceKind::pen));
  return pen ? Tool::pen : Tool::finger;
}

void KernelContacts::show(Touch& touch, std::int64_t t_us) {
  const Tool tool = tool_of(touch);
  if (touch.contact < 0) {
    close_hole();
    touch.contact = builder_.land(tool);
    any_finger_ = any_finger_ || tool != Tool::pen;
  } else if (tool != Tool::finger) {
    builder_.set_tool(static_cast<std::uint32_t>(touch.contact), tool);
  }
  builder_.report(static_cast<std::uint32_t>(touch.contact), t_us, touch.x, touch.y);
}

// A palm is taken back rather than lifted: what it touched is not the sweep's.
void KernelContacts::lift(Touch& touch, Ending ending, bool palm) {
  if (touch.contact < 0) return;
  const auto contact = static_cast<std::uint32_t>(touch.contact);
  if (palm) builder_.set_tool(contact, Tool::palm);
  builder_.end(contact, palm && ending == Ending::lifted ? Ending::cancelled : ending);
  touch.contact = -1;
}

double KernelContacts::gate() {
  if (!gate_) {
    Axes axes = axes_of(device_, "");
    if (!axes.x && !axes.y && fallback_) axes = *fallback_;
    const double x = axes.x ? axes.x->max - axes.x->min : 0, y = axes.y ? axes.y->max - axes.y->min : 0;
    const double longer = std::max(x, y);
    gate_ = longer > 0 ? longer / 4 : std::numeric_limits<double>::infinity();
  }
  return *gate_;
}

}  // namespace paneproof
