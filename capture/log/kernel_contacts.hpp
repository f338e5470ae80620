// The kernel's input events of one device as contacts (Documentation/input/multi-touch-protocol.rst and
// event-codes.rst).
//
// A frame is what comes up to a SYN_REPORT; its time is the SYN_REPORT's (see FrameClock), from the
// device's first event. Only what changed is sent: a value that does not come means "the same".
// - Slots (protocol B): ABS_MT_SLOT names the slot, a new ABS_MT_TRACKING_ID lands a contact there, -1
//   lifts it. A changed id without -1 between is both. A slot keeps its values for the next contact.
// - Packets (protocol A): each contact is sent in every frame and ends with SYN_MT_REPORT (which the last
//   may lack); one that is absent has lifted; a lone SYN_MT_REPORT, or BTN_TOUCH 0, means none. Contacts
//   are told apart by ABS_MT_TRACKING_ID, or where there is none by nearest_pairing with the last frame,
//   with a gate of a quarter of the longer axis where the ranges are known.
// - Single touch: BTN_TOUCH with ABS_X and ABS_Y, only while the device shows no multi-touch codes. Until
//   BTN_TOUCH is sent for the first time, ABS_PRESSURE above 0 stands for it.
// - Hovering (a distance above 0, or BTN_TOUCH 0 for single touch and packets) proves nothing: the contact
//   lands when it comes down and has lifted when it rises.
// - A contact lands once both its coordinates are known, so a log that begins under a finger gives that
//   finger too, from its first full position on.
// - Lost events (SYN_DROPPED): all contacts end there, broken; everything up to and with the next
//   SYN_REPORT is ignored; all values are unknown afterwards. Single touch that sends positions then is
//   down unless the device can hover.
// - A clock that steps back: all contacts end, broken, in a hole; time goes on from where it was.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "capture/log/contact_pairing.hpp"
#include "capture/log/device_description.hpp"
#include "capture/log/frame_clock.hpp"
#include "capture/model/notes.hpp"
#include "capture/model/trace.hpp"

namespace paneproof {

class KernelContacts {
 public:
  // `device` is what the header tells (it may be filled in later, and gains codes that are seen);
  // `fallback` are the axes of a companion file. Both must outlive this.
  KernelContacts(DeviceDescription& device, const std::optional<Axes>& fallback);

  // One event as the kernel wrote it. t_us: any start, at most 1e18; any values are safe.
  void event(std::int64_t t_us, std::uint16_t type, std::uint16_t code, std::int32_t value);
  // Events are missing here (a damaged line); the same as SYN_DROPPED.
  void lost();

  std::int64_t events() const { return events_; }
  std::size_t report_count() const { return builder_.report_count(); }
  // Is the last frame unfinished?
  bool pending() const { return pending_; }
  // Are all contacts a pen's?
  bool only_pen() const { return !any_finger_; }
  std::uint64_t abs_codes() const { return device_.abs; }

  // Adds what was survived to the notes. events and duration_us are filled in.
  Recording finish(Axes axes, SourceFacts source, Notes& notes) &&;

 private:
  static constexpr std::size_t kSlots = 256, kPackets = 64;
  enum class Protocol { none, slots, packets };
  enum class Holder { unknown, empty, contact };

  // The state of a slot, a packet, or the single touch.
  struct Touch {
    std::int32_t x = 0, y = 0, distance = 0, tool = 0, id = -1;
    bool has_x = false, has_y = false, has_id = false;
    Holder holder = Holder::unknown;
    bool renewed = false;       // another contact than in the last frame
    bool palm = false;          // this contact was told to be a palm
    bool palm_before = false;   // the one before it in this frame was
    bool queued = false;        // in touched_
    std::int64_t contact = -1;  // in the builder, -1 while not on the glass

    bool placed() const { return has_x && has_y; }
  };

  void syn(std::uint16_t code);
  void absolute(std::uint16_t code, std::int32_t value);
  void multi_touch(std::uint16_t code, std::int32_t value);
  void choose_protocol();
  void slot(std::int32_t value);
  void slot_value(std::uint16_t code, std::int32_t value);
  void tracking(Touch& touch, std::int32_t value);
  static void set(Touch& touch, std::uint16_t code, std::int32_t value);
  void key(std::uint16_t code, std::int32_t value);
  void packet_end();
  void frame();
  void slot_frame(std::int64_t t_us);
  void packet_frame(std::int64_t t_us);
  void single_frame(std::int64_t t_us);
  bool single_down() const;
  void match_packets();
  void show(Touch& touch, std::int64_t t_us);
  void lift(Touch& touch, Ending ending) { lift(touch, ending, touch.palm); }
  void lift(Touch& touch, Ending ending, bool palm);
  Tool tool_of(const Touch& touch) const;
  void advance(std::int64_t t_us);
  void break_all();
  void open_hole(Hole::Kind kind);
  void close_hole();
  double gate();

  DeviceDescription& device_;
  const std::optional<Axes>& fallback_;
  RecordingBuilder builder_;
  FrameClock clock_;

  std::int64_t events_ = 0, last_raw_us_ = 0, now_us_ = 0, frame_us_ = 0;
  bool pending_ = false, dropping_ = false, any_finger_ = false;

  Protocol protocol_ = Protocol::none;
  bool slots_told_ = false;  // ABS_MT_SLOT was sent or is listed
  bool slot_named_ = false;  // ABS_MT_SLOT was sent since the start or the last loss
  bool lost_before_ = false;
  int slot_ = 0;  // -1: out of range
  std::vector<Touch> slots_;
  std::vector<std::uint16_t> touched_;

  Touch packet_;
  bool packet_used_ = false, packets_told_ = false;
  std::vector<Touch> packets_, tracks_;

  Touch single_;
  bool single_touched_ = false;
  std::optional<bool> touch_button_;
  bool touch_button_seen_ = false, pen_near_ = false, hovers_ = false;
  std::int32_t pressure_ = 0;

  std::optional<std::uint32_t> stamp_;
  std::optional<Hole> hole_;
  std::optional<double> gate_;
  std::int64_t drops_ = 0, steps_back_ = 0, wild_slots_ = 0, extra_packets_ = 0, stale_ = 0;
};

}  // namespace paneproof
